"""The first event of a job: keys in."""

from dataclasses import dataclass, field
from datetime import datetime

from baycompanion.job.deciding.draft import Person
from baycompanion.job.events.carried import EarlierJob, PartsOrdered, Practice, Vehicle
from baycompanion.job.events.event import Event, seal
from baycompanion.job.events.kinds import Opened
from baycompanion.procedure.model import Procedure
from baycompanion.text.clean import clean_line
from baycompanion.trade.figures import Figures


@dataclass(frozen=True, slots=True)
class KeysIn:
    """What a job starts with, whatever procedure it follows."""

    work_order: str
    vehicle: Vehicle
    who: Person
    """Whoever takes the keys."""
    when: datetime
    order: PartsOrdered | None = None
    """The parts that were ordered for it."""
    figures: Figures = field(default_factory=dict)
    """What the shop gives to its sums: kept, so that the record alone can work them again."""
    mentor: str | None = None
    """The staff id of who stands beside a trainee."""
    practice: Practice | None = None
    """What is practised, where the vehicle is made up."""
    earlier: EarlierJob | None = None
    """The job that the vehicle comes back from."""


def open_job(procedure: Procedure, procedure_hash: str, job: str, keys: KeysIn) -> Event:
    """Return the first event of the job of that name; the hash is that of its pinned procedure."""
    return seal(
        Opened(
            job=job,
            procedure=procedure.procedure,
            title=procedure.title,
            revision=procedure.revision,
            procedure_hash=procedure_hash,
            work_order=clean_line(keys.work_order),
            vehicle=Vehicle(
                description=clean_line(keys.vehicle.description),
                vin=clean_line(keys.vehicle.vin),
                plate=clean_line(keys.vehicle.plate),
            ),
            role=keys.who.role,
            signed=keys.who.signed,
            figures=dict(keys.figures) or None,
            order=keys.order,
            mentor=keys.mentor,
            practice=keys.practice,
            earlier=keys.earlier,
        ),
        keys.who.id,
        keys.when,
    )
