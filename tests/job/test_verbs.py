"""What comes of answering each kind of step, by table: its outcome, its weight, what is kept."""

import pytest
from bay import BAD, GOOD, PHOTO, S1, SMALL_TEXT, STATIONS, T1, T2, Bay, count, meter, tick

from baycompanion.job import actions, hands_actions
from baycompanion.job.actions import (
    Action,
    Answer,
    Reopen,
    Settle,
    SetWait,
    TickLine,
    TickRest,
)
from baycompanion.job.events.kinds import Answered
from baycompanion.procedure.load import load_procedure

COULD_NOT = {"outcome": "could not test", "words": "meter flat"}

OUTCOMES: list[tuple[str, list[Action], str, str]] = [
    # the step, what is done on it, the outcome, and its weight
    ("route", [Answer(answer="route")], "done", "good"),
    ("route", [Answer(answer="route", outcome="done")], "done", "good"),
    ("route", [Answer(answer="route", outcome="not done", words="w")], "not done", "neutral"),
    ("tools", GOOD["tools"], "done", "good"),
    ("tools", BAD["tools"], "incomplete", "neutral"),
    ("parts", BAD["parts"], "incomplete", "neutral"),
    ("parts", [Answer(answer="parts", outcome="not done", words="w")], "not done", "neutral"),
    ("sound", [Answer(answer="sound", outcome="passed")], "passed", "good"),
    ("sound", [Answer(answer="sound", outcome="failed")], "failed", "bad"),
    ("sound", [Answer(answer="sound", outcome="not fitted")], "not fitted", "neutral"),
    ("sound", [Answer(answer="sound", **COULD_NOT)], "could not test", "neutral"),
    ("rest-voltage", [Answer(answer="rest-voltage", value="12.60")], "inside", "good"),
    ("rest-voltage", [Answer(answer="rest-voltage", value="12.4")], "inside", "good"),
    ("rest-voltage", [Answer(answer="rest-voltage", value="12.90")], "inside", "good"),
    ("rest-voltage", [Answer(answer="rest-voltage", value="12,5 V")], "inside", "good"),
    ("rest-voltage", [Answer(answer="rest-voltage", value="12.399")], "outside", "bad"),
    ("rest-voltage", [Answer(answer="rest-voltage", value="12.901")], "outside", "bad"),
    ("rest-voltage", [Answer(answer="rest-voltage", value="-12.6")], "outside", "bad"),
    ("rest-voltage", [Answer(answer="rest-voltage", **COULD_NOT)], "could not test", "neutral"),
    (
        "rest-voltage",
        [Answer(answer="rest-voltage", outcome="not fitted")],
        "not fitted",
        "neutral",
    ),
    ("odometer", [Answer(answer="odometer", value="80123")], "recorded", "good"),
    ("odometer", [Answer(answer="odometer", outcome="not done", words="w")], "not done", "neutral"),
    ("promised", [Answer(answer="promised", value="2026-02-28")], "recorded", "good"),
    ("stations", [Answer(answer="stations", entries=STATIONS)], "recorded", "good"),
    ("lamps", [Answer(answer="lamps")], "recorded", "good"),
    ("lamps", [Answer(answer="lamps", entries=("oil",))], "recorded", "good"),
    ("code", [Answer(answer="code", value="4711")], "recorded", "good"),
    ("stations-back", [Answer(answer="stations-back", entries=STATIONS)], "matching", "good"),
    ("stations-back", BAD["stations-back"], "different", "bad"),
    ("lamps-after", [Answer(answer="lamps-after")], "matching", "good"),
    ("lamps-after", BAD["lamps-after"], "different", "bad"),
    ("splice", [Answer(answer="splice")], "good", "good"),
    ("splice", [Answer(answer="splice", **COULD_NOT)], "could not test", "neutral"),
    ("out", GOOD["out"], "counted", "good"),
    ("out", count("out", screw=0, clip=0), "counted", "good"),
    ("back", GOOD["back"], "matching", "good"),
    ("back", BAD["back"], "not matching", "bad"),
    ("back", count("back", screw=7, clip=4), "not matching", "bad"),
    ("ask-camera", [Answer(answer="ask-camera", value="front")], "chosen", "good"),
    ("reserve", GOOD["reserve"], "over", "good"),
    ("before", GOOD["before"], "inspected", "good"),
    ("after", GOOD["after"], "matching", "good"),
    ("after", BAD["after"], "worse", "neutral"),
    ("panels-after", GOOD["panels-after"], "matching", "good"),
    ("panels-after", BAD["panels-after"], "worse", "neutral"),
]


@pytest.mark.parametrize(("step", "done", "outcome", "weight"), OUTCOMES)
def test_an_answer_has_its_outcome_and_weight_and_only_a_bad_one_stays_in_hand(
    step: str, done: list[Action], outcome: str, weight: str
) -> None:
    bay = Bay().walk(step)
    bay.do(*done)
    answer = bay.state.track(step).attempts[-1].answer
    assert (answer.outcome, answer.weight) == (outcome, weight)
    states = {"good": "done", "neutral": "done with deviation", "bad": "in progress"}
    assert bay.step(step) == states[weight]


@pytest.mark.parametrize(("outcome", "weight"), [("passed", "good"), ("failed", "bad")])
def test_a_witness_passes_or_fails_what_somebody_else_did(outcome: str, weight: str) -> None:
    """R47."""
    bay = Bay().walk("second-look")
    bay.do(Answer(answer="second-look", outcome=outcome), who=S1)
    answer = bay.state.track("second-look").attempts[-1]
    assert (answer.by, answer.answer.weight) == ("S1", weight)


def test_nobody_witnesses_an_item_of_which_they_answered_one_line() -> None:
    """R47: names are compared item by item, and each line of an item counts."""
    bay = Bay().walk("join")
    bay.do(*GOOD["join"][:-2])
    bay.do(hands_actions.HandOver(hand_over="T2", words="w", loose="none", first="none"))
    bay.do(
        hands_actions.Resume(resume="as told", still_true="battery-off", gate_checked=True), who=T2
    )
    bay.do(*GOOD["join"][-2:], *GOOD["joins-hold"], who=T2)
    for worker in (T1, T2):
        refused = bay.refused(Answer(answer="second-look", outcome="passed"), worker)
        assert "cannot witness it" in refused.why
    bay.do(Answer(answer="second-look", outcome="passed"), who=S1)


def test_a_failed_witness_leaves_the_step_open_to_be_looked_at_again() -> None:
    """R52."""
    bay = Bay().walk("second-look")
    bay.do(Answer(answer="second-look", outcome="failed"), who=S1)
    bay.do(actions.Reopen(reopen="join", reason="one join is loose"))
    assert bay.state.current == "join"
    bay.walk("second-look")
    bay.do(Answer(answer="second-look", outcome="passed"), who=S1)
    outcomes = [each.answer.outcome for each in bay.state.track("second-look").attempts]
    assert outcomes == ["failed", "passed"]


@pytest.mark.parametrize("typed", ["12.60", "12.6", "12.600", "12,60 V", "-0.0"])
def test_a_reading_is_kept_as_typed_and_as_a_number_with_its_own_digits(typed: str) -> None:
    """Invariant 9: 12.60 stays apart from 12.6. R38: with unit, limits and instrument."""
    bay = Bay().walk("rest-voltage")
    bay.do(Answer(answer="rest-voltage", value=typed))
    answer = bay.state.track("rest-voltage").attempts[-1].answer
    assert answer.words == typed
    assert answer.number == typed.removesuffix(" V").replace(",", ".")
    assert (answer.unit, answer.limits) == ("V", "12.4 to 12.90 V")
    assert answer.instrument == "M3"


def test_a_unit_spelt_out_stands_in_the_record_once_and_by_its_sign() -> None:
    """Kept as “4 ohm”, it would be told as “4 ohm Ω”."""
    text = LAID_OUT_TWICE.replace("unit: V", "unit: Ω").replace(
        "at-least: 12, instrument: meter}",
        "at-least: 1}\n      - {record: Write it down., id: written, takes: number, unit: Ω}",
    )
    bay = Bay(procedure=load_procedure(text, "twice.yaml").procedure)
    again = meter().model_copy(update={"tick": "tools-again"})
    bay.do(actions.Accept(accept="hazards"), meter(), Answer(answer="tools"), again)
    bay.do(Answer(answer="tools-again"))
    for name in ("volts", "written"):
        bay.do(Answer(answer=name, value="4 ohm"))
        answer = bay.state.track(name).attempts[-1].answer
        assert (answer.words, answer.number, answer.unit) == ("4 Ω", "4", "Ω")


def test_measuring_again_keeps_the_first_value_beside_the_second() -> None:
    """R39."""
    bay = Bay().walk("rest-voltage")
    bay.do(
        Answer(answer="rest-voltage", value="11.90"), Answer(answer="rest-voltage", value="12.5")
    )
    record = next(step for step in bay.record().steps if step.id == "rest-voltage")
    assert [each.reading for each in record.attempts] == ["11.90", "12.5"]
    assert [each.outcome for each in record.attempts] == ["outside", "inside"]
    assert record.state == "done"


def test_a_value_outside_its_limits_stops_the_job_until_it_is_settled() -> None:
    """R39: as a fault of the vehicle or of the work, or by measuring again."""
    bay = Bay().walk("rest-voltage")
    bay.do(*BAD["rest-voltage"])
    assert bay.state.current == "rest-voltage"
    assert bay.state.track("rest-voltage").unsettled
    bay.do(Settle(settle="rest-voltage", cause="vehicle", words="old battery"))
    assert bay.step("rest-voltage") == "done with deviation"
    assert (bay.state.faults[0].cause, bay.state.faults[0].step) == ("vehicle", "rest-voltage")
    assert bay.state.track("rest-voltage").settled == 1


def test_the_instrument_is_the_one_laid_out_last() -> None:
    bay = Bay().walk("rest-voltage", tools=[meter(instrument="M1"), *GOOD["tools"][1:]])
    bay.do(meter(instrument="M2"))
    bay.do(Answer(answer="rest-voltage", value="12.5"))
    assert bay.state.track("rest-voltage").attempts[-1].answer.instrument == "M2"


LAID_OUT_TWICE = """
procedure: twice
title: T
revision: 1
fits: F?
hazards: none
tools: [{tool: meter, name: Meter, instrument: yes}]
parts: none
phases:
  - phase: only
    title: Only
    target: 10 min
    steps:
      - {do: Lay out., id: tools, each: tools}
      - {do: Lay out again., id: tools-again, each: tools}
      - {measure: Measure., id: volts, unit: V, at-least: 12, instrument: meter}
"""


def test_the_instrument_is_that_of_the_last_step_that_laid_it_out() -> None:
    bay = Bay(procedure=load_procedure(LAID_OUT_TWICE, "twice.yaml").procedure)
    again = meter(instrument="M2").model_copy(update={"tick": "tools-again"})
    bay.do(actions.Accept(accept="hazards"), meter(instrument="M1"), Answer(answer="tools"))
    bay.do(again, Answer(answer="tools-again"), Answer(answer="volts", value="12.5"))
    assert bay.state.track("volts").attempts[-1].answer.instrument == "M2"


def test_an_instrument_overdue_for_calibration_leaves_the_bench_gate_shut() -> None:
    """R40. On the day it is due an instrument may still be used."""
    bay = Bay().walk("panels", tools=[meter(due="2026-03-01"), *GOOD["tools"][1:]])
    assert bay.state.track("tools").ticks["meter"].answer.outcome == "overdue for calibration"
    assert bay.step("tools") == "done with deviation"
    bay.do(*GOOD["panels"])
    assert bay.state.gates["on-bench-for-make-safe"].standing == "held"
    bay.do(meter(due="2026-03-02"))
    assert bay.state.gates["on-bench-for-make-safe"].standing == "open"


def test_a_tool_that_turns_up_late_is_ticked_later_and_completes_its_step() -> None:
    bay = Bay().walk("odometer", parts=BAD["parts"])
    assert bay.step("parts") == "done with deviation"
    bay.do(tick("parts", "cap", "here"))
    assert bay.step("parts") == "done"
    assert bay.state.current == "odometer"
    outcomes = [each.answer.outcome for each in bay.state.track("parts").attempts]
    assert outcomes == ["incomplete", "done"]


def test_a_tool_can_be_ticked_later_even_where_none_was_at_first() -> None:
    bay = Bay().walk(
        "odometer", tools=[Answer(answer="tools", outcome="not done", words="no time")]
    )
    bay.do(tick("tools", "trim-tool", "here"))
    assert bay.step("tools") == "done with deviation"
    bay.do(meter())
    assert bay.step("tools") == "done"


def test_lines_of_other_steps_are_ticked_only_while_they_are_in_hand() -> None:
    bay = Bay().walk("panels")
    assert "not the step in hand" in bay.refused(tick("before", "horn", "works")).why


def test_a_tick_can_be_corrected_and_both_stay_in_the_journal() -> None:
    bay = Bay().walk("out")
    bay.do(TickLine(tick="out", item="screw", count=6), *count("out", screw=5, clip=4))
    assert bay.state.track("out").ticks["screw"].answer.count == 5
    counts = [event.data.count for event in bay.events if event.kind == "ticked"]  # type: ignore[attr-defined]
    assert [number for number in counts if number is not None] == [6, 5, 4]


def test_the_rest_of_a_sheet_is_ticked_at_once_or_by_group() -> None:
    bay = Bay().walk("before")
    bay.do(TickRest(tick_rest="before", group="Lamps"))
    assert set(bay.state.track("before").ticks) == {"low-beam", "high-beam"}
    bay.do(tick("before", "horn", "faulty", words="weak"), TickRest(tick_rest="before"))
    outcomes = {name: each.answer.outcome for name, each in bay.state.track("before").ticks.items()}
    assert outcomes == {
        "low-beam": "works",
        "high-beam": "works",
        "horn": "faulty",
        "amplified-sound": "works",
    }


def test_a_line_that_does_not_apply_is_not_asked_for() -> None:
    no_amplifier = [Answer(answer="ask-amplifier", value="no")]
    bay = Bay().walk("before", ask_amplifier=no_amplifier)
    assert "is no line" in bay.refused(tick("before", "amplified-sound", "works")).why
    bay.do(TickRest(tick_rest="before"), Answer(answer="before"))
    assert "amplified-sound" not in bay.state.track("before").ticks


def test_counts_that_differ_are_told_line_by_line() -> None:
    """R45: the program compares; nobody is asked whether the count is right."""
    bay = Bay().walk("back")
    bay.do(*BAD["back"])
    answer = bay.state.track("back").attempts[-1].answer
    assert answer.details == {"screw": "Screw: 6 off, 5 back, 1 left over"}
    bay.do(*GOOD["back"])
    assert bay.step("back") == "done"


def test_a_list_that_differs_names_the_first_line_that_does() -> None:
    bay = Bay().walk("stations-back")
    bay.do(Answer(answer="stations-back", entries=("88.1", "101.1", "94.7")))
    answer = bay.state.track("stations-back").attempts[-1].answer
    assert answer.details == {"line": "2", "before": "94.7", "now": "101.1"}


@pytest.mark.parametrize(
    ("entries", "details"),
    [
        (STATIONS[:2], {"line": "3", "before": "101.1", "now": "nothing"}),
        ((*STATIONS, "107.9"), {"line": "4", "before": "nothing", "now": "107.9"}),
    ],
)
def test_a_list_too_short_or_too_long_says_so(
    entries: tuple[str, ...], details: dict[str, str]
) -> None:
    bay = Bay().walk("stations-back")
    bay.do(Answer(answer="stations-back", entries=entries))
    assert bay.state.track("stations-back").attempts[-1].answer.details == details


def test_case_and_spaces_do_not_make_two_entries_differ() -> None:
    named = [Answer(answer="stations", entries=("Radio  One", "88.1"))]
    bay = Bay().walk("stations-back", stations=named)
    bay.do(Answer(answer="stations-back", entries=("radio one", "88.1")))
    assert bay.step("stations-back") == "done"


def test_what_was_never_recorded_matches_nothing() -> None:
    no_stations = [Answer(answer="stations", outcome="not done", words="88.1")]
    bay = Bay().walk("stations-back", stations=no_stations)
    bay.do(Answer(answer="stations-back", entries=("88.1",)))
    answer = bay.state.track("stations-back").attempts[-1].answer
    assert answer.outcome == "different"
    assert answer.details == {"line": "1", "before": "nothing", "now": "88.1"}


def test_a_sum_is_shown_worked_and_can_be_worked_again_from_the_record() -> None:
    """R41. Area: NASA-STD-8739.4, section 19, adds circular mils; 1624.3 + 2582.7."""
    bay = Bay().walk("splice")
    bay.do(Answer(answer="splice"))
    details = bay.state.track("splice").attempts[-1].answer.details or {}
    assert (details["awg"], details["area_cmil"]) == ("18,16", "4207.0")
    assert "1624.30 + 2582.74 = 4207.0 cmil" in details["shown"]
    assert details["because"].startswith("4207.0 cmil fits a cap")


def test_a_sum_with_a_bad_verdict_stays_in_hand() -> None:
    bay = Bay().walk("splice", gauges=BAD["gauges"])
    bay.do(Answer(answer="splice"))
    assert bay.state.track("splice").unsettled


@pytest.mark.parametrize(
    ("gauges", "why"),
    [
        ([Answer(answer="gauges", outcome="not done", words="18,18")], "its step has no reading"),
        (
            [Answer(answer="gauges", value="many")],
            "“The gauge of each lead in the cap” cannot be “many”",
        ),
    ],
)
def test_a_sum_without_its_inputs_says_which_step_lacks_them(
    gauges: list[Action], why: str
) -> None:
    bay = Bay().walk("splice", gauges=gauges)
    refused = bay.refused(Answer(answer="splice"))
    assert why in refused.why


def test_words_typed_beside_a_value_are_kept_as_a_note() -> None:
    bay = Bay().walk("rest-voltage")
    bay.do(Answer(answer="rest-voltage", value="12.5", words="lamps were on"))
    assert [note.words for note in bay.state.notes] == ["lamps were on"]
    bay.do(actions.Acknowledge(acknowledge="disconnect"))
    bay.do(Answer(answer="disconnect", words="clamp was tight"))
    assert bay.state.track("disconnect").attempts[-1].answer.words == "clamp was tight"
    assert len(bay.state.notes) == 1


def test_a_photo_that_is_required_is_asked_for_before_the_step_is_finished() -> None:
    bay = Bay().walk("join")
    without_photo = [action for action in GOOD["join"] if action is not PHOTO]
    bay.do(*without_photo[:-1])
    refused = bay.refused(without_photo[-1])
    assert refused.why == "This step needs a photo before it is finished."
    bay.do(PHOTO, without_photo[-1])
    assert bay.step("join") == "done"
    assert bay.record().photos[0].step == "join"


def test_the_same_photo_is_attached_to_a_step_once_whatever_its_file_is_called() -> None:
    bay = Bay().walk("join")
    bay.do(PHOTO)
    again = PHOTO.model_copy(update={"original": "copy of lead.jpg"})
    refused = bay.refused(again)
    assert refused.why == "This photo is attached already, as lead.jpg. Nothing was added."
    bay.do(PHOTO.model_copy(update={"sha256": "cd" * 32}))
    assert [photo.data.sha256[:2] for photo in bay.state.photos] == ["ab", "cd"]


def test_a_photo_taken_before_a_step_was_reopened_does_not_show_it_as_it_is_now() -> None:
    bay = Bay().walk("joins-hold")
    bay.do(Reopen(reopen="join", reason="one cap was loose"))
    without_photo = [action for action in GOOD["join"] if action is not PHOTO]
    bay.do(*without_photo[:-1])
    refused = bay.refused(without_photo[-1])
    assert refused.why.startswith("This step needs a new photo")
    assert str(refused).endswith("[Add one of how it is now.]")
    bay.do(PHOTO)
    again = bay.refused(without_photo[-1])
    assert again.why.startswith("This step needs a new photo"), "the job had that picture before"
    assert f"[The job had {PHOTO.original} before it was reopened. " in str(again)
    bay.do(bay.taken_now(PHOTO), without_photo[-1])
    assert bay.step("join") == "done"


def test_a_thing_found_damaged_later_leaves_its_staging_step_incomplete() -> None:
    bay = Bay().walk("odometer")
    assert bay.step("tools") == "done"
    bay.do(tick("tools", "trim-tool", "damaged"))
    assert bay.step("tools") == "done with deviation"
    bay.do(tick("tools", "trim-tool", "here"))
    assert bay.step("tools") == "done"


def test_a_photo_of_another_step_does_not_count() -> None:
    bay = Bay().walk("splice")
    bay.do(PHOTO, Answer(answer="splice"))
    without_photo = [action for action in GOOD["join"] if action is not PHOTO]
    bay.do(*without_photo[:-1])
    bay.refused(without_photo[-1])


def test_every_verb_is_in_the_table() -> None:
    verbs = {Bay().procedure.steps[step].verb for step, *_ in OUTCOMES}
    assert verbs | {"witness"} == {
        "do",
        "check",
        "measure",
        "record",
        "sum",
        "count",
        "choose",
        "wait",
        "inspect",
        "witness",
    }


def test_an_answer_by_somebody_else_than_the_technician_is_only_ever_a_witness() -> None:
    for step in GOOD:
        if step in ("picture", "second-look"):
            continue
        bay = Bay().walk(step)
        for action in GOOD[step]:
            if action is not PHOTO:
                assert "in the hands of T1" in bay.refused(action, T2).why
        events = [event.data for event in bay.events if isinstance(event.data, Answered)]
        assert all(data.step != step for data in events)


def test_a_wait_keeps_its_length_and_where_it_comes_from() -> None:
    """R29."""
    bay = Bay().walk("reserve")
    bay.do(SetWait(set_wait="reserve", lasts="1 min", source="maker's manual"), who=T1)
    bay.do(Answer(answer="reserve"))
    answer = bay.state.track("reserve").attempts[-1].answer
    assert answer.details == {"lasts": "1 min", "source": "maker's manual"}


def test_a_sum_takes_the_caps_of_the_shop_and_says_which_cap() -> None:
    limits = '          cap_min_cmil: "1500"\n          cap_max_cmil: "6500"\n'
    assert limits in SMALL_TEXT
    without = load_procedure(SMALL_TEXT.replace(limits, ""), "small-receiver.yaml").procedure
    bay = Bay(without, figures={"caps": "small 100-200, grey 1500-6500"}).walk("splice")
    bay.do(Answer(answer="splice"))
    details = bay.state.track("splice").attempts[-1].answer.details or {}
    assert details["cap"] == "grey"
    poor = Bay(without).walk("splice")
    assert "caps is missing" in poor.refused(Answer(answer="splice")).why


def test_a_reading_in_another_unit_is_brought_to_that_of_the_sum() -> None:
    text = SMALL_TEXT.replace(
        '          cap_min_cmil: "1500"', "          cap_min_cmil: {answer: least}"
    )
    text = text.replace(
        "      - sum: Do the leads fit in the cap?",
        "      - record: Least copper of the cap.\n        id: least\n        takes: number\n"
        "        unit: mm2\n      - sum: Do the leads fit in the cap?",
    )
    bay = Bay(load_procedure(text, "p.yaml").procedure).walk("least")
    bay.do(Answer(answer="least", value="0.75"), Answer(answer="splice"))
    details = bay.state.track("splice").attempts[-1].answer.details or {}
    # Source: 1 cmil is 0.0005067075 mm², by its definition (the circle of 0.001 in).
    assert float(details["cap_min_cmil"]) == pytest.approx(0.75 / 0.0005067075, abs=0.01)
