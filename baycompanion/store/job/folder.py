"""The folder of one job: what lies in it, making one, and reading one without writing."""

import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from baycompanion.job.deciding.opening import KeysIn, open_job
from baycompanion.job.events.chain import canonical
from baycompanion.job.events.event import Event
from baycompanion.job.events.kinds import Opened
from baycompanion.job.state.fold import fold_all
from baycompanion.job.state.impossible import impossible
from baycompanion.job.state.state import State
from baycompanion.procedure.fields import LONGEST_LINE
from baycompanion.procedure.load import Loaded, hash_of
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.pinned import pinned_procedure
from baycompanion.store.durable import flush_folder, write_whole
from baycompanion.store.job import journal
from baycompanion.store.job.journal_ends import End
from baycompanion.store.job.record_ahead import keep_ahead
from baycompanion.store.reading import read_text
from baycompanion.store.trouble import StoreTrouble, because
from baycompanion.text.clean import clean_sentence
from baycompanion.text.problem import BadFile, Problem

if TYPE_CHECKING:
    from baycompanion.job.record.whole import JobRecord

PINNED = "procedure.yaml"
RECORD = "record.json"
PHOTOS = "photos"


@dataclass(frozen=True, slots=True)
class JobRead:
    """A job as its folder holds it."""

    folder: Path
    procedure: Procedure
    events: tuple[Event, ...]
    state: State
    torn: bytes


@dataclass(frozen=True, slots=True)
class JobListed:
    """A job in a list, known by the two ends of its journal."""

    folder: Path
    job: str
    opened: Opened
    opened_at: str
    end: End

    @property
    def status(self) -> str:
        """Under way, closed, or abandoned."""
        return self.end.status

    @property
    def standing(self) -> str:
        """How it stands, in words."""
        return self.end.standing


def make_job(jobs: Path, loaded: Loaded, keys: KeysIn) -> Path:
    """Make the folder of a new job, pin its procedure, and write its first event.

    Raises:
        BadFile: The procedure has errors.
        StoreTrouble: An entry is too long, or the folder cannot be made or written.
    """
    refuse_errors(loaded)
    _refuse_long(keys)
    pinned = loaded.pinned_text
    folder = new_folder(jobs, f"{keys.when:%Y%m%d}-{_slug(keys.work_order)}")
    write_whole(folder / PINNED, pinned.encode())
    first = open_job(loaded.procedure, hash_of(pinned), folder.name, keys)
    write_whole(folder / journal.NAME, canonical(first.as_dict()) + b"\n")
    flush_folder(jobs)
    return folder


def _refuse_long(keys: KeysIn) -> None:
    """Refuse, at whatever door, what nobody can read on the board: a whole page that was pasted."""
    entries = {
        "Work order": keys.work_order,
        "Vehicle": keys.vehicle.description,
        "VIN": keys.vehicle.vin,
        "Plate": keys.vehicle.plate,
    }
    for name, text in entries.items():
        if len(text) > LONGEST_LINE:
            raise StoreTrouble(f"{name}: longer than {LONGEST_LINE} characters. Shorten it.")


def _slug(work_order: str) -> str:
    """Return a work order as a folder can be called on every system."""
    return re.sub(r"[^a-z0-9]+", "-", work_order.lower()).strip("-")[:40] or "job"


def new_folder(jobs: Path, name: str) -> Path:
    """Make a folder of that name in `jobs`, or of the first number after it that nobody has.

    Raises:
        StoreTrouble: It cannot be made, or there are too many of that name.
    """
    for number in range(1, 1000):
        folder = jobs / (name if number == 1 else f"{name}-{number}")
        try:
            folder.mkdir(parents=True)
        except FileExistsError:
            continue
        except OSError as error:
            raise StoreTrouble(f"{folder} cannot be made: {because(error)}.") from None
        return folder
    raise StoreTrouble(f"There are 999 jobs called {name} already. Use another work order.")


def read_job(folder: Path) -> JobRead:
    """Return the job in `folder`.

    Raises:
        StoreTrouble: Its journal cannot be read or was damaged, or its pinned procedure is
            missing or not the one the job began with. Or it is practice, and no job.
        BadFile: The pinned procedure cannot be read any more.
    """
    job = read_any(folder)
    _refuse_practice(folder, job.state.opened)
    return job


def read_any(folder: Path) -> JobRead:
    """Return the job or the practice in `folder`.

    Raises:
        StoreTrouble, BadFile: As `read_job`, but for practice.
    """
    return _read(folder, journal.read_journal(folder / journal.NAME))


def _refuse_practice(folder: Path, opened: Opened) -> None:
    """Refuse to take practice, wherever it was copied to, for a job."""
    if opened.practice is not None:
        raise StoreTrouble(
            f"{folder} is practice on a made-up vehicle and counts nowhere. "
            "Move it out of the jobs, back below the learning folder."
        )


def read_job_as_far(folder: Path) -> tuple[JobRead, StoreTrouble | None]:
    """Return the job in `folder` up to the first damaged line of its journal, and that trouble.

    Raises:
        StoreTrouble, BadFile: As `read_job`, but for lines after the first that were damaged.
    """
    held, trouble = journal.read_as_far(folder / journal.NAME)
    job = _read(folder, held)
    _refuse_practice(folder, job.state.opened)
    return job, trouble


def refuse_link(folder: Path) -> None:
    """Refuse a folder that is a link: what lies among the jobs lies there itself.

    Raises:
        StoreTrouble: It is one.
    """
    if folder.is_symlink():
        raise StoreTrouble(f"{folder} is a link, and a job is none. Put its folder itself there.")


def _read(folder: Path, held: journal.Journal) -> JobRead:
    """Return the job of a journal, with the procedure that it follows by the end of that."""
    refuse_link(folder)
    state = fold_all(held.events)
    path = pinned_path(folder, len(state.revisions))
    pinned = read_text(path)
    if hash_of(pinned) != state.opened.procedure_hash:
        raise StoreTrouble(f"{path} was changed after the job began. Put the first one back.")
    procedure = pinned_procedure(pinned, str(path))
    if why := impossible(procedure, state):
        raise StoreTrouble(
            f"{folder / journal.NAME}: Its lines hold together, and {why}. This program never "
            "wrote that; keep it for the audit."
        )
    return JobRead(folder, procedure, held.events, state, held.torn)


def pinned_path(folder: Path, moves: int) -> Path:
    """Return where the procedure lies that a job follows after so many moves to newer ones."""
    return folder / (PINNED if moves == 0 else f"procedure-{moves + 1}.yaml")


def refuse_errors(loaded: Loaded) -> None:
    """Refuse a procedure that no job may follow.

    Raises:
        BadFile: It has errors.
    """
    errors = _errors(loaded)
    if errors:
        raise BadFile(errors)


@lru_cache(maxsize=64)  # as many as the shelf keeps: whoever looks at it asks this of each
def _errors(loaded: Loaded) -> list[Problem]:
    from baycompanion.procedure.check import check  # with all sums, which no other reading needs
    from baycompanion.trade.catalogue import SUMS

    return [problem for problem in check(loaded, SUMS) if problem.weight == "error"]


def list_jobs(jobs: Path) -> Iterator[JobListed | StoreTrouble]:
    """Yield every job below `jobs`, newest first, after why those that cannot be read cannot."""
    listed: list[JobListed] = []
    try:
        folders = job_folders(jobs)
    except StoreTrouble as trouble:
        yield trouble
        return
    for folder in folders:
        try:
            listed.append(_listed(folder))
        except StoreTrouble as trouble:
            yield trouble
    yield from sorted(listed, key=lambda job: (job.opened_at, job.folder.name), reverse=True)


def job_folders(jobs: Path) -> list[Path]:
    """Return the folders below `jobs` that hold a journal, in the order of their names.

    Raises:
        StoreTrouble: `jobs` cannot be read.
    """
    try:
        folders = sorted(jobs.iterdir(), key=lambda folder: folder.name)  # sooner than whole paths
        return [folder for folder in folders if _has_journal(folder)]
    except OSError as error:
        raise StoreTrouble(f"{jobs} cannot be read: {because(error)}.") from None


def _has_journal(folder: Path) -> bool:
    """Return whether `folder` is that of a job; one closed to us says so when it is read."""
    try:
        return (folder / journal.NAME).is_file()
    except PermissionError:
        return True


def _listed(folder: Path) -> JobListed:
    refuse_link(folder)
    if clean_sentence(folder.name) != folder.name:
        raise StoreTrouble(f"{folder} is passed over for the signs in its name. Rename it.")
    first, end = journal.read_ends(folder / journal.NAME)
    opened = first.data
    assert isinstance(opened, Opened)
    _refuse_practice(folder, opened)
    return JobListed(folder, opened.job, opened, first.at, end)


def record_of(job: JobRead) -> "JobRecord":
    """Return the record of `job` as it stands."""
    from baycompanion.job.record.making import make_record  # with all models of a record

    return make_record(job.procedure, job.state, job.events)


def record_bytes(record: "JobRecord") -> bytes:
    """Return the bytes of a record file: the same record gives the same bytes."""
    return record.model_dump_json(indent=1).encode() + b"\n"


def write_record(folder: Path, record: "JobRecord") -> Path:
    """Write `record` into its job's folder, and return where.

    Raises:
        StoreTrouble: It cannot be written, or would take the place of what the journal has lost.
    """
    path = folder / RECORD
    keep_ahead(path, record)
    write_whole(path, record_bytes(record))
    return path


def has_record(folder: Path, head: str) -> bool:
    """Return whether the record in `folder` is that of the journal that ends with `head`."""
    try:
        return bool(json.loads((folder / RECORD).read_bytes())["last_hash"] == head)
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return False
