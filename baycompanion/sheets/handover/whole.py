"""The whole hand-over sheet: its head, its sections with the important ones first, its foot."""

from collections.abc import Callable
from itertools import groupby

from baycompanion.job.deciding.mentoring import in_hands
from baycompanion.job.events.moment import read_moment
from baycompanion.job.record.whole import JobRecord
from baycompanion.sheets.handover.attention import overrides, still_open
from baycompanion.sheets.handover.checks import checks
from baycompanion.sheets.handover.circuits import circuits
from baycompanion.sheets.handover.condition import condition
from baycompanion.sheets.handover.earlier import earlier
from baycompanion.sheets.handover.fasteners import fasteners
from baycompanion.sheets.handover.fitted import fitted
from baycompanion.sheets.handover.form import HandOver, Section
from baycompanion.sheets.handover.joins import joins
from baycompanion.sheets.handover.measured import measured
from baycompanion.sheets.handover.owner import for_the_owner, warranty
from baycompanion.sheets.handover.people import people
from baycompanion.sheets.handover.photos import photos
from baycompanion.sheets.handover.settings import settings
from baycompanion.sheets.handover.source import Source
from baycompanion.sheets.handover.written import mended, written

SECTIONS: tuple[Callable[[Source], Section | None], ...] = (
    overrides,
    still_open,
    earlier,
    fitted,
    condition,
    for_the_owner,
    measured,
    circuits,
    mended,
    settings,
    fasteners,
    joins,
    checks,
    written,
    people,
    warranty,
    photos,
)
"""What stands on the sheet, in this order; one that has nothing to say is left out."""


def hand_over(source: Source) -> HandOver:
    """Return the hand-over sheet of a job."""
    record = source.record
    return HandOver(
        shop=source.shop,
        running=_running(source),
        vehicle=record.vehicle.description,
        facts=_facts(source),
        standing=_standing(record),
        clean=record.status == "closed" and record.clean is True,
        bands=_bands(source),
        signatures=(
            "For the shop: staff id, date, signature",
            "The owner, who has this sheet and the keys: date, signature",
        ),
        fingerprint=record.fingerprint,
        foot=(
            "It shows whether the record was changed after this sheet was printed; "
            "it cannot show who typed it.",
            f"Job {record.job}, {record.procedure.id} revision {record.procedure.revision} "
            f"({record.procedure.sha256[:12]}), printed {source.when:%Y-%m-%d %H:%M}.",
        ),
    )


def _running(source: Source) -> str:
    """Return one line for the top of every page, cut off where it would leave the paper."""
    record = source.record
    parts = (source.shop, f"work order {record.work_order}", record.vehicle.description)
    return " – ".join(part if len(part) <= 40 else f"{part[:39]}…" for part in parts)


def _bands(source: Source) -> tuple[tuple[Section, ...], ...]:
    told = [told for section in SECTIONS if (told := section(source)) is not None]
    return tuple(
        band
        for wide, sections in groupby(told, lambda section: section.wide)
        for band in (zip(sections) if wide else [tuple(sections)])
    )


def _facts(source: Source) -> tuple[tuple[str, str], ...]:
    record = source.record
    facts = (
        ("Work order", record.work_order),
        ("Plate", record.vehicle.plate),
        ("VIN", record.vehicle.vin),
        ("Keys in", f"{source.keys_in:%Y-%m-%d %H:%M}"),
        ("Keys back" if record.status == "closed" else "Given up", _ended(source)),
        ("Technician", in_hands(record.technician, record.mentor)),
    )
    return tuple(fact for fact in facts if fact[1])


def _ended(source: Source) -> str:
    if source.record.ended_at is None:
        return ""
    there = read_moment(source.record.ended_at).astimezone(source.when.tzinfo)
    return f"{there:%Y-%m-%d %H:%M}"


def _standing(record: JobRecord) -> str:
    """Return how the job stands, in the words that the owner goes home with."""
    if record.status == "provisional":
        return "PROVISIONAL, job still under way. What stands here may still change."
    if record.status == "abandoned":
        return f"GIVEN UP – the work was not finished: {record.ended_words}"
    words = f" {record.ended_words}" if record.ended_words else ""
    if record.clean:
        return "CLOSED CLEAN – every step done, nothing skipped, no fault of our work open."
    return f"CLOSED, NOT CLEAN – what is not as it should be stands first.{words}"
