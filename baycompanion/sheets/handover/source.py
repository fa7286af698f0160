"""What a hand-over sheet is made from, and how its modules read a record."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime

from baycompanion.job.events.moment import read_moment
from baycompanion.job.record.whole import JobRecord
from baycompanion.job.record.work import AttemptRecord, LineRecord, StepRecord
from baycompanion.job.state.words import moment_words
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Record, Step
from baycompanion.sheets.handover.pictures import Small

FINISHED = ("done", "done with deviation", "overridden")
"""The states of a step whose newest answer counts."""


@dataclass(frozen=True, slots=True)
class Source:
    """A record, the procedure it followed, and what the shop adds to both."""

    record: JobRecord
    procedure: Procedure
    shop: str
    """The name of the shop."""
    warranty: tuple[str, ...]
    when: datetime
    """When the sheet is made; it carries the zone in which every time is written."""
    hidden: frozenset[str] = frozenset()
    """The steps whose answers a second person is finding afresh, without seeing them."""
    pictures: Mapping[str, Small | str] = field(default_factory=dict)
    """By the file of a photo, the picture made small, or why there is none."""

    def moment(self, at: str) -> str:
        """Return a moment of the journal in the zone of the sheet; the day of keys in is left out.

        The head of the sheet names that day.
        """
        return moment_words(at, self.keys_in)

    @property
    def keys_in(self) -> datetime:
        """When the job began, in the zone of the sheet."""
        return read_moment(self.record.opened_at).astimezone(self.when.tzinfo)

    def stamp(self, done: AttemptRecord | LineRecord) -> str:
        """Return who did something and when; a late entry carries both of its times."""
        if done.claimed is None:
            return f"{done.by}, {self.moment(done.at)}"
        where = "on paper" if done.on_paper else "from memory"
        return f"{done.by}, {self.moment(done.claimed)} {where}, keyed in {self.moment(done.at)}"

    def finished(self, *verbs: str) -> Iterator[tuple[Step, StepRecord, AttemptRecord]]:
        """Yield the finished steps of these verbs, each with the answer that counts."""
        for part in self.record.steps:
            step = self.procedure.steps.get(part.id)
            seen = part.state in FINISHED and part.attempts and part.id not in self.hidden
            if step is not None and seen and part.verb in verbs:
                yield step, part, part.attempts[-1]

    def part(self, step: str) -> StepRecord | None:
        """Return what the record holds of a step, nothing where a second person is at it."""
        found = (part for part in self.record.steps if part.id == step)
        return None if step in self.hidden else next(found, None)

    def is_private(self, step: str | None) -> bool:
        """Return whether what belongs to this step never leaves the shop."""
        known = self.procedure.steps.get(step or "")
        return isinstance(known, Record) and known.private


def title(text: str) -> str:
    """Return what a step is about: its sentence without the command it begins with.

    `Write down the serial number of the new receiver.` is about `The serial number of the new
    receiver`; a sentence that begins otherwise stays as it is.
    """
    bare = text.rstrip(".")
    for command in ("Write down ", "Read ", "Measure ", "Note ", "Work out "):
        if bare.startswith(command) and len(bare) > len(command):
            rest = bare.removeprefix(command)
            return f"{rest[0].upper()}{rest[1:]}"
    return bare


def entry(answer: AttemptRecord) -> str:
    """Return what was written down in one line; an empty list is an entry too."""
    if answer.entries is not None:
        return "; ".join(answer.entries) or "none"
    bare = not answer.unit or answer.words.endswith(answer.unit)
    return answer.words if bare else f"{answer.words} {answer.unit}"


def number(count: int, one: str, more: str = "") -> str:
    """Return a count with its noun: `1 function`, `3 functions`."""
    return f"{count} {one if count == 1 else more or f'{one}s'}"
