"""The timeline of a job: what its hours went to, phase by phase, and what happened when.

Two clocks run here. Moments are told by the clock on the wall, as the events carry them. Lengths
are measured along the line: milliseconds since the keys came in, which only ever grow. The two
differ by a constant until a clock is set back; from there on by another one. Along the line lies
all the time that passed by the wall; the job's own clock is that, less what nobody accounts for.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Container, Iterable
from dataclasses import dataclass, field, replace
from typing import Any, Literal

from baycompanion.job import events as kinds
from baycompanion.job.event import Event
from baycompanion.job.fold import begin, fold
from baycompanion.job.moment import moment_of, write_moment
from baycompanion.job.state import State
from baycompanion.procedure.conditions import leaves, step_named
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Witness

Sort = Literal["worked", "paused", "unaccounted"]
"""What a stretch of time was; unaccounted time belongs to no phase's time in the record."""

What = Literal[
    "keys in",
    "keys back",
    "given up",
    "gate shut",
    "gate opened",
    "gate opened for now",
    "gate overridden",
    "gate shut again",
    "pause",
    "gap",
    "clock set back",
    "fault",
    "fault cleared",
    "step reopened",
    "other hands",
    "from paper",
    "late entry",
    "second person",
    "released for now",
    "newer revision",
]
"""The kinds of what is marked on the line."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of one sort of time, in one phase; empty before the first step began."""

    phase: str
    sort: Sort
    begins: int
    """Milliseconds along the line."""
    ends: int

    @property
    def length(self) -> int:
        """How long it is, in milliseconds."""
        return self.ends - self.begins


@dataclass(frozen=True, slots=True)
class Mark:
    """Something that happened, with the events that say so."""

    what: What
    at: int
    """Milliseconds along the line."""
    moment: str
    """What the clock on the wall read then, as the journal writes moments."""
    events: tuple[Event, ...]
    """The first one made the mark; later ones only add to it."""
    phase: str
    """On the row of which phase it belongs; empty where it belongs to the job as a whole."""
    gates: tuple[str, ...] = ()
    step: str | None = None
    ends: int | None = None
    """Where it came to its end: a gate opened, the work went on, a fault was put right."""
    ended_by: Event | None = None

    @property
    def event(self) -> Event:
        """The event that made it."""
        return self.events[0]


@dataclass(frozen=True, slots=True)
class Timeline:
    """What the hours of a job went to, from the keys in to its newest event."""

    length: int
    """Milliseconds along the line, from the keys in to the newest event."""
    stretches: tuple[Stretch, ...]
    """In order; none overlaps another. Before the first step and after the end of the job no time
    is worked, and lies in none."""
    marks: tuple[Mark, ...]
    """In the order of time, then of the journal."""
    clocks: tuple[tuple[int, int], ...]
    """From where along the line on the wall clock is ahead of it by how many milliseconds; there
    is more than one where a clock was set back."""

    def wall(self, along: int) -> int:
        """Return what the clock on the wall read there, in milliseconds since 1970, UTC."""
        starts = [start for start, _ in self.clocks]
        return along + self.clocks[bisect_right(starts, along) - 1][1]

    def wall_before(self, along: int) -> int:
        """Return the same for what ends there: before a clock was set back at that place."""
        starts = [start for start, _ in self.clocks]
        return along + self.clocks[max(0, bisect_left(starts, along) - 1)][1]

    def of_phase(self, phase: str) -> tuple[Stretch, ...]:
        """Return the stretches of one phase; more than one where it was gone back to."""
        return tuple(each for each in self.stretches if each.phase == phase)


def make_timeline(procedure: Procedure, events: Iterable[Event]) -> Timeline:
    """Return the timeline of the job with these `events`, the first of which opens it.

    `procedure` is the one that it follows by now; of a gate or a phase that a newer revision took
    away, less is known.
    """
    rest = iter(events)
    walk = _Walk(procedure, next(rest))
    for event in rest:
        walk.take(event)
    return walk.timeline()


@dataclass
class _Walk:
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
    gap: int | None = None
    """The stretch that waits to be explained."""
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

    def take(self, event: Event) -> None:
        """Add one event."""
        before, self.event = self.state, event
        self._pass_time(before, event)
        self.state = fold(before, event)
        marked = _MARKS.get(event.kind)
        if marked is not None:
            marked(self, event.data, before)

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
        found = event.data if isinstance(event.data, kinds.GapFound) else None
        unknown = min(passed, found.seconds * 1000) if found is not None else 0
        sort: Sort = "paused" if before.status == "paused" else "worked"
        if before.gap is not None:
            sort = "unaccounted"
        self._lay(before, sort, begins, self.along - unknown)
        if found is not None:
            self.gap = len(self.stretches)
            gap = Stretch(before.phase or "", "unaccounted", self.along - unknown, self.along)
            self.stretches.append(gap)
            self.gap_moment = write_moment(moment_of(event.milliseconds - unknown))

    def _lay(self, state: State, sort: Sort, begins: int, ends: int) -> None:
        unphased = state.phase is None and sort == "worked"  # no work yet, nor is it in the record
        if ends > begins and not unphased:
            self.stretches.append(Stretch(state.phase or "", sort, begins, ends))

    def explain_gap(self, meaning: str, before: State) -> None:
        """Take the gap for what it is said to have been, as the fold does."""
        at, self.gap = self.gap, None
        if at is None or meaning == "clock" or before.status in ("closed", "abandoned"):
            return
        away = meaning == "away" or before.status == "paused"
        gap = self.stretches[at]
        self.stretches[at] = replace(gap, sort="paused" if away else "worked")

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
        if self.gap is not None:
            began = self.stretches[self.gap].begins
            self.marks[place] = replace(self.marks[place], at=began, moment=self.gap_moment)
        return place

    def add_event(self, place: int) -> None:
        """Let the newest event stand with the mark at `place`."""
        mark = self.marks[place]
        self.marks[place] = replace(mark, events=(*mark.events, self.event))

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


# --- what is marked ----------------------------------------------------------------------------


def _closed(walk: _Walk, data: kinds.Closed, before: State) -> None:
    walk.mark_job("keys back")


def _abandoned(walk: _Walk, data: kinds.Abandoned, before: State) -> None:
    walk.mark_job("given up")


def _gate_held(walk: _Walk, data: kinds.GateHeld, before: State) -> None:
    """Mark where a gate shut in front of the work; what it waits for may change meanwhile."""
    held = walk.lasting.get(("gate", data.gate))
    if held is not None:
        walk.add_event(held)
        return
    place = walk.mark("gate shut", data.step, gates=(data.gate,))
    walk.begin_lasting(("gate", data.gate), place)


def _gate_opened(walk: _Walk, data: kinds.GateOpened, before: State) -> None:
    """Mark an opened gate; those that open at once in front of one step are one mark."""
    was_held = ("gate", data.gate) in walk.lasting
    walk.end_lasting(("gate", data.gate))
    for_now = _waits_for_released(walk.procedure, walk.state, data.gate)
    what: What = "gate opened for now" if for_now else "gate opened"
    last = walk.last
    together = last.events[-1].seq == walk.event.seq - 1 and last.at == walk.along
    if together and not was_held and (last.what, last.step) == (what, data.step):
        walk.add_event(len(walk.marks) - 1)
        walk.marks[-1] = replace(walk.last, gates=(*last.gates, data.gate))
    else:
        walk.mark(what, data.step, gates=(data.gate,))


def _waits_for_released(procedure: Procedure, state: State, name: str) -> bool:
    """Return whether a gate rests on a step that was released without a second person."""
    gate = procedure.all_gates.get(name)
    named = (step_named(leaf) for leaf in leaves(gate.until)) if gate is not None else ()
    return any(step is not None and state.track(step).provisional for step in named)


def _overridden(walk: _Walk, data: kinds.Overridden, before: State) -> None:
    walk.end_lasting(("gate", data.gate))
    track = before.gates.get(data.gate)
    walk.mark("gate overridden", track.step if track is not None else None, gates=(data.gate,))


def _gate_shut_again(walk: _Walk, data: kinds.GateShutAgain, before: State) -> None:
    track = before.gates.get(data.gate)
    step = track.step if track is not None else data.step
    walk.mark("gate shut again", step, gates=(data.gate,))


def _paused(walk: _Walk, data: kinds.Paused, before: State) -> None:
    """Mark a pause; one that a gap turned out to be began with the gap."""
    walk.end_lasting(("pause", None))
    walk.begin_lasting(("pause", None), walk.mark_gap("pause"))


def _resumed(walk: _Walk, data: kinds.Resumed, before: State) -> None:
    walk.end_lasting(("pause", None))


def _handed_over(walk: _Walk, data: kinds.HandedOver, before: State) -> None:
    walk.mark("other hands")


def _gap_found(walk: _Walk, data: kinds.GapFound, before: State) -> None:
    walk.begin_lasting(("gap", None), walk.mark_gap("gap"))


def _gap_explained(walk: _Walk, data: kinds.GapExplained, before: State) -> None:
    walk.explain_gap(data.meaning, before)
    walk.end_lasting(("gap", None))


def _clock_back(walk: _Walk, data: kinds.ClockBack, before: State) -> None:
    walk.mark_job("clock set back")


def _fault_raised(walk: _Walk, data: kinds.FaultRaised, before: State) -> None:
    walk.begin_lasting(("fault", data.fault), walk.mark("fault", data.step))


def _fault_cleared(walk: _Walk, data: kinds.FaultCleared, before: State) -> None:
    raised = walk.lasting.get(("fault", data.fault))
    step = walk.marks[raised].step if raised is not None else None
    walk.end_lasting(("fault", data.fault))
    walk.mark("fault cleared", step)


def _reopened(walk: _Walk, data: kinds.Reopened, before: State) -> None:
    walk.mark("step reopened", data.step)


def _revised(walk: _Walk, data: kinds.Revised, before: State) -> None:
    walk.mark_job("newer revision")
    for gate in data.gates_gone:
        walk.end_lasting(("gate", gate))


def _answered(walk: _Walk, data: kinds.Answered, before: State) -> None:
    if isinstance(walk.procedure.steps.get(data.step), Witness):
        for_now = data.outcome == "provisional"
        walk.mark("released for now" if for_now else "second person", data.step)
    else:
        _entered_late(walk, data, before)


def _entered_late(walk: _Walk, data: kinds.Answered | kinds.Ticked, before: State) -> None:
    """Mark what was entered after the fact; the lines of a step and its answer are one mark."""
    if data.claimed is None and not data.on_paper:
        return
    what: What = "from paper" if data.on_paper else "late entry"
    last = walk.last
    same = (last.what, last.step, last.event.by) == (what, data.step, walk.event.by)
    if same and last.events[-1].seq == walk.event.seq - 1:
        walk.add_event(len(walk.marks) - 1)
    else:
        walk.mark(what, data.step)


_MARKS: dict[str, Callable[[_Walk, Any, State], None]] = {
    kinds.Closed.kind: _closed,
    kinds.Abandoned.kind: _abandoned,
    kinds.GateHeld.kind: _gate_held,
    kinds.GateOpened.kind: _gate_opened,
    kinds.GateShutAgain.kind: _gate_shut_again,
    kinds.Overridden.kind: _overridden,
    kinds.Paused.kind: _paused,
    kinds.Resumed.kind: _resumed,
    kinds.HandedOver.kind: _handed_over,
    kinds.GapFound.kind: _gap_found,
    kinds.GapExplained.kind: _gap_explained,
    kinds.ClockBack.kind: _clock_back,
    kinds.FaultRaised.kind: _fault_raised,
    kinds.FaultCleared.kind: _fault_cleared,
    kinds.Reopened.kind: _reopened,
    kinds.Revised.kind: _revised,
    kinds.Answered.kind: _answered,
    kinds.Ticked.kind: _entered_late,
}
