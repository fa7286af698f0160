"""Whether a job's journal and the ledger still say what they said, each by itself and together.

Each rule takes plain values and gives findings. `audit.shop` reads the files and asks the rules.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Literal

from baycompanion.audit.chains.chain_break import Break, How
from baycompanion.audit.findings import Finding, Rule, spans
from baycompanion.job.events.moment import read_moment
from baycompanion.store import review
from baycompanion.store.ledger.entry import Ended, Entry, JobEntry

BROKEN_EVENTS: dict[How, Rule] = {
    "changed": Rule("event-changed", "grave"),
    "missing": Rule("event-missing", "grave"),
    "extra": Rule("event-extra", "grave"),
    "reordered": Rule("event-reordered", "grave"),
}
BROKEN_LEDGER: dict[How, Rule] = {
    "changed": Rule("entry-changed", "grave"),
    "missing": Rule("entry-missing", "grave"),
    "extra": Rule("entry-extra", "grave"),
    "reordered": Rule("entry-reordered", "grave"),
}
BROKEN_REVIEW: dict[How, Rule] = {
    "changed": Rule("review-changed", "serious"),
    "missing": Rule("review-missing", "serious"),
    "extra": Rule("review-extra", "serious"),
    "reordered": Rule("review-reordered", "serious"),
}
REVIEW_TORN = Rule("review-torn", "minor")
JOURNAL_GONE = Rule("journal-gone", "grave")
JOURNAL_TORN = Rule("journal-torn", "minor")
PRACTICE_AMONG_JOBS = Rule("practice-among-jobs", "serious")
LEDGER_TORN = Rule("ledger-torn", "minor")
LEDGER_GONE = Rule("ledger-gone", "serious")
PROCEDURE_CHANGED = Rule("procedure-changed", "grave")
PHOTO: dict[Literal["changed", "gone"], Rule] = {
    "changed": Rule("photo-changed", "grave"),
    "gone": Rule("photo-gone", "serious"),
}
RENAMED = Rule("job-renamed", "serious")
REWRITTEN = Rule("journal-rewritten", "grave")
NOT_ENTERED = Rule("job-not-in-ledger", "serious")
ENTERED_TWICE = Rule("job-entered-twice", "serious")
ENTRY_DIFFERS = Rule("entry-differs", "grave")
ENTERED_LATE = Rule("entered-late", "minor")
ENROLLED = Rule("entered-afterwards", "minor")
JOB_GONE = Rule("job-gone", "grave")

LATE = timedelta(days=1)
"""How long after its end a job may be entered without a word. Own choice."""

ASK = "Ask who had the folder."


@dataclass(frozen=True, slots=True)
class JobEvents:
    """The whole events of a job, as far as these rules look at them."""

    job: str
    hashes: Sequence[str]
    status: str
    ended_at: str | None
    procedure: str
    revision: int

    @property
    def ended(self) -> bool:
        """Whether the job is closed or abandoned."""
        return self.status in ("closed", "abandoned")


def broken_journal(job: str, broken: Break) -> Finding:
    """Return the finding of the first break in a journal."""
    told = told_break(broken, "event", "journal.jsonl")
    told += " Compare it with the copy of the events in record.json."
    return Finding(BROKEN_EVENTS[broken.how], told, job, events=broken.numbers)


def broken_ledger(broken: Break) -> Finding:
    """Return the finding of the first break in a ledger."""
    told = told_break(broken, "entry", "ledger.jsonl")
    return Finding(BROKEN_LEDGER[broken.how], f"{told} {ASK}", entries=broken.numbers)


def broken_review(broken: Break) -> Finding:
    """Return the finding of the first break in the review: words for findings may be forged."""
    told = told_break(broken, "entry", review.NAME)
    about = f"line {broken.line}"
    return Finding(BROKEN_REVIEW[broken.how], f"{told} No record is meant. {ASK}", about=about)


def odd_review_line(line: int) -> Finding:
    """Return the finding of a line of the review that this program does not read."""
    told = f"Line {line} of {review.NAME} says what this program cannot read; it may be newer."
    return Finding(BROKEN_REVIEW["changed"], f"{told} {ASK}", about=f"line {line}")


def torn_review(size: int) -> Finding:
    """Return the finding of `size` bytes after the last whole line of the review."""
    told = (
        f"{review.NAME} ends with {size} bytes that are no whole line. A crash leaves this, and "
        "the next word sets them aside; look whether the last word is the one expected."
    )
    return Finding(REVIEW_TORN, told)


def told_break(broken: Break, noun: str, file: str) -> str:
    """Return a break in words."""
    plural = (
        {"event": "events", "entry": "entries", "line": "lines"}[noun]
        if len(broken.numbers) > 1
        else noun
    )
    verb = {
        "changed": "was changed" if plural == noun else "do not hold together",
        "missing": "is missing" if plural == noun else "are missing",
        "extra": "stands there once too often",
        "reordered": "stand in another order",
    }[broken.how]
    what = f"{plural.capitalize()} {spans(broken.numbers)} {verb}"
    why = broken.why.format(noun, noun)
    return f"{what} ({file}, line {broken.line}): {why}."


def torn_journal(job: str, size: int) -> Finding:
    """Return the finding of `size` bytes after the last whole line of a journal."""
    told = (
        f"journal.jsonl ends with {size} bytes that are no whole line. A crash leaves this, and "
        "opening the job sets them aside; look whether the last event is the one expected."
    )
    return Finding(JOURNAL_TORN, told, job)


def against_entries(events: JobEvents, entries: Sequence[Entry]) -> Iterator[Finding]:
    """Yield where what was entered of a job is not what its journal holds.

    `entries` are those of this job, the oldest first; their data are `JobEntry`.
    """
    yield from _twice(events.job, entries)
    for entry in entries:
        yield from _against_entry(events, entry)
    newest = [entry for entry in entries if said_of(entry).head == events.hashes[-1]]
    if events.ended and entries and not newest:
        yield from _grown(events, entries[-1])
    for entry in newest[:1]:
        yield from _same_as_entered(events, entry)


def said_of(entry: Entry) -> JobEntry:
    """Return what `entry` says of a job."""
    assert isinstance(entry.data, JobEntry)
    return entry.data


def _twice(job: str, entries: Sequence[Entry]) -> Iterator[Finding]:
    by_head: dict[str, list[int]] = {}
    for entry in entries:
        by_head.setdefault(said_of(entry).head, []).append(entry.seq)
    for numbers in by_head.values():
        if len(numbers) > 1:
            told = "The same end of this job is entered more than once. Look at who entered it."
            yield Finding(ENTERED_TWICE, told, job, entries=tuple(numbers))


def _against_entry(events: JobEvents, entry: Entry) -> Iterator[Finding]:
    said, held = said_of(entry), len(events.hashes)
    if said.events > held:
        gone = tuple(range(held + 1, min(said.events, held + 1000) + 1))
        told = (
            f"Entered were {said.events} events on {entry.at[:10]}, and the journal holds {held}. "
            f"What is missing stood at its end. {ASK}"
        )
        yield Finding(BROKEN_EVENTS["missing"], told, events.job, gone, (entry.seq,))
    if 1 <= said.events <= held and events.hashes[said.events - 1] != said.head:
        told = (
            f"Event {said.events} is not the one that was entered on {entry.at[:10]}, though the "
            "journal holds together: it, or an event before it, was written anew with all that "
            f"follows. Compare the fingerprint on the printed hand-over sheet. {ASK}"
        )
        yield Finding(REWRITTEN, told, events.job, (said.events,), (entry.seq,))


def _grown(events: JobEvents, entry: Entry) -> Iterator[Finding]:
    since, held = said_of(entry).events, len(events.hashes)
    if held > since:
        told = (
            "Events were added after the job was entered, and it was not entered again. "
            "Opening the board enters it; look at who added them."
        )
        yield Finding(NOT_ENTERED, told, events.job, tuple(range(since + 1, held + 1)))


def not_entered(events: JobEvents) -> Finding:
    """Return the finding of an ended job of which the ledger has no entry."""
    told = (
        f"The job is {events.status}, and the ledger has no entry of it. Opening the board enters "
        "it; look whether an entry was taken out."
    )
    return Finding(NOT_ENTERED, told, events.job, (len(events.hashes),))


def _same_as_entered(events: JobEvents, entry: Entry) -> Iterator[Finding]:
    said = said_of(entry)
    pairs = {
        "procedure": (said.procedure, events.procedure),
        "revision": (said.revision, events.revision),
        "status": (said.status, events.status),
        "number of events": (said.events, len(events.hashes)),
    }
    for name, (entered, held) in pairs.items():
        if entered != held:
            told = f"The {name} was entered as {entered}, and the journal says {held}. {ASK}"
            seqs = (len(events.hashes),), (entry.seq,)
            yield Finding(ENTRY_DIFFERS, told, events.job, *seqs, about=name)
    late = isinstance(said, Ended) and said.follows is None and events.ended_at is not None
    if late and read_moment(entry.at) - read_moment(events.ended_at or "") > LATE:
        told = (
            f"The job ended on {(events.ended_at or '')[:10]} and was entered on {entry.at[:10]}. "
            "Until then only its own journal vouches for it; look why it was not entered at once."
        )
        yield Finding(ENTERED_LATE, told, events.job, (len(events.hashes),), (entry.seq,))


def job_gone(job: str, entries: Sequence[Entry]) -> Finding:
    """Return the finding of a job that was entered and whose folder is not there."""
    told = f"The folder of this job is not there, and it was entered. {ASK}"
    return Finding(JOB_GONE, told, job, entries=tuple(entry.seq for entry in entries))


def journal_gone(job: str, entries: Sequence[Entry]) -> Finding:
    """Return the finding of a folder of a job that has no journal any more."""
    told = f"The folder has no journal.jsonl, and there was one. {ASK}"
    return Finding(JOURNAL_GONE, told, job, entries=tuple(entry.seq for entry in entries))


def enrolled(day: str, count: int, first: int, last: int) -> Finding:
    """Return the finding of jobs entered on `day` because there was no ledger before."""
    jobs = "1 job was" if count == 1 else f"{count} jobs were"
    told = (
        f"{jobs} entered on {day}, not at the end: the ledger was begun then. For the time before "
        "only their own journals vouch; look whether an earlier ledger was taken away."
    )
    ends = (first,) if first == last else (first, last)
    return Finding(ENROLLED, told, entries=ends, about=day)


def ledger_gone(count: int) -> Finding:
    """Return the finding of a shop with ended jobs and no ledger."""
    jobs = "1 job has" if count == 1 else f"{count} jobs have"
    told = (
        f"{jobs} ended here, and there is no ledger.jsonl. Opening the board begins one; look "
        "whether there was one."
    )
    return Finding(LEDGER_GONE, told)


def torn_ledger(size: int) -> Finding:
    """Return the finding of `size` bytes after the last whole line of a ledger."""
    told = (
        f"ledger.jsonl ends with {size} bytes that are no whole line. A crash leaves this, and the "
        "next entry sets them aside; look whether the last job that ended is entered."
    )
    return Finding(LEDGER_TORN, told)


def changed_procedure(job: str, file: str) -> Finding:
    """Return the finding of a pinned procedure that is not the one that the events name."""
    told = f"{file} was changed after the job began; its hash is in the events. {ASK}"
    return Finding(PROCEDURE_CHANGED, told, job, (1,), about=file)


def photo(job: str, file: str, event: int, standing: Literal["changed", "gone"]) -> Finding:
    """Return the finding of a photo that is not the one that an event names."""
    how = {
        "changed": "is not the picture that was copied into the job: its hash does not fit",
        "gone": "is not there any more",
    }[standing]
    told = f"The photo {file} {how}. {ASK}"
    return Finding(PHOTO[standing], told, job, (event,), about=file)


def renamed(job: str, named: str) -> Finding:
    """Return the finding of a folder that is not called as its job was at its start."""
    told = (
        f"The folder was called {named} when the job began: it was renamed or copied. Look for "
        "another folder with the same events."
    )
    return Finding(RENAMED, told, job, (1,))


def practice_among_jobs(job: str, who: str) -> Finding:
    """Return the finding of practice of `who` that lies among the jobs."""
    told = (
        f"This is practice of {who} on a made-up vehicle, and no job. It counts nowhere. "
        "Move it out of the jobs, and look whether a job is missing in its place."
    )
    return Finding(PRACTICE_AMONG_JOBS, told, job, (1,))
