"""The folder of one job, read for an audit: file by file, so that a bad one hides no other."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from baycompanion.audit.chains.chain_break import Break, BrokenChain, whole_links
from baycompanion.audit.chains.integrity import JobEvents
from baycompanion.audit.one_job.files import JobFiles
from baycompanion.job.events.chain import parsed
from baycompanion.job.events.event import BadEvent, Event, read_link
from baycompanion.job.record.making import make_record
from baycompanion.job.state.state import State
from baycompanion.procedure.load import hash_of
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.pinned import pinned_procedure
from baycompanion.store.job import journal
from baycompanion.store.job.folder import PHOTOS, RECORD, pinned_path, record_bytes
from baycompanion.store.reading import as_text
from baycompanion.store.trouble import StoreTrouble


class ChangedProcedure(Exception):
    """A pinned procedure is not the one that the events name; carries the name of its file."""


@dataclass(frozen=True, slots=True)
class JournalRead:
    """A journal: where its chain breaks, or else the events in it."""

    broken: Break | None
    torn: int
    """Bytes after the last whole line."""
    events: tuple[Event, ...] = ()
    """All of them; none where the chain is broken."""


def read_journal(files: JobFiles) -> JournalRead:
    """Return the journal of the job of `files`.

    Raises:
        StoreTrouble: It cannot be read, or holds together and says what this program cannot read.
    """
    path = files.folder / journal.NAME
    content = files.read(journal.NAME)
    whole, newline, torn = content.rpartition(b"\n")
    lines = whole.split(b"\n") if newline else []
    try:
        links = list(whole_links(lines))
    except BrokenChain as broken:
        return JournalRead(broken.where, len(torn))
    events = tuple(_events(path, links, lines))
    if not events:
        raise StoreTrouble(f"{path} holds no whole event, so there is no job in it.")
    return JournalRead(None, len(torn), events)


def _events(path: Path, links: list[dict[str, Any]], lines: list[bytes]) -> Iterator[Event]:
    for number, (link, line) in enumerate(zip(links, lines, strict=True), start=1):
        try:
            yield read_link(link, line, first=number == 1)
        except BadEvent as error:
            raise StoreTrouble(f"{path}:{number}: {error}.") from None


def job_events(job: str, events: tuple[Event, ...], state: State) -> JobEvents:
    """Return what the rules look at of `events`, all of a job, and the `state` after them."""
    return JobEvents(
        job=job,
        hashes=tuple(event.hash for event in events),
        status=state.status,
        ended_at=state.ended_at,
        procedure=state.opened.procedure,
        revision=state.opened.revision,
    )


def read_record(files: JobFiles) -> bytes | None:
    """Return the bytes of the record among `files`, None where there is none.

    Raises:
        StoreTrouble: It cannot be read.
    """
    return files.read(RECORD) if files.has(RECORD) else None


def pinned(files: JobFiles, state: State) -> Procedure:
    """Return the procedure that the job of `files` follows in `state`.

    Raises:
        ChangedProcedure: It is not the one that the events name.
        StoreTrouble: It cannot be read.
        BadFile: It cannot be read any more by this program.
    """
    path = pinned_path(files.folder, len(state.revisions))
    text = as_text(files.read(path.name), path)
    if hash_of(text) != state.opened.procedure_hash:
        raise ChangedProcedure(path.name)
    return pinned_procedure(text, str(path))


def events_in_record(content: bytes, events: tuple[Event, ...]) -> int | None:
    """Return how many of `events` the record `content` was made from, None where it is of others.

    A record of a job under way, or of one that has grown since, was made from the first of them.
    """
    try:
        told = parsed(content)
        count, last = len(told["events"]), (told.get("last_hash"), told["events"][-1]["hash"])
    except (ValueError, KeyError, TypeError, AttributeError, IndexError):
        return None
    return count if 1 <= count <= len(events) and events[count - 1].hash in last else None


def photo_standing(files: JobFiles, file: str, sha256: str) -> Literal["whole", "changed", "gone"]:
    """Return how the photo `file` of a job stands against the hash in its event.

    Raises:
        StoreTrouble: It is there and cannot be read.
    """
    name = f"{PHOTOS}/{file}"
    if Path(file).name != file or not files.is_plain(name):
        return "gone"
    return "whole" if files.hash_of(name) == sha256 else "changed"


def record_afresh(procedure: Procedure, events: tuple[Event, ...], state: State) -> bytes:
    """Return the record of a job that follows `procedure`, from all its events up to `state`."""
    return record_bytes(make_record(procedure, state, events))
