"""Whatever state a job is in, there is one card for it, and it says the one thing to do."""

from datetime import timedelta

import pytest
from bay import GOOD, N1, S1, SMALL, SMALL_TEXT, START, T1, T2, Bay, count, tick
from second_person import SECOND

from baycompanion.job.actions import (
    Abandon,
    Accept,
    Acknowledge,
    Answer,
    Borrow,
    ClearFault,
    Close,
    Confirm,
    Override,
    RaiseFault,
    Reopen,
    Settle,
)
from baycompanion.job.deciding.decide import Decided
from baycompanion.job.deciding.draft import Refused
from baycompanion.job.deciding.revising import revise
from baycompanion.job.events.chain import fingerprint
from baycompanion.job.hands_actions import (
    ExplainGap,
    FindGap,
    HandOver,
    PauseWork,
    Resume,
)
from baycompanion.job.state.words import moment_words
from baycompanion.procedure.load import load_procedure
from baycompanion.views.card.card import Again, Card, Deed, Form, GoTo
from baycompanion.views.card.cards import again_card, job_card, last_finished, look_card
from baycompanion.views.forms.job_forms import reopen_form, taken_over

NUMBER = SMALL.number
REASONS = ("this gate does not fit this vehicle", "measured another way")
PAUSE = PauseWork(pause="lunch", loose="dash open", first="cover it")


def card_of(bay: Bay, later: timedelta = timedelta()) -> Card:
    return job_card(bay.procedure, bay.state, REASONS, bay.now + later)


def words(card: Card) -> str:
    return "\n".join(piece.words for piece in (*card.before, *card.pieces))


def form_behind(card: Card, key: str) -> Form[Deed]:
    does = next(each.does for each in card.keys if each.key == key)
    assert isinstance(does, Form)
    return does


def test_a_new_job_asks_first_whether_the_procedure_fits_and_shows_its_hazards() -> None:
    card = card_of(Bay())
    assert card.kind == "hazards"
    assert card.title == "Does this procedure fit? Has this vehicle one opening in the dash?"
    assert card.pieces[0].words == "WARNING  Airbags lie behind the dash."
    assert "An airbag that fires breaks bones." in card.pieces[1].words
    assert card.keys[0].does == Deed(Accept(accept="hazards"))
    assert card.pieces[-1].words == "These stand for the whole job."
    assert card.keys[0].label == "It fits, and I have read the hazards"
    assert not any(key.enter for key in card.keys), "Enter alone accepts no hazards"


def test_hazards_that_a_newer_revision_changed_stand_before_what_is_left() -> None:
    """“Before the first step” is no place at step 28."""
    bay = Bay().walk("route")
    changed = SMALL_TEXT.replace("revision: 3", "revision: 4").replace(
        SMALL.hazards[0].avoid, "Keep clear of it."
    )
    newer = load_procedure(changed, "newer.yaml").procedure
    decided = revise(bay.procedure, newer, "cd" * 32, bay.state, "bulletin", T1, bay.now)
    assert isinstance(decided, Decided)
    card = job_card(newer, decided.state, REASONS, bay.now)
    assert (card.kind, card.heading) == ("hazards", "Before the work goes on")
    assert card.pieces[0].words == "Again: Revision 4 asks it otherwise."
    assert card_of(Bay()).heading == "Before the first step"


def test_nobody_says_to_have_read_hazards_where_there_are_none() -> None:
    card = card_of(Bay(SECOND))
    assert card.kind == "hazards"
    assert (card.pieces, card.keys[0].label) == ((), "It fits")


@pytest.mark.parametrize(
    ("how", "says"),
    [
        ("left", "Nothing was entered, and the job was left."),
        ("slept", "The laptop slept, or its clock was set."),
    ],
)
def test_a_gap_asks_what_it_was_and_how_long(how: str, says: str) -> None:
    bay = Bay().walk("gauges")
    since = moment_words(bay.state.last_at, START)
    bay.do(FindGap.model_validate({"gap": how, "seconds": 3000}), after=3000)
    card = card_of(bay)
    assert card.heading == f"Last entry {since}", "when it began, not when it was noticed"
    assert card.kind == "gap"
    assert card.title == "What were the last 50 min?"
    assert words(card) == says
    meanings = [key.does.action for key in card.keys if isinstance(key.does, Deed)]
    assert meanings == [
        ExplainGap(explain="worked"),
        ExplainGap(explain="away"),
        ExplainGap(explain="clock"),
        ExplainGap(explain="unknown"),
    ]


def test_of_another_s_time_nobody_can_say_that_it_was_worked() -> None:
    bay = Bay().walk("gauges")
    bay.do(FindGap(gap="left", seconds=3000), after=3000)
    bay.do(taken_over("T2", "T1 is ill"), who=S1)
    card = card_of(bay)
    assert card.kind == "gap"
    assert card.title.startswith("T1 had the job for the last 50 min.")
    meanings = [key.does.action for key in card.keys if isinstance(key.does, Deed)]
    assert meanings == [
        ExplainGap(explain="away"),
        ExplainGap(explain="clock"),
        ExplainGap(explain="unknown"),
    ]


@pytest.mark.parametrize(
    ("seconds", "said"),
    [(20, "1 min"), (5400, "1 h 30 min"), (6445 * 3600, "268 d 13 h")],
)
def test_a_long_gap_is_told_in_days_and_hours(seconds: int, said: str) -> None:
    bay = Bay().walk("gauges")
    bay.do(FindGap.model_validate({"gap": "left", "seconds": seconds}), after=seconds)
    assert card_of(bay).title == f"What were the last {said}?"


def test_a_short_pause_is_left_by_one_key() -> None:
    bay = Bay().walk("gauges")
    bay.do(PAUSE)
    card = card_of(bay, timedelta(hours=1, minutes=59))
    assert (card.kind, card.title) == ("paused", "Paused: lunch")
    assert card.heading.endswith(", 1 h 59 min")
    assert card.keys[0].does == Deed(Resume(resume=""))
    assert words(card).splitlines() == [
        "Loose, open or live: dash open",
        "First on return: cover it",
        "Must stay true: The battery stays off.",
        "In the tray: Screw 6, Clip 4",
        f"Last finished: {NUMBER['amplifier-lead']}. Unplug the amplifier lead.",
        f"Next: {NUMBER['gauges']}. Write the gauges of the leads down.",
    ]


def test_a_long_pause_asks_for_everything_that_stands() -> None:
    bay = Bay().walk("gauges")
    bay.do(PAUSE)
    later = timedelta(hours=2)
    form = form_behind(card_of(bay, later), "1")
    assert [field.label for field in form.fields] == [
        "The battery stays off.",
        "What opened the gate on-bench-for-bench",
        "Read back how it stands",
    ]
    by_default = {field.name: (field.choices or ("",))[0] for field in form.fields}
    bay.now += later
    assert isinstance(bay.decide(form.make(by_default).action, T1, 0), Refused)
    verified = {field.name: (field.choices or ("all there",))[-1] for field in form.fields}
    assert not isinstance(bay.decide(form.make(verified).action, T1, 0), Refused)


def test_a_night_that_was_a_gap_is_verified_as_long_as_it_was() -> None:
    bay = Bay().walk("gauges")
    bay.do(FindGap(gap="left", seconds=50_000), after=50_000)
    bay.do(ExplainGap(explain="away"), after=1)
    card = card_of(bay)
    assert card.kind == "paused"
    assert card.heading.endswith("13 h 53 min")
    assert isinstance(card.keys[0].does, Form)


def test_a_standing_condition_can_be_called_anything() -> None:
    text = SMALL_TEXT.replace("standing: battery-off", "standing: words")
    bay = Bay(load_procedure(text, "small.yaml").procedure).walk("gauges")
    bay.do(PAUSE)
    form = form_behind(card_of(bay, timedelta(hours=3)), "1")
    names = [field.name for field in form.fields]
    assert len(set(names)) == len(names)
    given = {field.name: (field.choices or ("read back",))[-1] for field in form.fields}
    made = form.make(given).action
    assert isinstance(made, Resume)
    assert (made.still_true, made.resume) == (("words",), "read back")


def test_a_job_handed_over_shows_the_words_and_is_taken_by_the_one_named() -> None:
    bay = Bay().walk("gauges")
    bay.do(HandOver(hand_over="T2", words="clip cracked", loose="dash open", first="count"))
    card = card_of(bay)
    assert card.title == "For T2 to take"
    assert card.pieces[0].words == "From T1: clip cracked"
    form = form_behind(card, "1")
    assert not form.fields[-1].may_be_empty
    deed = form.make({field.name: (field.choices or ("seen",))[-1] for field in form.fields})
    assert deed.by == "T2"
    assert not isinstance(bay.decide(deed.action, T2), Refused)


def test_cautions_come_one_by_one_and_never_with_an_answer() -> None:
    bay = Bay().walk("disconnect")
    for place, signal in enumerate(("DANGER", "WARNING")):
        card = card_of(bay)
        assert card.kind == "caution"
        assert card.title.startswith(signal)
        assert [key.does for key in card.keys] == [
            Deed(Acknowledge(acknowledge="disconnect", caution=place))
        ]
        assert card.entry is None and card.list_entry is None and not card.rows
        bay.do(Acknowledge(acknowledge="disconnect", caution=place))
    assert card_of(bay).kind == "step"


def test_a_standing_condition_is_asked_before_the_step_that_ends_it() -> None:
    bay = Bay().walk("reconnect")
    card = card_of(bay)
    assert (card.kind, card.title) == ("standing", "Did the battery stay off until now?")
    assert not any(key.enter for key in card.keys)
    bay.do(GOOD["reconnect"][0])
    assert card_of(bay).kind == "step"


def test_a_bad_outcome_asks_again_vehicle_or_work_and_where_it_can_leads_back() -> None:
    bay = Bay().walk("joins-hold")
    bay.do(Answer(answer="joins-hold", outcome="failed"))
    card = card_of(bay)
    assert card.kind == "unsettled"
    assert isinstance(card.keys[0].does, Again)
    settled = [form_behind(card, key).make({"words": "w"}).action for key in "23"]
    assert settled == [
        Settle(settle="joins-hold", cause="vehicle", words="w"),
        Settle(settle="joins-hold", cause="work", words="w"),
    ]
    back = card.keys[3].does
    assert isinstance(back, Deed)
    assert isinstance(back.action, Reopen)
    assert (back.action.reopen, card.keys[3].label) == ("join", f"Back to {NUMBER['join']}")
    assert "The first answer is kept, whatever comes now." in words(card)
    again = again_card(bay.procedure, bay.state, bay.now)
    assert again.kind == "step"
    assert [key.label for key in again.keys][:2] == ["Passed", "Failed"]


def test_a_value_outside_shows_the_limits_it_missed() -> None:
    bay = Bay().walk("rest-voltage")
    bay.do(Answer(answer="rest-voltage", value="11.9"))
    assert "It came out: outside · 11.9 V" in words(card_of(bay))
    assert "Limits: 12.4 to 12.90 V" in words(card_of(bay))


def test_a_gate_lists_what_it_waits_for_and_each_line_leads_there() -> None:
    bay = Bay().held(sound=[Answer(answer="sound", outcome="not fitted")])
    bay.do(RaiseFault(fault="a scratch", cause="work"))
    card = card_of(bay)
    assert card.kind == "gate"
    assert card.heading == "Gate shut: sound-before-refit"
    assert [row.text for row in card.rows] == [
        f"{NUMBER['sound']}. Every speaker sounds. Not fitted."
    ]
    assert card.rows[0].keys[0].does == GoTo("sound")
    form = form_behind(card, "8")
    assert form.fields[0].choices == REASONS
    assert not any(key.enter for key in card.keys), "Enter alone overrides nothing"
    deed = form.make({"reason": REASONS[1], "words": "w", "instead": "i", "by": "S1"})
    assert deed.by == "S1"
    assert isinstance(deed.action, Override)
    assert isinstance(bay.decide(deed.action, T1), Refused)
    assert not isinstance(bay.decide(deed.action, S1), Refused)


def test_a_gate_that_waits_for_a_list_says_which_of_its_lines_is_not_done_and_why() -> None:
    text = SMALL_TEXT.replace("      - passed: sound\n", "      - done: join\n", 1)
    assert text != SMALL_TEXT
    bay = Bay(load_procedure(text, "small.yaml").procedure)
    slid = tick("join", "tug", "not done", words="it slid out")
    bay.held(join=[*GOOD["join"][:3], slid, Answer(answer="join")])
    card = card_of(bay)
    said = "Incomplete: Tug each join (not done, it slid out)."
    assert card.rows[0].text.endswith(said), card.rows[0].text
    form = form_behind(card, "8")
    assert form.lead[1].words.endswith(said)
    looked = look_card(bay.procedure, bay.state, bay.procedure.steps["join"], bay.now)
    assert "Answered: incomplete: Tug each join (not done, it slid out) (T1" in words(looked)


def test_a_fault_that_is_open_on_no_step_is_cleared_from_its_line() -> None:
    bay = Bay()
    bay.do(RaiseFault(fault="a dent", cause="work"))
    bay.held()
    card = card_of(bay)
    assert [row.text for row in card.rows] == ["Fault 1 is open: a dent"]
    [key] = card.rows[0].keys
    assert (key.key, key.label) == ("3", "Clear the fault…")
    assert isinstance(key.does, Form)
    bay.do(key.does.make({"words": "pulled out"}).action)
    assert not bay.state.faults[0].open
    assert card_of(bay).kind != "gate"


def test_a_count_that_its_own_fault_holds_leads_to_clearing_it_and_is_not_reopened_again() -> None:
    first = "until:\n      - passed: sound\n"
    text = SMALL_TEXT.replace(first, f"{first}      - no-open-fault: work\n")
    bay = Bay(load_procedure(text, "small.yaml").procedure).walk("back")
    bay.do(*count("back", screw=5, clip=4), Settle(settle="back", cause="work", words="lost"))
    reopen = Reopen(reopen="back", reason="found under the carpet")
    finished = [key.label for key in card_of(bay).rows[0].keys]
    assert finished == ["Look at that step", "Reopen it…", "Clear the fault…"]
    bay.do(reopen)
    [row] = card_of(bay).rows
    assert row.text.startswith("Fault 1 is open")
    assert [key.label for key in row.keys] == ["Look at that step", "Clear the fault…"]
    bay.do(ClearFault(clear=1, words="it is in"), *count("back", screw=6, clip=4))


def test_reopening_says_which_gates_it_shuts_and_shuts_just_those() -> None:
    """The second look rests on the joins and a gate on it; joins want the battery off again."""
    bay = Bay().walk("show")
    card = look_card(bay.procedure, bay.state, bay.procedure.steps["join"], bay.now)
    form = form_behind(card, "F6")
    said = "Shuts again: sound-before-refit, reserve-before-dash"
    assert said in [piece.words for piece in form.lead]
    events = bay.do(form.make({"reason": "one came loose"}).action)
    shut = [event.data.gate for event in events if event.kind == "gate-shut-again"]
    assert sorted(shut) == ["reserve-before-dash", "sound-before-refit"]


def test_reopening_tells_every_step_that_is_done_again_until_the_work_is_back() -> None:
    """The joins want the battery off, and whoever takes it off wants the second condition.

    That one comes back only as its own work is reached, and was not told.
    """
    nested = "  - {standing: key-out, says: The key stays out., begins: rest-voltage, ends: sound"
    two = f"standing:\n{nested}, ask: Was the key out until now?}}\n"
    text = SMALL_TEXT.replace("standing:\n", two, 1)
    held = [Confirm(confirm="key-out", held=True), *GOOD["sound"]]
    bay = Bay(load_procedure(text, "small.yaml").procedure).walk("show", sound=held)
    form = reopen_form(bay.procedure, bay.state, bay.procedure.steps["join"])
    [told] = [piece.words for piece in form.lead if piece.words.startswith("Done again too: ")]
    before = len(bay.events)
    bay.do(form.make({"reason": "one came loose"}).action)
    bay.walk("show", sound=held)
    reopened = {event.data.step for event in bay.events[before:] if event.kind == "reopened"}
    assert {"rest-voltage", "disconnect", "reserve", "reconnect", "sound"} <= reopened
    steps = [each for each in bay.procedure.steps.values() if each.id in reopened - {"join"}]
    named = " ".join(f"{bay.procedure.number[each.id]}. {each.text}" for each in steps)
    assert told == f"Done again too: {named}"


def test_reopening_a_step_that_no_gate_passed_so_far_rests_on_speaks_of_none() -> None:
    bay = Bay().walk("stations-back")
    card = look_card(bay.procedure, bay.state, bay.procedure.steps["sound"], bay.now)
    assert len(form_behind(card, "F6").lead) == 1


def test_closing_sums_up_faults_overrides_and_times_and_asks_once_more() -> None:
    bay = Bay().held(sound=[Answer(answer="sound", outcome="not fitted")])
    override = Override(
        override="sound-before-refit", reason=REASONS[0], words="none", instead="listened"
    )
    bay.do(override, who=S1)
    bay.walk()
    bay.do(RaiseFault(fault="a dent", cause="vehicle"))
    card = card_of(bay)
    assert card.kind == "close"
    said = words(card)
    assert "Open fault 1 (vehicle): a dent" in said
    assert f"Overridden: sound-before-refit, by S1, {REASONS[0]}" in said
    assert "Take-in: " in said
    assert " of 20 min" in said
    form = form_behind(card, "1")
    with pytest.raises(ValueError, match="stays open"):
        form.make({"sure": "not yet"})
    assert form.make({"sure": "yes, keys back"}) == Deed(Close(close="keys back"))


@pytest.mark.parametrize(
    ("outcome", "title"), [("done", "Closed clean."), ("not done", "Closed, not clean.")]
)
def test_a_closed_job_shows_how_it_ended_and_its_fingerprint(outcome: str, title: str) -> None:
    answer = Answer.model_validate({"answer": "show", "outcome": outcome, "words": "said so"})
    bay = Bay().walk(show=[answer])
    bay.do(Close(close="keys back"))
    card = card_of(bay)
    assert (card.kind, card.title, card.keys, card.rows) == ("ended", title, (), ())
    assert card.heading.startswith("Closed ")
    assert ("not done · said so" in words(card)) is (outcome == "not done")
    assert f"Fingerprint {fingerprint(bay.events[-1].hash)}" in words(card)


def test_a_closed_job_says_what_was_against_it_as_its_sheet_does() -> None:
    bay = Bay()
    bay.walk("gauges")
    bay.do(Borrow(borrow="fuse 4", place="left sill", method="tap", fuse_a="5", load_a="7"))
    bay.walk()
    bay.do(RaiseFault(fault="a dent", cause="vehicle"))
    bay.do(Close(close="keys back"))
    said = words(card_of(bay))
    assert "Open fault 1 (vehicle): a dent" in said
    assert "fuse 4: 7 A added, OVER its fuse of 5 A" in said


def test_a_job_given_up_says_why() -> None:
    bay = Bay()
    bay.do(Abandon(abandon="the van was sold"))
    card = card_of(bay)
    assert (card.kind, card.title) == ("ended", "the van was sold")
    assert card.heading.startswith("Abandoned ")


def test_a_step_only_looked_at_offers_the_way_back_and_to_be_reopened() -> None:
    bay = Bay().walk("joins-hold")
    for name, step in bay.procedure.steps.items():
        card = look_card(bay.procedure, bay.state, step, bay.now)
        assert card.kind == "look"
        assert card.entry is None and card.list_entry is None and not card.rows
        finished = bay.state.track(name).finished
        assert [key.key for key in card.keys] == ["Enter", *(["F6"] if finished else [])]


def test_a_finished_step_looked_at_shows_answer_person_and_time() -> None:
    bay = Bay().walk("disconnect")
    card = look_card(bay.procedure, bay.state, bay.procedure.steps["rest-voltage"], bay.now)
    at = bay.state.track("rest-voltage").attempts[-1].at[11:16]
    assert f"Answered: inside · 12.60 V (T1, {at})" in words(card)


def test_a_step_that_does_not_apply_says_which_choice_leaves_it_out() -> None:
    bay = Bay().walk("sound")
    card = look_card(bay.procedure, bay.state, bay.procedure.steps["picture"], bay.now)
    assert "Because Camera: none" in words(card)


def test_the_step_finished_last_is_the_newest_not_the_one_furthest_on() -> None:
    bay = Bay()
    assert last_finished(bay.state) is None
    bay.walk("gauges")
    assert last_finished(bay.state) == "amplifier-lead"


def test_a_trainee_has_the_same_cards() -> None:
    """What a trainee sees besides is the why, never a card of another kind."""
    bay = Bay().walk("joins-hold")
    assert isinstance(bay.decide(Answer(answer="joins-hold", outcome="passed"), N1), Refused)
    assert card_of(bay).step == "joins-hold"


def test_the_last_card_says_what_still_lies_in_the_tray() -> None:
    bay = Bay().walk("back")
    bay.do(*count("back", screw=5, clip=4), Settle(settle="back", cause="work", words="lost"))
    bay.do(ClearFault(clear=1, words="ordered"))
    bay.held()
    override = Override(override="same-as-before", reason="r", words="w", instead="i")
    bay.do(override, who=S1)
    bay.walk()
    assert "In the tray: Screw 1" in words(card_of(bay))
