"""What one real job says of a trainee: whether they did the work, who watched, and how it went."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from baycompanion.job.events.event import Event
from baycompanion.job.events.hands_kinds import HandedOver
from baycompanion.job.events.kinds import Answered, Opened
from baycompanion.job.state.state import State
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Witness

StoodAs = Literal["mentor", "second person"]

SHARE = 0.5
"""The share of the answers above which the work counts as somebody's. Own choice: in a job that
changed hands, most of it."""


@dataclass(frozen=True, slots=True)
class Watched:
    """Why whoever signs a release may say that they watched."""

    stood_as: StoodAs | None
    """As what they stand in the job."""
    words: str = ""
    """What they say that they watched."""


@dataclass(frozen=True, slots=True)
class Worked:
    """One job, as it tells of somebody who worked in it."""

    who: str
    job: str
    procedure: str
    revision: int
    """The one that it followed in the end."""
    moved: bool
    """Whether it began by an older one."""
    closed: bool
    answers: int
    """Answers to steps that are no second person's."""
    own: int
    """Those of them that were theirs."""
    mentors: tuple[str, ...]
    """Who stood beside them while they had the job."""
    witnesses: tuple[str, ...]
    """Who looked at the work as a second person and passed it."""
    faults: int
    """Faults that the work caused."""
    overridden: tuple[str, ...]
    """Gates that were opened without what they wait for."""

    @property
    def did_it(self) -> bool:
        """Whether most of the work was theirs."""
        return self.own > SHARE * self.answers

    @property
    def supervised(self) -> bool:
        """Whether they did the work beside a mentor, or it was witnessed."""
        return self.did_it and bool(self.mentors or self.witnesses)

    def stood_as(self, by: str) -> StoodAs | None:
        """Return as what `by` stands in this job; None where they stand nowhere in it."""
        if by in self.mentors:
            return "mentor"
        return "second person" if by in self.witnesses else None


def worked(procedure: Procedure, state: State, events: Sequence[Event], who: str) -> Worked:
    """Return what the real job with `events`, which follows `procedure`, tells of `who`."""
    by = Counter(_answered_by(procedure, events))
    return Worked(
        who=who,
        job=state.opened.job,
        procedure=state.opened.procedure,
        revision=state.opened.revision,
        moved=bool(state.revisions),
        closed=state.status == "closed",
        answers=by.total(),
        own=by[who],
        mentors=tuple(dict.fromkeys(_mentors(events, who))),
        witnesses=tuple(dict.fromkeys(_witnesses(procedure, events, who))),
        faults=sum(fault.cause == "work" for fault in state.faults),
        overridden=tuple(dict.fromkeys(each.data.gate for each in state.overrides)),
    )


def most_work(procedure: Procedure, events: Sequence[Event]) -> str | None:
    """Return who gave most answers of a job; None where there are none."""
    by = Counter(_answered_by(procedure, events)).most_common(1)
    return by[0][0] if by else None


def _answered_by(procedure: Procedure, events: Sequence[Event]) -> Iterator[str]:
    for event in events:
        data = event.data
        if isinstance(data, Answered) and not _is_witness(procedure, data):
            yield event.by


def _is_witness(procedure: Procedure, data: Answered) -> bool:
    return isinstance(procedure.steps.get(data.step), Witness)


def _mentors(events: Sequence[Event], who: str) -> Iterator[str]:
    """Yield who stood beside `who` from the moments at which they took the job."""
    for event in events:
        data = event.data
        if isinstance(data, Opened | HandedOver) and data.mentor is not None:
            taker = data.to if isinstance(data, HandedOver) else event.by
            if taker == who:
                yield data.mentor


def _witnesses(procedure: Procedure, events: Sequence[Event], who: str) -> Iterator[str]:
    for event in events:
        data = event.data
        if not isinstance(data, Answered) or not _is_witness(procedure, data):
            continue
        if data.weight == "good" and event.by != who:
            yield event.by
