"""One job of the chain at work: step by step through the core, with a clock of its own."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from pathlib import Path
from random import Random

from baycompanion.demo_chain.forging import Change, forge
from baycompanion.demo_chain.people import REASON
from baycompanion.demo_chain.pictures import picture
from baycompanion.job.actions import (
    Accept,
    Action,
    Answer,
    Close,
    Override,
    TickLine,
    TickRest,
)
from baycompanion.job.deciding.draft import Person, Refused
from baycompanion.job.deciding.shop_lists import ShopLists
from baycompanion.job.hands_actions import PauseWork, Resume
from baycompanion.procedure.steps import Inspect
from baycompanion.store.job import journal
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.job.photos import copy_photo

USUAL = {
    "tools-staged": 90,
    "battery-rest": 60,
    "functions-before": 240,
    "headliner-pictured": 50,
    "plate-off": 240,
    "tray-out": 90,
    "supply": 80,
    "ground-drop": 150,
    "leads-joined": 500,
    "leads-insulated": 120,
    "fuse-right": 60,
    "label-written": 50,
    "lights": 60,
    "lights-seen": 90,
    "tray-back": 150,
    "light-home": 200,
    "quiet": 60,
    "functions-after": 240,
    "battery-after": 60,
    "shown": 120,
}
"""Seconds that each step takes in the middle of its spread, by far longer than its shortest."""

SHORTEST = {"plate-off": 60, "leads-joined": 90}
"""Seconds below which honest work never comes; elsewhere 8."""

DUE = date(2099, 6, 30)


@dataclass(slots=True)
class Course:
    """How one job goes: who does it, and what is not as it should be."""

    technician: Person
    second: Person
    """Who looks as the second person."""
    supervisor: Person
    mentor: str | None = None
    instead: dict[str, Callable[["Work"], None]] = field(default_factory=dict)
    """What is done in place of answering a step, by the step."""
    first: Callable[["Work"], None] | None = None
    """What is done once the hazards are accepted."""
    readings: dict[str, str] = field(default_factory=dict)
    """Readings that are given whatever the meter says, by the step."""
    phases: dict[str, float] = field(default_factory=dict)
    """How many times as long as usual a phase takes, by the phase."""
    stops_before: str = ""
    """The step at which the job is left; nothing where it is finished."""
    pause_before: str = ""
    """The step before which there is a pause."""
    faint: bool = False
    """Whether little shows what is planted."""
    untested: float = 0.01
    """The share of lines that could not be tested."""


@dataclass(slots=True)
class Work:
    """One job while it is played."""

    folder: Path
    lists: ShopLists
    course: Course
    now: datetime
    chance: Random
    pace: float
    """How much longer than others its technician takes."""
    scratch: Path
    """Where a picture lies before it is copied into the job."""
    evidence: tuple[int, ...] = ()
    """The events that show what was planted here."""
    job: OpenJob = field(init=False)
    _stretch: dict[str, float] = field(default_factory=dict)
    """How much longer than usual each phase of this job takes."""

    def __post_init__(self) -> None:
        """Take the job in hand."""
        self.job = OpenJob(self.folder, self.lists, self.course.technician, self.now)

    def play(self) -> None:
        """Play the job from its first step to its end, or to where its course leaves it."""
        try:
            self.act(Accept(accept="hazards"), 40)
            if self.course.first:
                self.course.first(self)
            for phase in self.job.procedure.phases:
                for step in phase.steps:
                    if step.id == self.course.stops_before:
                        return
                    if step.id == self.course.pause_before:
                        self._pause()
                    self.course.instead.get(step.id, lambda work, at=step: work.well(at.id))(self)
            self.act(Close(close="keys back"), 60)
        finally:
            self.job.leave()

    def act(self, action: Action, after: float, who: Person | None = None) -> None:
        """Take an action so many seconds after the one before.

        Raises:
            RuntimeError: The core refuses it: the chain and the core do not fit each other.
        """
        self.now += timedelta(seconds=round(after))
        result = self.job.act(action, who or self.course.technician, self.now)
        if isinstance(result, Refused):
            raise RuntimeError(f"{self.folder.name}: {action!r}: {result}")

    @property
    def newest(self) -> int:
        """The number of the newest event."""
        return self.job.state.seq

    def newest_of(self, kind: str, step: str | None = None) -> int:
        """Return the number of the newest event of a kind, at `step` where it is named."""
        return next(
            event.seq
            for event in reversed(self.job.events)
            if event.kind == kind and step in (None, getattr(event.data, "step", None))
        )

    def forge(self, change: Change) -> None:
        """Change the journal behind the program's back, while the job is under way."""
        self.job.leave()
        forge(self.folder / journal.NAME, change)
        self.job = OpenJob(self.folder, self.lists, self.course.technician, self.now)

    def takes(self, step: str) -> float:
        """Return the seconds that honest work at `step` takes in this job."""
        phase = self.job.procedure.phase_of[step].phase
        if phase not in self._stretch:
            own = self.chance.lognormvariate(0, 0.2) * self.pace
            self._stretch[phase] = own * self.course.phases.get(phase, 1)
        seconds = USUAL[step] * self._stretch[phase] * self.chance.lognormvariate(0, 0.15)
        fewest = 1 if phase in self.course.phases else SHORTEST.get(step, 8)
        return max(fewest, seconds)

    def well(self, step: str, within: float | None = None) -> None:
        """Do `step` as it should be done, and answer it; `within` seconds where they are named."""
        takes = self.takes(step) if within is None else within
        if step == "tools-staged":
            meter = TickLine(
                tick=step, item="multimeter", outcome="here", instrument="M-1", due=DUE
            )
            self.act(meter, takes / 2)
            self.act(TickLine(tick=step, item="trim-tools", outcome="here"), takes / 4)
            self.act(Answer(answer=step), takes / 4)
        elif step in ("functions-before", "functions-after"):
            self.sheet(step, takes)
        elif step in ("tray-out", "tray-back"):
            self.act(TickLine(tick=step, item="screws", count=4), takes / 2)
            self.act(TickLine(tick=step, item="clips", count=6), takes / 4)
            self.act(Answer(answer=step), takes / 4)
        elif step == "lights-seen":
            self.act(Answer(answer=step, outcome="passed"), takes, self.course.second)
        elif step in ("fuse-right", "lights", "quiet"):
            self.act(Answer(answer=step, outcome="passed"), takes)
        elif step in READ:
            self.act(Answer(answer=step, value=self._reading(step)), takes)
        else:
            if step in ("headliner-pictured", "leads-joined"):
                self.photo(takes / 2)
                takes /= 2
            self.act(Answer(answer=step), takes)

    def photo(self, after: float) -> None:
        """Add a picture to the step in hand."""
        source = self.scratch / "picture.png"
        source.write_bytes(picture(self.chance))
        self.act(copy_photo(source, self.job.photos), after)

    def sheet(self, step: str, takes: float) -> None:
        """Walk through the functions; now and then one cannot be tested, before and after."""
        for item in self._items():
            if self._untestable(item):
                could_not = TickLine(tick=step, item=item, outcome="could not test", words="locked")
                self.act(could_not, takes / 20)
        if len(self.job.state.track(step).ticks) < len(self._items()):
            self.act(TickRest(tick_rest=step), takes / 2)
        self.act(Answer(answer=step), takes / 4)

    def _items(self) -> tuple[str, ...]:
        before = self.job.procedure.steps["functions-before"]
        assert isinstance(before, Inspect)
        return tuple(item.item for item in before.of)

    def _untestable(self, item: str) -> bool:
        """Return whether a function cannot be tried on this vehicle, at the start or at the end."""
        return Random(f"{self.folder.name}/{item}").random() < self.course.untested

    def _reading(self, step: str) -> str:
        """Return what the meter shows, one reading inside its limit."""
        if step in self.course.readings:
            return self.course.readings[step]
        return READ[step](self.chance)

    def overridden(self, gate: str, after: float = 60) -> None:
        """Let the supervisor open a shut gate."""
        allowed = Override(
            override=gate,
            reason=REASON,
            words="the meter was out of the house",
            instead="the lamp of the bench was run over the same ground",
        )
        self.act(allowed, after, self.course.supervisor)
        self.evidence += (self.newest_of("overridden"),)

    def _pause(self) -> None:
        for_lunch = PauseWork(pause="lunch", loose="nothing", first="the step in hand")
        self.act(for_lunch, 10)
        self.act(Resume(resume="all as it was"), self.chance.uniform(900, 2700))


def _volts(chance: Random, middle: float, lowest: float) -> str:
    return f"{max(lowest, chance.gauss(middle, 0.11)):.2f}"


READ: dict[str, Callable[[Random], str]] = {
    "battery-rest": lambda chance: _volts(chance, 12.61, 12.32),
    "supply": lambda chance: _volts(chance, 12.40, 11.90),
    "ground-drop": lambda chance: f"{min(85, max(4, round(chance.lognormvariate(3.4, 0.35))))}",
    "battery-after": lambda chance: _volts(chance, 12.48, 12.15),
}
"""What an honest meter shows at each step, in the step's own unit. Invented."""
