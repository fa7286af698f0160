"""The events behind a finding, in words, and who stands behind them."""

from collections.abc import Iterator
from pathlib import Path

from baycompanion.audit.findings import Finding
from baycompanion.audit.one_job.files import JobFiles
from baycompanion.audit.one_job.folder import ChangedProcedure, pinned, read_journal
from baycompanion.audit.walk import JOBS
from baycompanion.job.events.event import Event
from baycompanion.job.state.fold import fold_all
from baycompanion.procedure.model import Procedure
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.problem import BadFile
from baycompanion.views.card.card import Piece
from baycompanion.views.event_words import event_line

MOST_EVENTS = 60
"""Events of a finding that are shown; the rest is counted."""


def job_folder(finding: Finding) -> Path | None:
    """Return the folder of the job that `finding` is about."""
    return Path(finding.shop) / JOBS / finding.job if finding.job else None


def job_events(folder: Path) -> tuple[tuple[Event, ...], Procedure | None]:
    """Return the events of the job in `folder`, and its procedure where it can be read.

    Raises:
        StoreTrouble: The journal cannot be read, or its chain is broken.
    """
    read = read_journal(JobFiles(folder))
    if read.broken is not None:
        raise StoreTrouble(f"The journal breaks at line {read.broken.line}; no event is shown.")
    try:
        return read.events, pinned(JobFiles(folder), fold_all(read.events))
    except (ChangedProcedure, StoreTrouble, BadFile):
        return read.events, None
    except Exception:  # events forged so that they do not fold
        return read.events, None


def evidence(finding: Finding) -> Iterator[Piece]:
    """Yield the events of `finding` in words: number, time, who, what."""
    folder = job_folder(finding)
    if folder is None or not finding.events:
        return
    try:
        events, procedure = job_events(folder)
    except StoreTrouble as trouble:
        yield Piece("quiet", str(trouble))
        return
    wanted = set(finding.events)
    named = [event for event in events if event.seq in wanted]
    for event in named[:MOST_EVENTS]:
        yield Piece("plain", event_line(event, procedure))
    if len(named) > MOST_EVENTS:
        yield Piece("quiet", f"and {len(named) - MOST_EVENTS} more")


def people_in(finding: Finding) -> tuple[str, ...]:
    """Return who stands behind the events of `finding`, in their order; nobody where none does."""
    folder = job_folder(finding)
    if folder is None:
        return ()
    try:
        events, _ = job_events(folder)
    except StoreTrouble:
        return ()
    wanted = set(finding.events) or {event.seq for event in events}
    return tuple(dict.fromkeys(event.by for event in events if event.seq in wanted))
