"""Any action by anybody at any time: what the properties of a job search over."""

from collections.abc import Iterator
from datetime import UTC, date, datetime
from functools import cache

from bay import BAD, GOOD, N1, PHOTO, S1, SMALL, STAFF, STATIONS, T1, T2, Bay
from hypothesis import strategies as st

from baycompanion.job import actions, hands_actions, practice_actions
from baycompanion.job.deciding.draft import Person
from baycompanion.job.state.gates import gates_holding, missing
from baycompanion.text.clean import clean_line

WORDS = st.text(max_size=20) | st.sampled_from(
    ["[b]", "\x1b]0;x\x07", "\u202edrow", "12,5", "12.60 V", "front", "yes", "\N{GRINNING FACE}"]
)
LINES = WORDS.filter(lambda text: clean_line(text) != "")
STEPS = st.sampled_from([*SMALL.steps, "no-such-step"])
GATES = st.sampled_from([*SMALL.all_gates, "no-such-gate"])
ITEMS = st.sampled_from(
    [item.item for step in SMALL.steps.values() for item in SMALL.items_of(step)]
    + ["t1", "t2", "no-such-item"]
)
OUTCOMES = st.sampled_from(
    ["done", "not done", "passed", "failed", "not fitted", "could not test", "provisional", None]
)
LINE_OUTCOMES = st.sampled_from(
    ["here", "missing", "done", "not done", "works", "faulty", "unmarked", "marked", None]
)
FOUND_MARKS = st.builds(
    actions.FoundMark,
    mark=st.sampled_from(["scratch", "dent", "missing", "other"]),
    size_mm=st.none() | st.integers(1, 9999),
    place=st.sampled_from(["middle", "upper left", "lower front", "rear right"]),
    words=WORDS,
    photo=st.sampled_from(["", PHOTO.photo, PHOTO.original, "none.jpg"]),
)
CAUSES = st.sampled_from(["vehicle", "work"])
MOMENTS = st.datetimes(
    min_value=datetime(1, 1, 2), max_value=datetime(9998, 1, 1), timezones=st.just(UTC)
)
CLAIMED = st.none() | MOMENTS | st.just(datetime(2026, 3, 2, 7, tzinfo=UTC))
AMPS = st.none() | st.decimals(-1, 600, places=2)
PEOPLE = st.sampled_from([T1, T1, T1, T2, N1, S1])
SECONDS = st.sampled_from(
    [0, 0.0004, 1, 59.9999, 60, 60, 61, 600, 600, 3600, 7200, 90_000, -0.0006, -1, -2_600_000]
)
"""How much later the next action comes; less than nothing where the clock was set back."""


def answers(step: st.SearchStrategy[str]) -> st.SearchStrategy[actions.Answer]:
    """Return a strategy for answers to `step`."""
    return st.builds(
        actions.Answer,
        answer=step,
        outcome=OUTCOMES,
        value=st.none() | WORDS | st.sampled_from(["12.6", "11", "2026-03-03", "18,18", "no"]),
        entries=st.none() | st.lists(WORDS, max_size=3).map(tuple) | st.just(STATIONS),
        words=WORDS,
        claimed=CLAIMED,
        on_paper=st.booleans(),
        readings=st.dictionaries(step, WORDS, max_size=2),
    )


def ticks(step: st.SearchStrategy[str]) -> st.SearchStrategy[actions.TickLine]:
    """Return a strategy for lines of `step`."""
    return st.builds(
        actions.TickLine,
        tick=step,
        item=ITEMS,
        outcome=LINE_OUTCOMES,
        count=st.none() | st.integers(0, 9999),
        size=WORDS,
        slot=WORDS,
        exchanged=st.none() | st.integers(0, 9999),
        exchanged_for=WORDS,
        exchanged_why=WORDS,
        words=WORDS,
        instrument=WORDS,
        due=st.none() | st.dates() | st.just(date(2030, 1, 1)),
        marks=st.just(()) | st.lists(FOUND_MARKS, max_size=3).map(tuple),
        claimed=CLAIMED,
        on_paper=st.booleans(),
    )


@cache
def about(step: st.SearchStrategy[str]) -> st.SearchStrategy[actions.Action]:
    """Return a strategy for everything that can be done on `step`; made once, for that is slow."""
    return st.one_of(
        answers(step),
        ticks(step),
        st.builds(
            actions.AddToTray,
            add_to_tray=step,
            panel=LINES,
            fastener=LINES,
            count=st.integers(0, 9),
            size=WORDS,
            slot=WORDS,
        ),
        st.builds(actions.TickRest, tick_rest=step, group=st.sampled_from(["", "Lamps", "none"])),
        st.builds(actions.Scan, scan=step, code=st.sampled_from(["4711", "0815", "999", "5"])),
        st.builds(actions.Acknowledge, acknowledge=step, caution=st.none() | st.integers(0, 5)),
        st.builds(actions.SetWait, set_wait=step, lasts=st.integers(0, 100_000), source=LINES),
        st.builds(actions.Settle, settle=step, cause=CAUSES, words=LINES),
        st.builds(actions.Reopen, reopen=step, reason=LINES),
        st.builds(practice_actions.SayNext, say_next=step),
        st.builds(practice_actions.TakeUp, take_up=step),
        st.builds(practice_actions.LookAt, look_at=step),
    )


ELSEWHERE: st.SearchStrategy[actions.Action] = st.one_of(
    st.just(actions.Accept(accept="hazards")),
    st.builds(actions.Note, note=LINES),
    st.just(PHOTO),
    st.builds(actions.RaiseFault, fault=LINES, cause=CAUSES),
    st.builds(actions.ClearFault, clear=st.integers(1, 4), words=LINES),
    st.builds(
        actions.Borrow,
        borrow=LINES,
        place=LINES,
        method=st.sampled_from(["tap", "splice", "ground"]),
        fuse_a=AMPS,
        load_a=AMPS,
    ),
    st.builds(actions.GiveBack, give_back=st.integers(1, 3), words=LINES),
    st.builds(hands_actions.PauseWork, pause=LINES, loose=LINES, first=LINES),
    st.builds(
        hands_actions.Resume,
        resume=WORDS,
        still_true=st.sampled_from([(), ("battery-off",)]),
        gate_checked=st.booleans(),
    ),
    st.builds(
        hands_actions.FindGap,
        gap=st.sampled_from(["left", "slept"]),
        seconds=st.integers(1, 10**30) | st.integers(1, 100),
    ),
    st.builds(
        hands_actions.ExplainGap, explain=st.sampled_from(["worked", "away", "clock", "unknown"])
    ),
    st.builds(
        actions.Confirm, confirm=st.sampled_from(["battery-off", "none"]), held=st.booleans()
    ),
    st.builds(actions.Override, override=GATES, reason=LINES, words=LINES, instead=LINES),
    st.builds(
        hands_actions.HandOver,
        hand_over=st.sampled_from(["T1", "T2", "N1", "S1"]),
        words=LINES,
        loose=LINES,
        first=LINES,
    ),
    st.builds(hands_actions.SignOn, sign_on=st.sampled_from(["T1", "T2", "S1"])),
    st.builds(
        hands_actions.RefusePin, refuse_pin=st.sampled_from(["T1", "S1"]), tries=st.integers(1, 99)
    ),
    st.just(actions.Close(close="keys back")),
)
ENDING = st.builds(actions.Abandon, abandon=LINES)

_MOSTLY = st.sampled_from([True, True, True, False])


@st.composite
def next_actions(draw: st.DrawFn, bay: Bay) -> tuple[actions.Action, Person]:
    """Draw what somebody does next in `bay`, more often than not something that makes sense."""
    if draw(_MOSTLY):
        return _sensible(draw, bay)
    if draw(_MOSTLY):
        return draw(ELSEWHERE), draw(PEOPLE)
    ends = draw(st.integers(0, 9)) == 0
    return draw(ENDING if ends else about(STEPS)), draw(PEOPLE)


def _sensible(draw: st.DrawFn, bay: Bay) -> tuple[actions.Action, Person]:
    """Draw what helps the job on from where it stands."""
    state = bay.state
    technician = STAFF[state.technician]
    if state.gap is not None:
        own = ["worked"] if state.gap.of == state.technician else []
        meaning = draw(st.sampled_from([*own, "away", "clock", "unknown"]))
        return hands_actions.ExplainGap(explain=meaning), technician
    if state.status == "paused":
        verified = {"still_true": "battery-off", "gate_checked": True, "resume": "as it was left"}
        return hands_actions.Resume(**verified), technician
    if state.current is None:
        return draw(_at_a_gate(bay)), draw(st.sampled_from([S1, technician]))
    if state.track(state.current).unsettled and draw(_MOSTLY):
        return draw(_settling(state.current)), T1
    if state.current == "second-look" and draw(_MOSTLY):
        return GOOD[state.current][-1], S1
    if draw(_MOSTLY):
        bad = state.current in BAD and draw(st.booleans())
        return draw(_from_the_table(state.current, bad)), technician
    return draw(about(_only(state.current))), technician


@cache
def _only(step: str) -> st.SearchStrategy[str]:
    return st.just(step)


@cache
def _settling(step: str) -> st.SearchStrategy[actions.Action]:
    return st.builds(actions.Settle, settle=_only(step), cause=CAUSES, words=LINES)


@cache
def _from_the_table(step: str, bad: bool) -> st.SearchStrategy[actions.Action]:
    return st.sampled_from((BAD if bad else GOOD)[step])


def _at_a_gate(bay: Bay) -> st.SearchStrategy[actions.Action]:
    """Return a strategy for what can be done while a gate holds the job."""
    if bay.state.accepted_at is None:
        return st.just(actions.Accept(accept="hazards"))
    return _while_held(gates_holding(SMALL, bay.state))


@cache
def _while_held(held: tuple[str, ...]) -> st.SearchStrategy[actions.Action]:
    if not held:
        return st.just(actions.Close(close="keys back"))
    return st.one_of(
        st.builds(
            actions.Override,
            override=st.sampled_from(held),
            reason=LINES,
            words=LINES,
            instead=LINES,
        ),
        st.builds(actions.Reopen, reopen=STEPS, reason=LINES),
        st.sampled_from([*GOOD["parts"], *GOOD["tools"]]),
        st.builds(actions.ClearFault, clear=st.integers(1, 3), words=LINES),
    )


FRESH = Person("V1", "technician")
"""Somebody who never worked on the job, so that a witness can be found for anything."""

FRESH_SUPERVISOR = Person("V2", "supervisor")
"""A supervisor who never worked on the job: S1 may, and opens no gate that waits for own work."""


def finish(bay: Bay) -> None:
    """Help the job on, however it stands, until it is closed."""
    for _ in range(200):
        if bay.state.status == "closed":
            return
        for action, who in _helpful(bay):
            bay.decide(action, who, after=3600)
    raise AssertionError(f"{bay} cannot be finished")


def _helpful(bay: Bay) -> Iterator[tuple[actions.Action, Person]]:
    """Yield what a patient shop would do next; some of it may be refused."""
    state, technician = bay.state, STAFF[bay.state.technician]
    verified = {"still_true": "battery-off", "gate_checked": True, "resume": "as it was left"}
    yield hands_actions.ExplainGap(explain="unknown"), technician
    yield hands_actions.Resume(**verified), technician
    yield actions.Accept(accept="hazards"), technician
    for name in gates_holding(SMALL, state):
        gate = SMALL.all_gates[name]
        if gate.override != "nobody":
            for supervisor in (S1, FRESH_SUPERVISOR):
                yield (
                    actions.Override(override=name, reason="r", words="w", instead="i"),
                    supervisor,
                )
            continue
        for thing in missing(SMALL, state, gate):
            if thing.step is not None:
                yield actions.Reopen(reopen=thing.step, reason="again"), technician
    if state.current is not None:
        for line in state.tray:
            out = state.track(line.step).ticks.get(line.item)
            count = out.answer.count if out is not None else 1
            yield (
                actions.TickLine(tick=state.current, item=line.item, count=count, exchanged=0),
                technician,
            )
        for action in map(bay.taken_now, GOOD[state.current]):
            yield action, FRESH if state.current == "second-look" else technician
        yield actions.Settle(settle=state.current, cause="vehicle", words="as it is"), technician
    yield actions.Close(close="keys back"), technician
