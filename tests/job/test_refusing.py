"""Every refusal, by table: what was tried where, why it is refused, and what opens the way."""

from datetime import UTC, datetime, timedelta

import pytest
from bay import BAD, GOOD, N1, PHOTO, S1, T1, T2, Bay, meter, tick

from baycompanion.job import actions, hands_actions, practice_actions
from baycompanion.job.actions import Action, Answer
from baycompanion.job.deciding.draft import Person
from baycompanion.job.events.moment import write_moment

RESUME = hands_actions.Resume(resume="")
PAUSE = hands_actions.PauseWork(pause="lunch", loose="none", first="none")
HAND = hands_actions.HandOver(hand_over="T2", words="w", loose="none", first="none")
NOTE = actions.Note(note="a note")
OVERRIDE = actions.Override(override="sound-before-refit", reason="r", words="w", instead="i")

ON_A_STEP: list[tuple[str, Action, Person, str, str]] = [
    # the step in hand, the action, who, why not, what opens the way
    ("tools", Answer(answer="parts"), T1, "“Check the parts off.” is not the step in hand.", "Lay"),
    ("tools", Answer(answer="no-step"), T1, "This procedure has no step “no-step”.", ""),
    (
        "parts",
        Answer(answer="tools"),
        T1,
        "“Lay the tools out.” is not the step in hand.",
        "Reopen",
    ),
    ("tools", Answer(answer="tools"), T2, "in the hands of T1, not T2.", "T1 hands it over first."),
    ("tools", Answer(answer="tools"), S1, "in the hands of T1, not S1.", "T1 hands it over first."),
    ("tools", meter(), N1, "in the hands of T1, not N1.", "T1 hands it over first."),
    ("tools", PAUSE, T2, "in the hands of T1, not T2.", "T1 hands it over first."),
    ("tools", actions.Accept(accept="hazards"), T1, "are accepted already.", ""),
    ("tools", Answer(answer="tools"), T1, "2 lines have no answer yet.", "Multimeter"),
    ("tools", Answer(answer="tools", outcome="passed"), T1, "cannot be “passed”", ""),
    (
        "tools",
        Answer(answer="tools", outcome="not done"),
        T1,
        "Not done: say why in a few words.",
        "",
    ),
    ("tools", tick("tools", "meter", "here"), T1, "name the instrument, and the date", "its label"),
    ("tools", tick("tools", "meter", "works"), T1, "It takes: here, missing, wrong, damaged.", ""),
    ("tools", tick("tools", "horn"), T1, "Its lines: meter, trim-tool.", ""),
    ("tools", actions.TickRest(tick_rest="tools"), T1, "Only the lines of a condition sheet", ""),
    ("tools", actions.SetWait(set_wait="tools", lasts=5, source="s"), T1, "is not a wait.", ""),
    ("tools", actions.Acknowledge(acknowledge="tools"), T1, "no caution here that is not read", ""),
    ("tools", actions.Settle(settle="tools", cause="work", words="w"), T1, "no bad outcome", ""),
    ("tools", actions.Reopen(reopen="tools", reason="r"), T1, "is not finished, so it cannot", ""),
    (
        "tools",
        actions.ClearFault(clear=1, words="w"),
        T1,
        "Fault 1 is not open. Open are: none.",
        "",
    ),
    ("tools", RESUME, T1, "The job is not paused.", ""),
    (
        "tools",
        hands_actions.ExplainGap(explain="worked"),
        T1,
        "There is no gap in time to explain.",
        "",
    ),
    ("tools", actions.Confirm(confirm="battery-off", held=True), T1, "no standing condition", ""),
    ("tools", OVERRIDE, S1, "Only a gate that holds the job right now", ""),
    ("tools", actions.Close(close="keys back"), T1, "30 steps are not finished.", "Lay the tools"),
    ("tools", actions.Abandon(abandon="r"), T2, "Only T1 or a supervisor gives this job up.", ""),
    ("tools", HAND, T2, "Only T1 or a supervisor hands this job over.", ""),
    (
        "tools",
        hands_actions.HandOver(hand_over="T1", words="w", loose="l", first="f"),
        T1,
        "The job is in the hands of T1 already.",
        "",
    ),
    (
        "tools",
        hands_actions.SignOn(sign_on="T2"),
        T2,
        "This job is in the hands of T1, not T2.",
        "T1 hands it over, or a supervisor takes it over.",
    ),
    (
        "tools",
        hands_actions.SignOn(sign_on="T2"),
        T1,
        "T1 cannot sign on as T2.",
        "",
    ),
    (
        "tools",
        Answer(answer="tools", claimed=datetime(2027, 1, 1, tzinfo=UTC)),
        T1,
        "no answer",
        "",
    ),
    ("ask-amplifier", Answer(answer="ask-amplifier", value="may be"), T1, "one of: yes, no.", ""),
    ("ask-amplifier", Answer(answer="ask-amplifier"), T1, "“” is no answer here.", ""),
    ("ask-camera", tick("ask-camera", "x"), T1, "is not answered line by line.", ""),
    ("odometer", Answer(answer="odometer"), T1, "Nothing is entered yet.", ""),
    ("odometer", Answer(answer="odometer", value="many"), T1, "“many” is no number.", ""),
    ("odometer", Answer(answer="odometer", value="5 mi"), T1, "“5 mi” is not in km.", ""),
    ("odometer", Answer(answer="odometer", outcome="passed"), T1, "It takes: not done.", ""),
    ("promised", Answer(answer="promised", value="soon"), T1, "Type it like 2026-11-25.", ""),
    ("stations", Answer(answer="stations"), T1, "The list is empty.", ""),
    ("stations", Answer(answer="stations", entries=("", " ")), T1, "The list is empty.", ""),
    (
        "stations",
        Answer(answer="stations", outcome="not done"),
        T1,
        "Not done: say why in a few words.",
        "",
    ),
    ("code", Answer(answer="code", value=" "), T1, "Nothing is entered yet.", ""),
    ("before", Answer(answer="before"), T1, "4 lines have no answer yet.", "Horn"),
    ("before", tick("before", "horn", "faulty"), T1, "“Horn”: faulty. Say what or why", ""),
    ("before", tick("before", "horn", "could not test"), T1, "Say what or why", ""),
    ("before", tick("before", "horn", "marked", words="w"), T1, "It takes: works, faulty", ""),
    ("panels", tick("panels", "dash-panel", "works"), T1, "It takes: unmarked, marked", ""),
    ("panels", tick("panels", "dash-panel", "could not see"), T1, "Say what or why", ""),
    ("before", actions.TickRest(tick_rest="before", group="Doors"), T1, "no line left", ""),
    ("rest-voltage", Answer(answer="rest-voltage"), T1, "Type a number in V, like 12.6.", ""),
    ("rest-voltage", Answer(answer="rest-voltage", value="12,6 A"), T1, "is not in V.", ""),
    ("rest-voltage", Answer(answer="rest-voltage", outcome="passed"), T1, "cannot be “passed”", ""),
    (
        "rest-voltage",
        Answer(answer="rest-voltage", outcome="could not test"),
        T1,
        "Could not test: say why in a few words.",
        "",
    ),
    ("disconnect", Answer(answer="disconnect"), T1, "Read and acknowledge", "DANGER: The battery"),
    ("disconnect", actions.Acknowledge(acknowledge="disconnect", caution=9), T1, "no caution", ""),
    ("reserve", Answer(answer="reserve"), T1, "is not known for this vehicle.", "maker's"),
    ("reserve", Answer(answer="reserve", outcome="not done", words="w"), T1, "It takes: done.", ""),
    (
        "reserve",
        actions.SetWait(set_wait="reserve", lasts=0, source="s"),
        T1,
        "cannot be made shorter than 1 s.",
        "",
    ),
    ("cure", Answer(answer="cure"), T1, "The wait still has 09:00 to run.", ""),
    (
        "cure",
        actions.SetWait(set_wait="cure", lasts=599, source="s"),
        T1,
        "cannot be made shorter than 10 min.",
        "",
    ),
    ("out", Answer(answer="out"), T1, "2 lines have no answer yet.", "Screw"),
    ("out", tick("out", "screw"), T1, "How many? Type the number of: Screw.", ""),
    ("out", Answer(answer="out", outcome="done"), T1, "It takes: none; type its value.", ""),
    ("splice", Answer(answer="splice", outcome="done"), T1, "It takes: could not test.", ""),
    ("join", tick("join", "cap"), T1, "Read and acknowledge", "WARNING: A cutter is sharp."),
    ("joins-hold", Answer(answer="joins-hold"), T1, "Say passed, failed, not fitted", ""),
    ("joins-hold", Answer(answer="joins-hold", outcome="done"), T1, "It takes: passed, failed", ""),
    ("second-look", Answer(answer="second-look", outcome="passed"), T1, "T1 did “Join", "Somebody"),
    ("second-look", Answer(answer="second-look"), S1, "The second person says passed or fail", ""),
    ("second-look", Answer(answer="second-look", outcome="done"), S1, "It takes: passed, fail", ""),
    ("reconnect", Answer(answer="reconnect"), T1, "A standing condition ends here.", "Did the bat"),
    ("reconnect", actions.Confirm(confirm="battery-off", held=False), T1, "Say in a few words", ""),
    ("sound", actions.Confirm(confirm="battery-off", held=True), T1, "no standing condition", ""),
    ("reserve", actions.Confirm(confirm="battery-off", held=True), T1, "at its end.", "Reconnect"),
]


@pytest.mark.parametrize(("step", "action", "who", "why", "opens_by"), ON_A_STEP)
def test_an_action_that_does_not_fit_says_why_and_what_opens_the_way(
    step: str, action: Action, who: Person, why: str, opens_by: str
) -> None:
    bay = Bay().walk(step)
    refused = bay.refused(action, who)
    assert why in refused.why
    assert any(opens_by in thing.words for thing in refused.opens_by) or not opens_by


def test_what_opens_the_way_leads_to_its_step() -> None:
    bay = Bay().walk("parts")
    assert bay.refused(Answer(answer="keys")).opens_by[0].step == "parts"
    assert bay.refused(Answer(answer="tools")).opens_by[0].step == "tools"
    assert bay.refused(actions.Close(close="keys back")).opens_by[0].step == "parts"


def test_a_refusal_reads_as_one_line() -> None:
    refused = Bay().walk("disconnect").refused(Answer(answer="disconnect"))
    assert str(refused) == (
        "Read and acknowledge what stands before this step first. "
        "[DANGER: The battery can arc.] [WARNING: A tool can short the battery.]"
    )


BEFORE_ACCEPTED = [*GOOD["tools"], actions.ClearFault(clear=1, words="w"), OVERRIDE]


@pytest.mark.parametrize("action", BEFORE_ACCEPTED)
def test_work_waits_until_the_hazards_are_accepted(action: Action) -> None:
    """R16."""
    refused = Bay().refused(action)
    assert refused.why == "The hazards of the whole job are not accepted yet."
    assert "Read them" in refused.opens_by[0].words


@pytest.mark.parametrize("action", [NOTE, PHOTO, PAUSE, HAND, actions.Abandon(abandon="r")])
def test_what_is_no_work_needs_no_accepted_hazards(action: Action) -> None:
    Bay().do(action)


def test_a_job_handed_over_before_the_hazards_are_accepted_waits_for_the_new_hands_to() -> None:
    bay = Bay()
    bay.do(HAND)
    bay.do(hands_actions.Resume(resume="as it came in", gate_checked=True), who=T2)
    bay.refused(actions.Accept(accept="hazards"))
    bay.do(actions.Accept(accept="hazards"), who=T2)


WHILE_PAUSED = [
    Answer(answer="odometer", value="5"),
    actions.Reopen(reopen="tools", reason="r"),
    OVERRIDE,
    actions.ClearFault(clear=1, words="w"),
    actions.Close(close="keys back"),
    PAUSE,
]


@pytest.mark.parametrize("action", WHILE_PAUSED)
def test_a_paused_job_takes_no_work(action: Action) -> None:
    bay = Bay().walk("odometer")
    bay.do(PAUSE)
    refused = bay.refused(action)
    assert refused.why == "The job is paused."
    assert refused.opens_by[0].words == "Resume it."


@pytest.mark.parametrize("action", [NOTE, PHOTO, actions.RaiseFault(fault="f", cause="vehicle")])
@pytest.mark.parametrize("who", [T1, T2, N1, S1])
def test_anybody_may_note_photograph_or_raise_a_fault_even_in_a_pause(
    action: Action, who: Person
) -> None:
    bay = Bay().walk("odometer")
    bay.do(PAUSE)
    bay.do(action, who=who)
    assert bay.state.status == "paused"


@pytest.mark.parametrize("action", [*WHILE_PAUSED, RESUME, HAND])
def test_time_nobody_accounted_for_is_explained_before_anything_else(action: Action) -> None:
    bay = Bay().walk("odometer")
    bay.do(hands_actions.FindGap(gap="slept", seconds=60))
    refused = bay.refused(action)
    assert refused.why == "Time passed that is not accounted for."
    assert "worked, away, clock, or unknown" in refused.opens_by[0].words


def test_a_gap_cannot_be_found_where_no_time_passed() -> None:
    bay, gap = Bay().walk("odometer"), hands_actions.FindGap(gap="slept", seconds=60)
    assert "No time has passed" in bay.refused(gap, after=0.5).why


EVERY_ACTION: list[Action] = [
    *(action for steps in (GOOD, BAD) for each in steps.values() for action in each),
    *[NOTE, PAUSE, RESUME, HAND, OVERRIDE],
    hands_actions.FindGap(gap="left", seconds=9),
    hands_actions.ExplainGap(explain="worked"),
    actions.Scan(scan="parts", code="4711"),
    actions.Settle(settle="tools", cause="work", words="w"),
    actions.RaiseFault(fault="f", cause="work"),
    actions.ClearFault(clear=1, words="w"),
    actions.Borrow(borrow="dome lamp", place="roof", method="tap", load_a="1"),
    actions.GiveBack(give_back=1, words="w"),
    actions.AddToTray(add_to_tray="out", panel="p", fastener="f", count=1),
    actions.PlanSplices(splice_plan=(), left_over=(), files=()),
    actions.Reopen(reopen="tools", reason="r"),
    hands_actions.SignOn(sign_on="T1"),
    hands_actions.RefusePin(refuse_pin="T1", tries=1),
    practice_actions.SayNext(say_next="tools"),
    practice_actions.TakeUp(take_up="tools"),
    practice_actions.LookAt(look_at="tools"),
    actions.Abandon(abandon="r"),
    actions.Close(close="keys back"),
    actions.Accept(accept="hazards"),
]


def test_the_table_above_holds_every_kind_of_action() -> None:
    assert {type(action) for action in EVERY_ACTION} == set(actions.ACTIONS)


@pytest.mark.parametrize("end", [actions.Abandon(abandon="r"), actions.Close(close="keys back")])
def test_a_job_that_is_ended_takes_nothing_more(end: Action) -> None:
    bay = Bay().walk()
    bay.do(end)
    for action in EVERY_ACTION:
        for who in (T1, S1):
            assert "its record only stands to be read" in bay.refused(action, who).why


def test_a_supervisor_may_hand_a_job_over_and_give_it_up() -> None:
    Bay().walk("odometer").do(HAND, who=S1)
    Bay().walk("odometer").do(actions.Abandon(abandon="flood"), who=S1)


def test_a_late_entry_may_lie_back_but_neither_ahead_nor_years_away() -> None:
    """R36."""
    bay = Bay().walk("odometer")

    def claiming(when: datetime) -> Answer:
        return Answer(answer="odometer", value="5", claimed=when)

    assert "lies ahead" in bay.refused(claiming(bay.now + timedelta(minutes=2))).why
    far = datetime(1, 1, 1, tzinfo=UTC)
    assert "more than 366 days back" in bay.refused(claiming(far)).why
    long_ago = bay.now - timedelta(hours=1)
    answered = bay.do(claiming(long_ago))[0]
    assert answered.at == write_moment(bay.now)
    assert bay.record().steps[4].attempts[0].claimed == write_moment(long_ago)
