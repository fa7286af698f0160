"""The first event of a job: keys in."""

from datetime import datetime
from types import MappingProxyType

from baycompanion.job.carried import EarlierJob, PartsOrdered, Practice, Vehicle
from baycompanion.job.draft import Person
from baycompanion.job.event import Event, seal
from baycompanion.job.events import Opened
from baycompanion.procedure.model import Procedure
from baycompanion.text.clean import clean_line
from baycompanion.trade.figures import Figures


def open_job(
    procedure: Procedure,
    procedure_hash: str,
    job: str,
    work_order: str,
    vehicle: Vehicle,
    who: Person,
    when: datetime,
    order: PartsOrdered | None = None,
    figures: Figures = MappingProxyType({}),
    mentor: str | None = None,
    practice: Practice | None = None,
    earlier: EarlierJob | None = None,
) -> Event:
    """Return the first event of a job; `who` takes the keys, `mentor` stands beside a trainee.

    `earlier` is the job that the vehicle comes back from, where its record lies beside this one.

    The figures of the shop are kept with the job, so that its record alone can work its sums again.
    """
    return seal(
        Opened(
            job=job,
            procedure=procedure.procedure,
            title=procedure.title,
            revision=procedure.revision,
            procedure_hash=procedure_hash,
            work_order=clean_line(work_order),
            vehicle=Vehicle(
                description=clean_line(vehicle.description),
                vin=clean_line(vehicle.vin),
                plate=clean_line(vehicle.plate),
            ),
            role=who.role,
            signed=who.signed,
            figures=dict(figures) or None,
            order=order,
            mentor=mentor,
            practice=practice,
            earlier=earlier,
        ),
        who.id,
        when,
    )
