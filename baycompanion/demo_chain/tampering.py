"""What is planted in the files of a job that has ended: changed, taken away, or never finished."""

import hashlib
import json
import shutil
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from random import Random

from baycompanion.demo_chain.forging import Raw, forge, read_lines, saying
from baycompanion.store.durable import write_whole
from baycompanion.store.job import journal
from baycompanion.store.job.folder import PHOTOS, PINNED, RECORD
from baycompanion.store.ledger import ledger
from baycompanion.store.ledger.entering import enter
from baycompanion.store.ledger.entry import Ended

LATER = timedelta(days=2)
"""How long after its end a job is entered that is entered late."""


@dataclass(frozen=True, slots=True)
class EndedJob:
    """A job that has just been closed and is the newest in its shop's ledger."""

    folder: Path
    ended: datetime
    chance: Random

    @property
    def journal(self) -> Path:
        """Its journal."""
        return self.folder / journal.NAME

    @property
    def record(self) -> Path:
        """Its record."""
        return self.folder / RECORD

    @property
    def ledger(self) -> Path:
        """The ledger of its shop."""
        return self.folder.parents[1] / ledger.NAME

    def a_middle_line(self, lines: list[bytes]) -> int:
        """Return a line well inside, counted from 0."""
        return self.chance.randrange(5, len(lines) - 5)


@dataclass(frozen=True, slots=True)
class Tampering:
    """One way in which the files of a job come not to be what they were."""

    act: Callable[[EndedJob], tuple[int, ...]]
    """Does it, and returns the events that show it, where they are known."""
    brings: tuple[str, ...] = ()
    """The rules that find something in the same job as a true consequence."""


def _lines(job: EndedJob) -> list[bytes]:
    return job.journal.read_bytes().splitlines(keepends=True)


def _event_changed(job: EndedJob) -> tuple[int, ...]:
    lines = _lines(job)
    place = job.a_middle_line(lines)
    by = json.loads(lines[place])["by"]
    lines[place] = lines[place].replace(f'"by":"{by}"'.encode(), b'"by":"S-0000"')
    write_whole(job.journal, b"".join(lines))
    return (place + 1,)


def _event_missing(job: EndedJob) -> tuple[int, ...]:
    lines = _lines(job)
    place = job.a_middle_line(lines)
    del lines[place]
    write_whole(job.journal, b"".join(lines))
    return (place + 1,)


def _event_extra(job: EndedJob) -> tuple[int, ...]:
    lines = _lines(job)
    place = job.a_middle_line(lines)
    lines.insert(place, lines[place])
    write_whole(job.journal, b"".join(lines))
    return (place + 1,)


def _event_reordered(job: EndedJob) -> tuple[int, ...]:
    lines = _lines(job)
    place = job.a_middle_line(lines)
    lines[place : place + 2] = reversed(lines[place : place + 2])
    write_whole(job.journal, b"".join(lines))
    return (place + 1, place + 2)


def _journal_torn(job: EndedJob) -> tuple[int, ...]:
    whole = job.journal.read_bytes()
    write_whole(job.journal, whole + whole.splitlines()[-1][:90])
    return ()


def _journal_gone(job: EndedJob) -> tuple[int, ...]:
    job.journal.unlink()
    return ()


def _journal_rewritten(job: EndedJob) -> tuple[int, ...]:
    read = next(
        line
        for line in read_lines(job.journal)
        if line["data"].get("step") == "ground-drop" and line["kind"] == "answered"
    )
    forge(job.journal, saying(read["seq"], words="11", number="11"))
    return ()


def _job_gone(job: EndedJob) -> tuple[int, ...]:
    shutil.rmtree(job.folder)
    return ()


def _renamed(job: EndedJob) -> tuple[int, ...]:
    job.folder.rename(renamed(job.folder))
    return (1,)


def renamed(folder: Path) -> Path:
    """Return what the folder of a job is called after it was renamed."""
    return folder.with_name(f"{folder.name}-old")


def _procedure_changed(job: EndedJob) -> tuple[int, ...]:
    pinned = job.folder / PINNED
    write_whole(pinned, pinned.read_bytes().replace(b"100", b"200"))
    return (1,)


def _photo(job: EndedJob) -> Path:
    return min((job.folder / PHOTOS).iterdir())


def _photo_changed(job: EndedJob) -> tuple[int, ...]:
    photo = _photo(job)
    write_whole(photo, photo.read_bytes() + b"\0")
    return ()


def _photo_gone(job: EndedJob) -> tuple[int, ...]:
    _photo(job).unlink()
    return ()


def _record_gone(job: EndedJob) -> tuple[int, ...]:
    job.record.unlink()
    return ()


def _record_differs(job: EndedJob) -> tuple[int, ...]:
    write_whole(job.record, job.record.read_bytes().replace(b"test van", b"rest van"))
    return ()


def _record_older(job: EndedJob) -> tuple[int, ...]:
    """Take an empty field out, as a version would write that did not know it."""
    record = json.loads(job.record.read_bytes())
    del record[next(name for name, value in record.items() if value in (None, [], {}))]
    write_whole(job.record, json.dumps(record, indent=2, ensure_ascii=False).encode() + b"\n")
    _enter_again(job, record=hashlib.sha256(job.record.read_bytes()).hexdigest())
    return ()


def _record_again(job: EndedJob) -> tuple[int, ...]:
    """Let the ledger know other bytes, as if an older version had written the record then."""
    _enter_again(job, record=hashlib.sha256(b"what an older version wrote").hexdigest())
    return ()


def _entry_differs(job: EndedJob) -> tuple[int, ...]:
    _enter_again(job, revision=9)
    return ()


def _enter_again(job: EndedJob, **data: str | int) -> None:
    """Let the newest entry of the ledger say something else, with its hash made afresh."""
    forge(job.ledger, saying(len(read_lines(job.ledger)), **data))


def _not_entered(job: EndedJob) -> tuple[int, ...]:
    """Leave the ledger as it was before, as where it could not be written and nobody looked."""
    newest = read_lines(job.ledger)[-1]["seq"]
    forge(job.ledger, lambda line: None if line["seq"] == newest else line)
    return ()


def _entered_twice(job: EndedJob) -> tuple[int, ...]:
    newest: Raw = read_lines(job.ledger)[-1]
    with ledger.held_ledger(job.ledger.parent) as held:
        held.append(Ended.model_validate(newest["data"]), newest["by"], job.ended)
    return ()


def _entered_late(job: EndedJob) -> tuple[int, ...]:
    _not_entered(job)
    enter(job.folder, job.ended + LATER)
    return ()


TAMPERING: dict[str, Tampering] = {
    "event-changed": Tampering(_event_changed),
    "event-missing": Tampering(_event_missing),
    "event-extra": Tampering(_event_extra),
    "event-reordered": Tampering(_event_reordered),
    "journal-torn": Tampering(_journal_torn),
    "journal-gone": Tampering(_journal_gone),
    "journal-rewritten": Tampering(_journal_rewritten, ("record-differs",)),
    "job-gone": Tampering(_job_gone),
    "job-renamed": Tampering(_renamed, ("job-gone", "job-not-in-ledger")),
    "procedure-changed": Tampering(_procedure_changed),
    "photo-changed": Tampering(_photo_changed),
    "photo-gone": Tampering(_photo_gone),
    "record-gone": Tampering(_record_gone),
    "record-differs": Tampering(_record_differs),
    "record-of-older-form": Tampering(_record_older),
    "record-written-again": Tampering(_record_again),
    "entry-differs": Tampering(_entry_differs),
    "job-not-in-ledger": Tampering(_not_entered),
    "job-entered-twice": Tampering(_entered_twice),
    "entered-late": Tampering(_entered_late),
}
"""By the rule that should find it."""

UNREAD = frozenset(
    {
        *("event-changed", "event-missing", "event-extra", "event-reordered"),
        *("journal-gone", "job-gone", "procedure-changed"),
    }
)
"""Those after which nobody can ask about the work of the job any more."""
