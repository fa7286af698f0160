"""The timeline of a job as values: stretches of time, phase by phase, and marks on the line.

Two clocks run here. Moments are told by the clock on the wall, as the events carry them. Lengths
are measured along the line: milliseconds since the keys came in, which only ever grow. The two
differ by a constant until a clock is set back; from there on by another one. Along the line lies
all the time that passed by the wall; the job's own clock is that, less what nobody accounts for.
"""

from bisect import bisect_left, bisect_right
from dataclasses import dataclass
from typing import Literal

from baycompanion.job.events.event import Event

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
