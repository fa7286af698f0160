"""A bay for tests: one small procedure, three people, and a job under way in memory.

`Bay` acts through `decide` as every front end does, and keeps the events. Its clock moves a
minute with each action, so that times in tests can be counted.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path
from typing import Any

from baycompanion.job.actions import (
    Accept,
    Acknowledge,
    Action,
    AddPhoto,
    Answer,
    Confirm,
    SetWait,
    TickLine,
    TickRest,
)
from baycompanion.job.deciding.decide import Decided, decide, notice_clock
from baycompanion.job.deciding.draft import Person, Refused
from baycompanion.job.deciding.opening import KeysIn, open_job
from baycompanion.job.deciding.shop_lists import ShopLists
from baycompanion.job.events.carried import Vehicle
from baycompanion.job.events.event import Event
from baycompanion.job.record.making import make_record
from baycompanion.job.record.whole import JobRecord
from baycompanion.job.state.fold import fold_all
from baycompanion.job.state.gates import gates_holding
from baycompanion.job.state.order import step_state
from baycompanion.job.state.state import State
from baycompanion.procedure.load import Loaded, hash_of, load_procedure
from baycompanion.procedure.model import Procedure

T1 = Person("T1", "technician")
T2 = Person("T2", "technician")
N1 = Person("N1", "trainee")
S1 = Person("S1", "supervisor")
STAFF = {person.id: person for person in (T1, T2, N1, S1)}
LISTS = ShopLists(STAFF, ("This gate does not fit this vehicle", "r"))

START = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)
VEHICLE = Vehicle(description="Blue van", plate="TEST 1")


def keys_in(
    work_order: str = "WO 7",
    vehicle: Vehicle = VEHICLE,
    who: Person = T1,
    when: datetime = START,
    **more: Any,
) -> KeysIn:
    """Return what a job starts with; `more` is what few have."""
    return KeysIn(work_order, vehicle, who, when, **more)


SMALL_FILE = Path(__file__).with_name("small-receiver.yaml")
SMALL_TEXT = SMALL_FILE.read_text(encoding="utf-8")

ON_THE_GRID = SMALL_TEXT
"""The same procedure, with its stations held against the grid."""
for _step in ("stations", "stations-back"):
    ON_THE_GRID = ON_THE_GRID.replace(
        f"id: {_step}\n        takes: list", f"id: {_step}\n        takes: stations"
    )


@cache
def load_small() -> Loaded:
    """Return the small procedure, loaded once."""
    return load_procedure(SMALL_TEXT, SMALL_FILE.name)


SMALL = load_small().procedure
STATIONS = ("88.1", "94.7", "101.1")
PHOTO = AddPhoto(photo="0123456789abcdef.jpg", sha256="ab" * 32, size=1234, original="lead.jpg")


def tick(step: str, item: str, outcome: str = "done", **more: object) -> TickLine:
    """Return the action that answers one line."""
    return TickLine(tick=step, item=item, outcome=outcome, **more)  # type: ignore[arg-type]


def count(step: str, **items: int) -> list[Action]:
    """Return the actions that count each item of a step and finish it."""
    lines = [TickLine(tick=step, item=item, count=number) for item, number in items.items()]
    return [*lines, Answer(answer=step)]


def meter(due: str = "2026-12-31", instrument: str = "M3") -> TickLine:
    """Return the action that lays the meter out, with what its label says."""
    return TickLine.model_validate(
        {"tick": "tools", "item": "meter", "outcome": "here", "instrument": instrument, "due": due}
    )


GOOD: Mapping[str, list[Action]] = {
    "tools": [meter(), tick("tools", "trim-tool", "here"), Answer(answer="tools")],
    "parts": [
        tick("parts", "receiver", "here"),
        tick("parts", "cap", "here"),
        Answer(answer="parts"),
    ],
    "ask-amplifier": [Answer(answer="ask-amplifier", value="yes")],
    "ask-camera": [Answer(answer="ask-camera", value="none")],
    "odometer": [Answer(answer="odometer", value="80123")],
    "promised": [Answer(answer="promised", value="2026-03-03")],
    "stations": [Answer(answer="stations", entries=STATIONS)],
    "code": [Answer(answer="code", value="4711")],
    "lamps": [Answer(answer="lamps", entries=())],
    "before": [TickRest(tick_rest="before"), Answer(answer="before")],
    "panels": [TickRest(tick_rest="panels"), Answer(answer="panels")],
    "rest-voltage": [Answer(answer="rest-voltage", value="12.60")],
    "disconnect": [Acknowledge(acknowledge="disconnect"), Answer(answer="disconnect")],
    "reserve": [
        SetWait(set_wait="reserve", lasts=60, source="maker's manual"),
        Answer(answer="reserve"),
    ],
    "out": count("out", screw=6, clip=4),
    "amplifier-lead": [Answer(answer="amplifier-lead")],
    "gauges": [Answer(answer="gauges", value="18,16")],
    "splice": [Answer(answer="splice")],
    "join": [
        Acknowledge(acknowledge="join"),
        PHOTO,
        tick("join", "cap"),
        tick("join", "tug"),
        Answer(answer="join"),
    ],
    "joins-hold": [Answer(answer="joins-hold", outcome="passed")],
    "second-look": [Answer(answer="second-look", outcome="passed")],
    "cure": [Answer(answer="cure")],
    "reconnect": [Confirm(confirm="battery-off", held=True), Answer(answer="reconnect")],
    "sound": [Answer(answer="sound", outcome="passed")],
    "picture": [Answer(answer="picture", outcome="passed")],
    "stations-back": [Answer(answer="stations-back", entries=STATIONS)],
    "lamps-after": [Answer(answer="lamps-after", entries=())],
    "route": [Answer(answer="route")],
    "back": count("back", screw=6, clip=4),
    "after": [TickRest(tick_rest="after"), Answer(answer="after")],
    "panels-after": [TickRest(tick_rest="panels-after"), Answer(answer="panels-after")],
    "show": [Answer(answer="show")],
    "keys": [Answer(answer="keys")],
}
"""For each step of the small procedure, what finishes it well."""

BAD: Mapping[str, list[Action]] = {
    "tools": [meter(due="2026-01-31"), tick("tools", "trim-tool", "here"), Answer(answer="tools")],
    "parts": [
        tick("parts", "receiver", "here"),
        tick("parts", "cap", "missing"),
        Answer(answer="parts"),
    ],
    "rest-voltage": [Answer(answer="rest-voltage", value="11.9")],
    "reserve": [
        SetWait(set_wait="reserve", lasts=3600, source="maker's manual"),
        Answer(answer="reserve"),
    ],
    "gauges": [Answer(answer="gauges", value="24,24")],
    "joins-hold": [Answer(answer="joins-hold", outcome="failed")],
    "second-look": [Answer(answer="second-look", outcome="failed")],
    "sound": [Answer(answer="sound", outcome="failed")],
    "picture": [Answer(answer="picture", outcome="could not test", words="no screen")],
    "stations-back": [Answer(answer="stations-back", entries=STATIONS[:2])],
    "lamps-after": [Answer(answer="lamps-after", entries=("airbag",))],
    "back": count("back", screw=5, clip=4),
    "after": [
        tick("after", "horn", "faulty", words="silent"),
        TickRest(tick_rest="after"),
        Answer(answer="after"),
    ],
    "panels-after": [
        tick("panels-after", "dash-panel", "marked", words="scratch"),
        TickRest(tick_rest="panels-after"),
        Answer(answer="panels-after"),
    ],
}
"""For some steps of the small procedure, what makes them come out badly."""

LONG_STEPS = {"cure": timedelta(minutes=10)}
"""Steps that have to be waited for before they are answered."""


@dataclass(repr=False)
class Bay:
    """A job of T1 that was just opened, and the way to act on it."""

    procedure: Procedure = SMALL
    now: datetime = START
    events: list[Event] = field(default_factory=list)
    figures: Mapping[str, str] = field(default_factory=dict)
    """What the shop gives to the sums of the job."""
    state: State = field(init=False)

    def __post_init__(self) -> None:
        if not self.events:
            opened = open_job(
                self.procedure, "ab" * 32, "job-1", keys_in(when=self.now, figures=self.figures)
            )
            self.events = [opened]
        self.state = fold_all(self.events)

    def __repr__(self) -> str:
        return f"<a job with {len(self.events)} events, {self.state.current} in hand>"

    def decide(self, action: Action, who: Person = T1, after: float = 60) -> Decided | Refused:
        """Let `who` act `after` seconds later, and keep what follows."""
        self.now += timedelta(seconds=after)
        decided = decide(self.procedure, self.state, action, who, self.now)
        kept = decided
        if isinstance(kept, Refused):
            kept = notice_clock(self.procedure, self.state, who, self.now)
        self.events.extend(kept.events)
        self.state = kept.state
        return decided

    def do(self, *actions: Action, who: Person = T1, after: float = 60) -> list[Event]:
        """Carry out `actions`, none of which may be refused; return the events of the last."""
        events: list[Event] = []
        for action in actions:
            decided = self.decide(action, who, after)
            assert isinstance(decided, Decided), f"{action!r} was refused: {decided}"
            events = list(decided.events)
        return events

    def refused(self, action: Action, who: Person = T1, after: float = 60) -> Refused:
        """Try `action`, which must be refused and change nothing; return the refusal."""
        before, written = self.state, len(self.events)
        decided = self.decide(action, who, after)
        assert isinstance(decided, Refused), f"{action!r} was not refused: {decided}"
        assert self.state == before
        assert len(self.events) == written
        return decided

    def good(self, step: str) -> list[Event]:
        """Finish `step`, which is in hand, as it should be."""
        assert self.state.current == step
        if step in LONG_STEPS:
            self.now += LONG_STEPS[step]
        who = S1 if step == "second-look" else T1
        return self.do(*map(self.taken_now, GOOD[step]), who=who)

    def taken_now(self, action: Action) -> Action:
        """Return `action`, a picture that the job has already as a new one."""
        taken = len(self.state.photos)
        if not isinstance(action, AddPhoto) or not taken:
            return action
        return action.model_copy(update={"photo": f"{taken:016x}.jpg", "sha256": f"{taken:064x}"})

    def walk(self, to: str | None = None, **instead: list[Action]) -> "Bay":
        """Walk on well until the step `to` is in hand, or to the end.

        `instead` gives other actions for some steps, whose names have _ for each hyphen.
        """
        self._walk(to, instead)
        assert self.state.current == to, f"{self} while {to} was walked to"
        return self

    def held(self, **instead: list[Action]) -> "Bay":
        """Walk on until a gate holds the job; `instead` is as in `walk`."""
        self._walk(None, instead)
        assert gates_holding(self.procedure, self.state), f"{self}, and no gate holds it"
        return self

    def _walk(self, to: str | None, instead: Mapping[str, list[Action]]) -> None:
        other = {name.replace("_", "-"): actions for name, actions in instead.items()}
        if self.state.accepted_at is None:
            self.do(Accept(accept="hazards"))
        while (step := self.state.current) is not None and step != to:
            if step in other:
                self.do(*other[step])
            else:
                self.good(step)
            assert self.state.current != step, f"{step} is still in hand"

    def step(self, name: str) -> str:
        """Return the state that the step `name` is in."""
        return step_state(self.procedure, self.state, self.procedure.steps[name])

    def kinds(self) -> list[str]:
        """Return the kinds of all events."""
        return [event.kind for event in self.events]

    def record(self) -> JobRecord:
        """Return the record of the job as it stands."""
        return make_record(self.procedure, self.state, self.events)


SMALL_HASH = hash_of(load_small().pinned_text)
