"""Walking along a job, event by event: its time laid along a line, and marks set on that."""

from collections.abc import Container, Iterable
from dataclasses import dataclass, field, replace
from typing import Any

from baycompanion.job.events import hands_kinds
from baycompanion.job.events.event import Event
from baycompanion.job.events.moment import moment_of, write_moment
from baycompanion.job.state.fold import begin, fold
from baycompanion.job.state.state import State
from baycompanion.job.timeline.values import Mark, Sort, Stretch, Timeline, What
from baycompanion.procedure.model import Procedure


@dataclass
class Walk:
    """What is known after some number of events."""

    procedure: Procedure
    event: Event
    """The newest one."""
    state: State = field(init=False)
    along: int = 0
    stretches: list[Stretch] = field(default_factory=list)
    marks: list[Mark] = field(default_factory=list)
    clocks: list[tuple[int, int]] = field(init=False)
    lasting: dict[tuple[str, Any], int] = field(default_factory=dict)
    """Marks that have not come to their end, by what they are about."""
    gap: list[int] = field(default_factory=list)
    """The stretches that wait to be explained: more than one where a gap was left so, and grew."""
    gap_moment: str = ""
    """When it began."""

    def __post_init__(self) -> None:
        self.state = begin(self.event)
        self.clocks = [(0, self.event.milliseconds)]
        self._mark("keys in", phase="")

    def timeline(self) -> Timeline:
        """Return what all events came to."""
        return Timeline(
            length=self.along,
            stretches=tuple(_joined(self.stretches, {start for start, _ in self.clocks})),
            marks=tuple(sorted(self.marks, key=lambda mark: (mark.at, mark.event.seq))),
            clocks=tuple(self.clocks),
        )

    def take(self, event: Event) -> State:
        """Add the time up to `event`, and the event to the state; return the state before it."""
        before, self.event = self.state, event
        self._pass_time(before, event)
        self.state = fold(before, event)
        return before

    # --- time ----------------------------------------------------------------------------------

    def _pass_time(self, before: State, event: Event) -> None:
        """Lay the time since the event before along the line, by what it was."""
        passed = event.milliseconds - before.last_ms
        if passed < 0:
            self.clocks.append((self.along, event.milliseconds - self.along))
            return
        begins, self.along = self.along, self.along + passed
        if before.status in ("closed", "abandoned"):
            return
        found = event.data if isinstance(event.data, hands_kinds.GapFound) else None
        known = before.gap.milliseconds if before.gap is not None else 0
        unknown = min(passed, max(0, found.seconds * 1000 - known)) if found is not None else 0
        sort: Sort = "paused" if before.status == "paused" else "worked"
        if before.gap is not None:
            sort = "unaccounted"
        self._lay(before, sort, begins, self.along - unknown)
        if found is not None:
            if not self.gap:
                self.gap_moment = write_moment(moment_of(event.milliseconds - unknown))
            self.gap.append(len(self.stretches))
            gap = Stretch(before.phase or "", "unaccounted", self.along - unknown, self.along)
            self.stretches.append(gap)

    def _lay(self, state: State, sort: Sort, begins: int, ends: int) -> None:
        unphased = state.phase is None and sort == "worked"  # no work yet, nor is it in the record
        if ends > begins and not unphased:
            self.stretches.append(Stretch(state.phase or "", sort, begins, ends))

    def explain_gap(self, meaning: str, before: State) -> None:
        """Take the gap for what it is said to have been, as the fold does."""
        gap, self.gap = self.gap, []
        if meaning in ("clock", "unknown") or before.status in ("closed", "abandoned"):
            return
        away = meaning == "away" or before.status == "paused"
        for at in gap:
            self.stretches[at] = replace(self.stretches[at], sort="paused" if away else "worked")

    # --- marks ---------------------------------------------------------------------------------

    def _mark(self, what: What, phase: str | None = None, **more: Any) -> int:
        """Add a mark on the row of `phase`, or else of the phase in hand; return its place."""
        row = phase if phase is not None else self.state.phase or ""
        self.marks.append(Mark(what, self.along, self.event.at, (self.event,), row, **more))
        return len(self.marks) - 1

    def mark(self, what: What, step: str | None = None, **more: Any) -> int:
        """Add a mark on the row of the phase of `step`, or else of the phase in hand."""
        phase = self.procedure.phase_of.get(step or "")
        return self._mark(what, phase.phase if phase is not None else None, step=step, **more)

    def mark_job(self, what: What) -> None:
        """Add a mark that belongs to the job as a whole."""
        self._mark(what, phase="")

    def mark_gap(self, what: What) -> int:
        """Add a mark where the gap began that waits to be explained; without one, here."""
        place = self.mark(what)
        if self.gap:
            began = self.stretches[self.gap[0]].begins
            self.marks[place] = replace(self.marks[place], at=began, moment=self.gap_moment)
        return place

    def add_event(self, place: int, **changes: Any) -> None:
        """Let the newest event stand with the mark at `place`, and change it so."""
        mark = self.marks[place]
        self.marks[place] = replace(mark, events=(*mark.events, self.event), **changes)

    def begin_lasting(self, about: tuple[str, Any], place: int) -> None:
        """Keep in mind that the mark at `place` has not come to its end."""
        self.lasting[about] = place

    def end_lasting(self, about: tuple[str, Any]) -> None:
        """Let a mark come to its end here, by the newest event."""
        place = self.lasting.pop(about, None)
        if place is not None:
            ended = replace(self.marks[place], ends=self.along, ended_by=self.event)
            self.marks[place] = ended

    @property
    def last(self) -> Mark:
        """The mark made last."""
        return self.marks[-1]


def _joined(stretches: Iterable[Stretch], clock_set: Container[int]) -> list[Stretch]:
    """Return `stretches` with those made one that follow one another and are alike.

    Where a clock was set back two stay two, so that each has times of day that make sense.
    """
    joined: list[Stretch] = []
    for each in stretches:
        last = joined[-1] if joined else None
        alike = last and (last.phase, last.sort, last.ends) == (each.phase, each.sort, each.begins)
        if last is not None and alike and each.begins not in clock_set:
            joined[-1] = replace(last, ends=each.ends)
        elif each.length:
            joined.append(each)
    return joined
