"""Whether record.json is still the record of its job's events, and the one that was entered."""

import hashlib
import json
from collections.abc import Iterator, Sequence

from baycompanion.audit.chains.difference import first_difference
from baycompanion.audit.chains.integrity import ASK, said_of
from baycompanion.audit.findings import Finding, Rule
from baycompanion.job.events.chain import LARGEST_INTEGER
from baycompanion.store.ledger.entry import Entry
from baycompanion.text.clean import clean_line
from baycompanion.text.problem import quoted

RECORD_GONE = Rule("record-gone", "serious")
RECORD_DIFFERS = Rule("record-differs", "grave")
RECORD_BEHIND = Rule("record-behind", "minor")
RECORD_REWRITTEN = Rule("record-written-again", "minor")
RECORD_OLDER = Rule("record-of-older-form", "minor")

LONGEST_FIELD = 120
"""Characters of the place of a field that are told; in a record of this program it is shorter."""


def against_fold(
    job: str, content: bytes, made: bytes, missed: tuple[int, ...], vouched: bool | None
) -> Iterator[Finding]:
    """Yield where record.json, `content`, is not the record `made` afresh from the same events.

    `missed` are the events of the journal that came after those in the record; `vouched` says
    that the ledger knows these very bytes, or that the job is still under way; None where no
    ledger knows the job.
    """
    if missed:
        told = (
            f"record.json stands at event {missed[0] - 1}, and {len(missed)} came after it. Write "
            "it again with the command record, and look at what came after."
        )
        yield Finding(RECORD_BEHIND, told, job, missed)
    if content != made:
        yield _differs(job, content, made, vouched)


def _differs(job: str, content: bytes, made: bytes, vouched: bool | None) -> Finding:
    """Return how a record that is not the one made afresh differs from it."""
    try:
        told = json.loads(content)
    except (ValueError, RecursionError):
        return Finding(RECORD_DIFFERS, f"record.json is no JSON any more. {ASK}", job)
    found = first_difference(told, json.loads(made))
    if found is None:
        said = "record.json says what the events say, in bytes that this program does not write."
        return Finding(RECORD_DIFFERS, f"{said} {ASK}", job)
    field = clean_line(found.field)[:LONGEST_FIELD]  # a forged record can call its fields anything
    older = found.how in ("missing", "empty") and vouched
    if older or (found.how == "empty" and vouched is None):
        said = (
            f"record.json lacks {field}, and what it has is what the events give. An older "
            "version of the program wrote it so; nothing needs doing."
        )
        return Finding(RECORD_OLDER, said, job)
    how = {
        "other": "is not what the events give",
        "extra": "is nothing that the events give",
        "missing": "is missing, and the events give it",
        "empty": "is missing, and the events give it",
    }[found.how]
    said = f"In record.json {field or 'all of it'} {how}. The journal counts; {ASK[0].lower()}"
    return Finding(RECORD_DIFFERS, f"{said}{ASK[1:]}", job)


def no_fold(job: str, content: bytes) -> Finding:
    """Return the finding of a record.json that carries other events than the journal."""
    try:
        last = json.loads(content)["events"][-1]["seq"]
    except (ValueError, KeyError, TypeError, IndexError, RecursionError):
        return Finding(RECORD_DIFFERS, f"record.json carries no events any more. {ASK}", job)
    numbers = (last,) if isinstance(last, int) and abs(last) <= LARGEST_INTEGER else ()
    named = last if numbers else quoted(clean_line(str(last)))
    told = (
        f"record.json ends with an event {named} that the journal does not hold there. One of the "
        f"two was changed. {ASK}"
    )
    return Finding(RECORD_DIFFERS, told, job, numbers)


def is_as_entered(content: bytes, entry: Entry | None) -> bool:
    """Return whether `content` is the very record that `entry` knows."""
    return entry is not None and hashlib.sha256(content).hexdigest() == said_of(entry).record


def record_against_entry(
    job: str, content: bytes, entry: Entry, as_made: bool
) -> Iterator[Finding]:
    """Yield whether record.json is not the one that the newest entry of its job knows.

    `as_made` says that it is what the events give all the same.
    """
    if said_of(entry).record is None or is_as_entered(content, entry):
        return
    if as_made:
        told = (
            f"record.json is what the events give, and other bytes than on {entry.at[:10]}. A "
            "newer version of the program writes more; look who wrote it again."
        )
        yield Finding(RECORD_REWRITTEN, told, job, entries=(entry.seq,))
    else:
        told = f"record.json is not the one that was entered on {entry.at[:10]}. {ASK}"
        yield Finding(RECORD_DIFFERS, told, job, entries=(entry.seq,))


def record_gone(job: str, entries: Sequence[Entry]) -> Finding:
    """Return the finding of an ended job without record.json."""
    told = (
        "The job has ended and there is no record.json. Opening the job writes it; look whether "
        "somebody took it away."
    )
    return Finding(RECORD_GONE, told, job, entries=tuple(entry.seq for entry in entries))
