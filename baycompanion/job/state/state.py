"""What a job has come to: the state that its events add up to."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from baycompanion.job.events.carried import PanelMark
from baycompanion.job.events.hands_kinds import Paused, PinRefused, SignedOn
from baycompanion.job.events.kinds import (
    Answered,
    Cause,
    CircuitBorrowed,
    Opened,
    Overridden,
    PhotoAdded,
    Revised,
    SplicePlanned,
    Ticked,
    TrayLineAdded,
    WaitSet,
)

Status = Literal["open", "paused", "closed", "abandoned"]


@dataclass(frozen=True)
class Attempt:
    """One answer to a step; earlier ones are kept beside later ones."""

    answer: Answered
    at: str
    by: str
    seq: int


@dataclass(frozen=True)
class Tick:
    """The newest answer to one line of a step."""

    answer: Ticked
    at: str
    by: str


@dataclass(frozen=True)
class StepTrack:
    """What has happened on one step."""

    attempts: tuple[Attempt, ...] = ()
    ticks: Mapping[str, Tick] = field(default_factory=dict)
    places: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    """For each line counted out its size and its slot in the tray, as they were said last."""
    uncounted: Mapping[str, int] = field(default_factory=dict)
    """For each line with a count that was taken back, the count, until the line has one anew."""
    acknowledged: frozenset[int] = frozenset()
    finished: bool = False
    settled: int | None = None
    """The fault that a bad outcome was put down as."""
    wait: WaitSet | None = None
    begun_clock: int | None = None
    """The job's clock, in milliseconds, when the step was last begun."""
    finished_clock: int | None = None
    begun_at: str | None = None
    finished_at: str | None = None
    worked: int = 0
    """Milliseconds worked on the step."""
    since_seq: int = 0
    """The event that last began or reopened the step; an answer before it counts no more."""
    reopened: tuple[str, ...] = ()
    """The reasons for which it was reopened."""
    reopened_seq: int = 0
    """The event that last reopened it; a photo taken before it shows what is undone now."""

    @property
    def last(self) -> Answered | None:
        """The newest answer, unless the step was reopened after it."""
        if self.attempts and (self.finished or self.attempts[-1].seq > self.since_seq):
            return self.attempts[-1].answer
        return None

    @property
    def good(self) -> bool:
        """Whether the step is finished with an outcome that opens gates."""
        return self.finished and self.attempts[-1].answer.weight == "good"

    @property
    def provisional(self) -> bool:
        """Whether it was released without a second person, and nobody has looked since."""
        return self.finished and self.attempts[-1].answer.outcome == "provisional"

    @property
    def worked_by(self) -> frozenset[str]:
        """Who answered the step or a line of it."""
        answered_by = {attempt.by for attempt in self.attempts}
        return frozenset(answered_by | {tick.by for tick in self.ticks.values()})

    @property
    def unsettled(self) -> bool:
        """Whether the newest answer is bad and nothing was decided about it."""
        return not self.finished and self.last is not None and self.last.weight == "bad"


@dataclass(frozen=True)
class GateTrack:
    """What has happened at one gate."""

    standing: Literal["held", "open", "overridden", "shut again"]
    at: str
    step: str
    override: Overridden | None = None
    """The override now in force."""
    by: str = ""


@dataclass(frozen=True)
class OverrideRecord:
    """One override, kept whatever happens at its gate later."""

    data: Overridden
    at: str
    by: str


@dataclass(frozen=True)
class Fault:
    """Something found wrong, open until cleared."""

    number: int
    cause: Cause
    words: str
    step: str | None
    item: str | None
    at: str
    by: str
    cleared_at: str | None = None
    cleared_by: str | None = None
    cleared_words: str = ""
    mark: PanelMark | None = None
    """The mark on a panel that it is about."""

    @property
    def open(self) -> bool:
        """Whether it still is to be put right."""
        return self.cleared_at is None


@dataclass(frozen=True)
class Note:
    """A note, with the step that was in hand."""

    words: str
    step: str | None
    at: str
    by: str


@dataclass(frozen=True)
class Photo:
    """A photo copied into the job."""

    data: PhotoAdded
    at: str
    by: str
    seq: int


@dataclass(frozen=True)
class Circuit:
    """A circuit of the vehicle that the job taps, splices into or grounds to."""

    data: CircuitBorrowed
    at: str
    by: str
    seq: int
    given_back_at: str | None = None
    given_back_by: str | None = None
    given_back_words: str = ""

    @property
    def in_use(self) -> bool:
        """Whether it is still borrowed."""
        return self.given_back_at is None


@dataclass(frozen=True)
class Pause:
    """A stretch in which nobody worked."""

    data: Paused
    at: str
    by: str
    since: str
    """When nobody worked any more: before `at` where a gap in time turned out to be a pause."""
    clock: int = 0
    """The job's clock, in milliseconds, at `since`."""
    clock_set: bool = False
    """Whether the clock was set back during it, so that nobody knows how long it lasted."""
    ended_at: str | None = None
    ended_by: str | None = None
    handed_to: str | None = None
    handed_words: str = ""
    read_back: str = ""


@dataclass(frozen=True)
class SignOn:
    """Somebody took a seat before the job."""

    data: SignedOn
    at: str
    by: str


@dataclass(frozen=True)
class WrongPin:
    """A wrong PIN was given."""

    data: PinRefused
    at: str


@dataclass(frozen=True)
class Revision:
    """A move to a newer revision, with the hash of the procedure followed until then."""

    data: Revised
    at: str
    by: str
    hash_before: str


@dataclass(frozen=True)
class PhaseTime:
    """Milliseconds spent in a phase, and its ends as moments."""

    worked: int = 0
    paused: int = 0
    begun_at: str | None = None
    last_at: str | None = None


@dataclass(frozen=True)
class Gap:
    """Time not accounted for yet."""

    milliseconds: int
    how: Literal["left", "slept"]
    since: str
    of: str
    """Who had the job in that time."""
    explained_by: str | None = None
    """Who said what it was, as far as known."""


@dataclass(frozen=True)
class State:
    """A job after some number of its events; a new one is made for each event, none is changed."""

    opened: Opened
    """What the job began with; its procedure is the one that it follows by now."""
    opened_at: str
    opened_by: str
    technician: str
    mentor: str | None = None
    """Who stands beside the technician, a trainee."""
    beside_mentors: frozenset[str] = frozenset()
    """Who has had the job with somebody beside them."""
    status: Status = "open"
    seq: int = 1
    head: str = ""
    """The hash of the newest event."""
    last_at: str = ""
    last_ms: int = 0
    clock: int = 0
    """The job's own clock: milliseconds since it was opened, less what nobody can account for."""
    accepted_at: str | None = None
    steps: Mapping[str, StepTrack] = field(default_factory=dict)
    current: str | None = None
    taken_up: bool = False
    """Whether the step in hand was taken up out of its place, in practice."""
    next_said: str | None = None
    """The step of which it was said, in practice, that it comes next or what does instead."""
    phase: str | None = None
    phases: Mapping[str, PhaseTime] = field(default_factory=dict)
    gates: Mapping[str, GateTrack] = field(default_factory=dict)
    overrides: tuple[OverrideRecord, ...] = ()
    choices: Mapping[str, str] = field(default_factory=dict)
    standings: Mapping[str, tuple[int, bool]] = field(default_factory=dict)
    """For each standing condition asked about: the event, and whether it held."""
    faults: tuple[Fault, ...] = ()
    notes: tuple[Note, ...] = ()
    photos: tuple[Photo, ...] = ()
    plan: SplicePlanned | None = None
    """The splice plan, the newest one."""
    circuits: tuple[Circuit, ...] = ()
    """The register of borrowed circuits."""
    tray: tuple[TrayLineAdded, ...] = ()
    """The lines that were added to counts out at the vehicle."""
    pauses: tuple[Pause, ...] = ()
    gap: Gap | None = None
    gaps: tuple[tuple[Gap, str], ...] = ()
    """Gaps with what they were said to be."""
    revisions: tuple[Revision, ...] = ()
    """Where the job went on by a newer revision of its procedure."""
    clock_backs: tuple[tuple[str, int], ...] = ()
    sign_ons: tuple[SignOn, ...] = ()
    wrong_pins: tuple[WrongPin, ...] = ()
    """Where the clock jumped back, and by how many seconds."""
    ended_at: str | None = None
    ended_words: str = ""
    clean: bool | None = None

    @property
    def figures(self) -> Mapping[str, str]:
        """What the shop gave to the sums of the job."""
        return self.opened.figures or {}

    def photos_at(self, step: str) -> tuple[Photo, ...]:
        """Return the photos of `step` as it stands, taken since it was reopened.

        A picture that the job had before then shows what is undone now, whoever adds it again.
        """
        since = self.track(step).reopened_seq
        known = {photo.data.sha256 for photo in self.photos if photo.seq < since}
        return tuple(
            photo
            for photo in self.photos
            if photo.data.step == step and photo.seq > since and photo.data.sha256 not in known
        )

    def photographed(self, step: str) -> bool:
        """Return whether there is a photo of `step` as it stands."""
        return bool(self.photos_at(step))

    def track(self, step: str) -> StepTrack:
        """Return what has happened on `step`, which may be nothing."""
        return self.steps.get(step, _UNTOUCHED)


_UNTOUCHED = StepTrack()
