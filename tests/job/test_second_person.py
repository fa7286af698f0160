"""A second person: blind, never the one who did it, and what happens where there is nobody."""

import pytest
from bay import N1, S1, STAFF, START, T1, T2, Bay
from jsonschema import Draft202012Validator
from second_person import (
    ALONE,
    FOUND,
    SECOND,
    TEXT,
    TOOLS,
    at_the_witness,
    closed_for_now,
    load_second,
    released,
    seen,
    step_seen,
)

from baycompanion.job.actions import (
    Accept,
    Action,
    Answer,
    Close,
    Note,
    Override,
    Reopen,
    Settle,
)
from baycompanion.job.deciding.draft import Person, Refused
from baycompanion.job.deciding.shop_lists import ShopLists, refused_by_lists
from baycompanion.job.record.whole import JobRecord
from baycompanion.job.state.fold import fold_all
from baycompanion.job.state.gates import gates_holding
from baycompanion.job.state.second_looks import hidden_now, taken_afresh
from baycompanion.procedure.steps import Witness


def test_what_was_measured_and_what_a_sum_was_worked_from_is_found_afresh() -> None:
    """R41: where a sum opens a gate, the second person finds its inputs."""
    bay = at_the_witness()
    assert [each.id for each in taken_afresh(SECOND, bay.state, step_seen())] == [
        "draw",
        "capacity",
    ]
    assert hidden_now(SECOND, bay.state) == {"draw", "capacity", "days"}


def test_nobody_passes_what_was_measured_without_a_reading_of_their_own() -> None:
    bay = at_the_witness()
    refused = bay.refused(Answer(answer="seen", outcome="passed"), T2)
    assert "afresh" in refused.why
    assert [thing.words for thing in refused.opens_by] == [
        "Measure the key-off draw.",
        "Read the capacity off the battery.",
    ]
    half = Answer(answer="seen", outcome="passed", readings={"draw": "48"})
    assert len(bay.refused(half, T2).opens_by) == 1


@pytest.mark.parametrize(
    ("draw", "capacity", "outcome", "apart"),
    [
        ("48", "60", "passed", ()),
        ("43", "60", "passed", ()),
        ("43.0 mA", "60", "passed", ()),
        ("42.9", "60", "not agreeing", ("draw",)),  # farther from the first than agree-within
        ("50", "60", "passed", ()),
        ("51", "60", "not agreeing", ("days",)),  # the sum is bad above 50 mA, common practice
        ("61", "60", "not agreeing", ("days", "draw")),
        ("48", "70", "not agreeing", ("capacity",)),
    ],
)
def test_two_findings_are_kept_beside_each_other_and_agree_or_not(
    draw: str, capacity: str, outcome: str, apart: tuple[str, ...]
) -> None:
    bay = at_the_witness()
    bay.do(seen(draw, capacity), who=T2)
    record = next(step for step in bay.record().steps if step.id == "seen")
    [attempt] = record.attempts
    assert (attempt.outcome, tuple(attempt.details or ())) == (outcome, apart)
    assert attempt.readings == {"capacity": capacity, "draw": draw.removesuffix(" mA")}
    assert next(step for step in bay.record().steps if step.id == "draw").attempts[0].words == "48"
    assert (bay.state.current == "seen") is (outcome != "passed")


IN_A = TEXT.replace("unit: mA", "unit: A").replace("at-most: 60", "at-most: 0.06")


@pytest.mark.parametrize(("draw", "outcome"), [("0.047", "passed"), ("0.051", "not agreeing")])
def test_what_is_found_afresh_comes_into_its_sum_with_its_unit(draw: str, outcome: str) -> None:
    bay = Bay(load_second(IN_A).procedure)
    bay.do(Accept(accept="hazards"), *TOOLS, Answer(answer="draw", value="0.048"), *FOUND[1:])
    bay.do(seen(draw, "60 Ah"), who=T2)
    [attempt] = bay.state.track("seen").attempts
    assert attempt.answer.outcome == outcome
    assert tuple(attempt.answer.details or ()) == (() if outcome == "passed" else ("days",))


SPLICE = """
      - record: Write down the gauges.
        id: gauges
      - sum: Work out the cap.
        id: cap
        of: splice
        inputs: {awg: {answer: gauges}}
      - check: The engine starts."""


def test_a_second_person_goes_by_the_caps_of_the_shop_too() -> None:
    text = TEXT.replace("\n      - check: The engine starts.", SPLICE)
    text = text.replace("of: [draw, days]", "of: [draw, days, cap]")
    bay = Bay(load_second(text).procedure, figures={"caps": "small 100-200, grey 1500-6500"})
    at_cap: list[Action] = [Answer(answer="gauges", value="18,16"), Answer(answer="cap")]
    bay.do(Accept(accept="hazards"), *TOOLS, *FOUND[:3], *at_cap, *FOUND[3:])
    found = {"draw": "48", "capacity": "60", "gauges": "18,16"}
    bay.do(Answer(answer="seen", outcome="passed", readings=found), who=T2)
    assert bay.step("seen") == "done"


def test_a_difference_is_settled_before_the_work_goes_on() -> None:
    bay = at_the_witness()
    bay.do(seen("30"), who=T2)
    assert bay.state.track("seen").unsettled
    assert hidden_now(SECOND, bay.state) == frozenset(), "now both are shown"
    bay.do(Reopen(reopen="draw", reason="the clamp was not closed"))
    assert bay.state.current == "draw"
    bay.do(Answer(answer="draw", value="31"), Answer(answer="days"))
    bay.do(seen("30"), who=T2)
    assert bay.step("seen") == "done"


def test_a_reading_that_is_no_reading_is_refused_with_its_step() -> None:
    why = at_the_witness().refused(seen("fifty"), T2).why
    assert why.startswith("Measure the key-off draw. “fifty” is no number")


def test_a_reading_that_nobody_asked_for_is_refused_by_name() -> None:
    readings = {"draw": "48", "capacity": "60", "drw": "48"}
    action = Answer(answer="seen", outcome="passed", readings=readings)
    why = at_the_witness().refused(action, T2).why
    assert why == "“drw” is not found afresh here, but: draw, capacity."


@pytest.mark.parametrize(("who", "what"), [(T1, "Measure the key-off draw.")])
def test_nobody_verifies_what_they_worked_on(who: Person, what: str) -> None:
    """R47, item by item."""
    assert at_the_witness().refused(seen(), who).why == f"T1 did “{what}” and cannot witness it."


@pytest.mark.parametrize(
    ("role", "who", "passes"),
    [
        ("technician", N1, False),
        ("technician", T2, True),
        ("technician", S1, True),
        ("supervisor", T2, False),
        ("supervisor", S1, True),
    ],
)
def test_whoever_verifies_has_the_role_that_the_step_asks_for(
    role: str, who: Person, passes: bool
) -> None:
    """R48."""
    bay = at_the_witness(TEXT.replace("provisional: starts", f"role: {role}"))
    if passes:
        bay.do(seen(), who=who)
    else:
        assert f"asks for a {role}, and {who.id} is a" in bay.refused(seen(), who).why


def test_each_sign_off_says_what_it_means() -> None:
    """R42: did the work, checked it, or released it."""
    bay = released()
    meanings = {step.id: step.attempts[0].meaning for step in bay.record().steps if step.attempts}
    assert meanings == {
        "tools": "did",
        "draw": "checked",
        "capacity": "did",
        "days": "did",
        "starts": "checked",
        "seen": "released",
        "noted": "did",
    }


def test_what_comes_to_nothing_at_first_is_not_found_afresh() -> None:
    bay = Bay(SECOND)
    bay.do(Accept(accept="hazards"), *TOOLS)
    bay.do(Answer(answer="draw", outcome="could not test", words="no meter"), FOUND[1])
    bay.do(Answer(answer="days", outcome="could not test", words="no draw"), FOUND[3])
    assert [each.id for each in taken_afresh(SECOND, bay.state, step_seen())] == ["capacity"]
    bay.do(Answer(answer="seen", outcome="passed", readings={"capacity": "60"}), who=T2)
    assert bay.step("seen") == "done"


def test_who_watches_the_act_finds_the_item_there_and_takes_no_reading_later() -> None:
    """R50: concurrent is another thing than independent."""
    text = TEXT.replace("provisional: starts", "manner: concurrent")
    bay = at_the_witness(text)
    step = bay.procedure.steps["seen"]
    assert isinstance(step, Witness)
    assert taken_afresh(bay.procedure, bay.state, step) == ()
    bay.do(Answer(answer="seen", outcome="passed"), who=T2)
    assert bay.step("seen") == "done"


def test_a_failed_verification_leads_back_and_shuts_the_gates_after_it() -> None:
    """R52."""
    bay = released()
    assert bay.state.gates["seen-before-keys"].standing == "open"
    events = bay.do(seen(outcome="failed"), who=T2)
    kinds = [event.kind for event in events]
    assert kinds == ["answered", "gate-shut-again", "reopened", "begun"]
    assert bay.state.current == "seen"


# --- nobody else there ------------------------------------------------------------------------


def test_without_a_second_person_the_work_is_released_for_now_and_stays_marked() -> None:
    """R51, R25."""
    bay = released()
    assert bay.step("seen") == "done with deviation"
    assert bay.record().provisional == ["seen"]
    bay.do(Answer(answer="keys"), Close(close="keys back"))
    record = bay.record()
    assert (record.clean, record.provisional) == (False, ["seen"])
    assert bay.events[-1].as_dict()["data"]["provisional"] == ["seen"]


def test_work_is_released_for_now_only_after_its_function_was_tested() -> None:
    bay = Bay(SECOND)
    bay.do(Accept(accept="hazards"), *TOOLS, *FOUND[:3])
    bay.do(Answer(answer="starts", outcome="could not test", words="no key"))
    refused = bay.refused(ALONE)
    assert [thing.words for thing in refused.opens_by] == ["The engine starts."]


def test_work_that_does_not_allow_it_is_never_released_for_now() -> None:
    bay = at_the_witness(TEXT.replace("        provisional: starts\n", ""))
    assert "not released without a second person" in bay.refused(ALONE).why


def test_a_release_for_now_says_why() -> None:
    assert "why nobody else" in at_the_witness().refused(ALONE.model_copy(update={"words": ""})).why


@pytest.mark.parametrize(
    ("staff", "able"), [((T1,), ""), ((T1, N1), ""), ((T1, T2, N1), "T2"), ((T1, S1), "S1")]
)
def test_the_shop_releases_for_now_only_where_nobody_else_can_look(
    staff: tuple[Person, ...], able: str
) -> None:
    bay = at_the_witness()
    lists = ShopLists({person.id: person for person in staff}, ())
    refused = refused_by_lists(lists, SECOND, bay.state, ALONE, START.date())
    assert (refused is None) is (able == "")
    if refused is not None:
        assert refused.opens_by[0].words == f"Call one of: {able}"


def test_a_second_person_may_look_while_the_job_is_open_without_reopening_anything() -> None:
    bay = released()
    bay.do(seen(), who=T2)
    assert bay.step("seen") == "done"
    assert bay.state.current == "keys"
    assert bay.record().provisional == []
    bay.do(Answer(answer="keys"), Close(close="keys back"))
    assert bay.record().clean is True


def test_a_second_person_may_look_after_the_end_and_nothing_else_is_taken_then() -> None:
    bay = closed_for_now()
    ended = bay.state.ended_at
    bay.refused(Note(note="late"), T2)
    bay.refused(Answer(answer="keys"), T1)
    assert "cannot witness it" in bay.refused(seen(), T1).why
    bay.do(seen(), who=T2, after=86_400)
    assert (bay.state.status, bay.state.ended_at) == ("closed", ended)
    record = bay.record()
    assert (record.provisional, record.clean) == ([], False)
    assert [attempt.by for step in record.steps if step.id == "seen" for attempt in step.attempts]
    bay.refused(seen(), T2)
    Draft202012Validator(JobRecord.model_json_schema(mode="serialization")).validate(
        record.model_dump(mode="json")
    )
    assert fold_all(bay.events) == bay.state


def test_what_fails_after_the_end_stands_as_a_fault_of_the_work() -> None:
    bay = closed_for_now()
    bay.do(seen(draw="55"), who=T2)
    [fault] = bay.state.faults
    assert (fault.cause, fault.step, fault.open) == ("work", "seen", True)
    assert "Not agreeing, looked at later." in fault.words
    assert bay.record().provisional == []


def test_a_released_step_is_not_released_twice() -> None:
    bay = released()
    assert "already" in bay.refused(ALONE).why


# --- nobody comes -----------------------------------------------------------------------------


def test_when_nobody_comes_the_gate_stays_shut_until_somebody_decides() -> None:
    """R19: a witness is a hold; nothing lets it pass because nobody came."""
    bay = at_the_witness()
    bay.refused(Answer(answer="seen", outcome="not done"))
    bay.do(Answer(answer="seen", outcome="not done", words="T2 is ill"), Answer(answer="noted"))
    assert gates_holding(SECOND, bay.state) == ("seen-before-keys",)
    override = Override(override="seen-before-keys", reason="r", words="w", instead="i")
    bay.do(override, who=S1)
    assert bay.step("seen") == "overridden"


def test_an_override_gives_one_of_the_reasons_of_the_shop() -> None:
    lists = ShopLists(STAFF, ("No key for this lock",))
    bay = at_the_witness()
    override = Override(override="seen-before-keys", reason="because", words="w", instead="i")
    refused = refused_by_lists(lists, SECOND, bay.state, override, START.date())
    assert isinstance(refused, Refused)
    assert [thing.words for thing in refused.opens_by] == ["No key for this lock"]
    settle = Settle(settle="x", cause="work", words="w")
    assert refused_by_lists(lists, SECOND, bay.state, settle, START.date()) is None
