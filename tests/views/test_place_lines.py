"""The lines around the card say which job, which phase, how long, what stands, and what is next."""

from datetime import timedelta

import pytest
from bay import S1, SMALL, SMALL_TEXT, T2, Bay

from baycompanion.job.actions import Abandon, Answer, Override
from baycompanion.job.hands_actions import (
    FindGap,
    HandOver,
    PauseWork,
    Resume,
)
from baycompanion.procedure.load import load_procedure
from baycompanion.views.card import place
from baycompanion.views.card.signs import GATE_SIGNS, MARKS

COUNT = len(SMALL.steps)
SOUND = SMALL.number["sound"]
SILENT = [Answer(answer="sound", outcome="not fitted")]
OVERRIDE = Override(override="sound-before-refit", reason="r", words="w", instead="i")


def phase_line(bay: Bay, **later: float) -> str:
    return place.phase_line(bay.procedure, bay.state, bay.now + timedelta(**later))


def test_where_names_order_vehicle_procedure_revision_and_technician() -> None:
    bay = Bay()
    line = "WO 7 · Blue van · Fit a small receiver, revision 3 · "
    assert place.where(bay.procedure, bay.state) == f"{line}T1"
    bay.walk("gauges")
    bay.do(HandOver(hand_over="T2", words="w", loose="l", first="f"))
    resume = Resume(resume="read back", still_true=("battery-off",), gate_checked=True)
    bay.do(resume, who=T2)
    assert place.where(bay.procedure, bay.state) == f"{line}T2"


def test_the_phase_line_counts_phases_minutes_and_steps() -> None:
    bay = Bay()
    assert phase_line(bay) == f"Step 1 of {COUNT}"
    bay.walk("ask-camera")
    assert phase_line(bay) == f"Step 2 of {COUNT} · 1 min of 20 min · phase 1 of 5: Take-in"


def test_the_clock_of_a_phase_runs_only_while_somebody_works() -> None:
    bay = Bay().walk("rest-voltage")
    at_rest = phase_line(bay)
    assert phase_line(bay, minutes=7) != at_rest
    assert phase_line(bay, hours=-5) == at_rest, "a clock set back takes nothing away"
    bay.do(PauseWork(pause="lunch", loose="nothing", first="measure"), after=0)
    assert phase_line(bay, minutes=7) == at_rest


def test_a_gap_that_is_not_explained_counts_for_nobody() -> None:
    bay = Bay().walk("rest-voltage")
    at_rest = phase_line(bay)
    bay.do(FindGap(gap="slept", seconds=3600), after=3600)
    assert phase_line(bay, hours=1) == at_rest


def test_a_phase_over_its_target_says_so_in_a_word() -> None:
    bay = Bay().walk("rest-voltage")
    assert "(over target)" not in phase_line(bay, minutes=20)
    assert " of 30 min (over target)" in phase_line(bay, minutes=31)


def test_the_end_of_the_steps_is_a_line_too() -> None:
    assert phase_line(Bay().walk()).startswith(f"All {COUNT} steps · ")


def test_a_standing_condition_stands_from_its_beginning_to_its_end() -> None:
    said = "! MUST STAY TRUE: The battery stays off."
    for step, line in (("disconnect", ""), ("reserve", said), ("reconnect", said), ("sound", "")):
        bay = Bay().walk(step)
        assert place.standing_line(bay.procedure, bay.state) == line


def test_the_next_gate_and_what_it_needs_are_told_ahead() -> None:
    bay = Bay().walk("gauges")
    assert place.gate_ahead(bay.procedure, bay.state) == (
        f"Next gate: sound-before-refit – needs {SOUND}. Every speaker sounds. Not answered yet,"
        " and 1 more"
    )
    bay.walk("cure")
    assert place.gate_ahead(bay.procedure, bay.state) == (
        f"Next gate: sound-before-refit – needs {SOUND}. Every speaker sounds. Not answered yet."
    )
    bay.walk("route")
    assert f"Next gate: same-as-before – needs {SMALL.number['back']}. " in place.gate_ahead(
        bay.procedure, bay.state
    )
    bay.walk()
    assert place.gate_ahead(bay.procedure, bay.state) == "No gate ahead."


def test_of_two_gates_at_one_step_the_one_that_still_needs_something_is_told() -> None:
    """The first of them was told to be settled, and the second held the step all the same."""
    left = Answer(answer="amplifier-lead", outcome="not done", words="no room")
    bay = Bay().walk("lamps-after", amplifier_lead=[left])
    assert [gate.gate for gate in SMALL.gates_on["route"]] == [
        "sound-before-refit",
        "amplifier-checked",
    ]
    lead = SMALL.number["amplifier-lead"]
    assert place.gate_ahead(bay.procedure, bay.state) == (
        f"Next gate: amplifier-checked – needs {lead}. Unplug the amplifier lead. Not done."
    )


def test_no_gate_lies_ahead_of_a_job_that_was_given_up() -> None:
    """It said what the next gate needs, and nobody can give it that."""
    bay = Bay().walk("gauges")
    bay.do(Abandon(abandon="the owner left"))
    assert place.gate_ahead(bay.procedure, bay.state) == "No gate ahead."


def test_the_last_finished_step_is_shown_with_its_mark_and_its_answer() -> None:
    bay = Bay()
    assert place.last_line(bay.procedure, bay.state) == ""
    bay.walk("disconnect")
    said = f"✓ {SMALL.number['rest-voltage']}. Measure the battery at rest. inside · 12.60 V"
    assert place.last_line(bay.procedure, bay.state) == said
    bay = Bay().walk("stations-back", sound=SILENT)
    assert place.last_line(bay.procedure, bay.state).startswith(f"! {SOUND}. Every speaker sounds.")


def test_the_sequence_holds_each_phase_gate_and_step_once_and_in_order() -> None:
    bay = Bay()
    lines = place.sequence(bay.procedure, bay.state)
    steps = [line for line in lines if line.kind == "step"]
    assert [line.name for line in steps] == list(bay.procedure.steps)
    assert [line.number for line in steps] == list(range(1, COUNT + 1))
    assert [line.name for line in lines if line.kind == "phase"] == [
        phase.phase for phase in bay.procedure.phases
    ]
    gates = [line.name for line in lines if line.kind == "gate"]
    assert sorted(gates) == sorted(bay.procedure.all_gates)
    at = [line.name for line in lines].index("out")
    assert lines[at - 1].name == "reserve-before-dash", "a gate stands before what it holds"


def test_every_state_of_a_step_has_its_own_sign_and_word() -> None:
    assert len({mark.sign for mark in MARKS.values()}) == len(MARKS)
    assert len({mark.word for mark in MARKS.values()}) == len(MARKS)
    short = {mark.word: mark.short for mark in MARKS.values()}
    assert short.pop("overridden") == "overridden", "over would read as: it is over"
    assert all(len(each) <= 4 for each in short.values())
    assert len({word for _, word in GATE_SIGNS.values()}) == len(GATE_SIGNS)


def test_what_was_overridden_looks_different_from_what_was_done() -> None:
    bay = Bay().held(sound=SILENT)
    by_name = {line.name: line for line in place.sequence(bay.procedure, bay.state)}
    assert (by_name["sound"].sign, by_name["sound"].word) == ("!", "deviation")
    assert (by_name["route"].sign, by_name["route"].word) == ("■", "held")
    assert by_name["sound-before-refit"].word == "shut"
    bay.do(OVERRIDE, who=S1)
    by_name = {line.name: line for line in place.sequence(bay.procedure, bay.state)}
    assert (by_name["sound"].sign, by_name["sound"].word) == ("»", "overridden")
    assert by_name["sound-before-refit"].word == "overridden"
    assert by_name["route"].word == "now"
    assert by_name["picture"].word == "not applicable"


def test_a_gate_that_does_not_apply_is_not_listed() -> None:
    bay = Bay().walk("ask-camera", ask_amplifier=[Answer(answer="ask-amplifier", value="no")])
    names = [line.name for line in place.sequence(bay.procedure, bay.state)]
    assert "amplifier-checked" not in names


def test_a_phase_without_a_target_has_a_clock_all_the_same() -> None:
    text = SMALL_TEXT.replace("    target: 20 min\n", "")
    bay = Bay(load_procedure(text, "small.yaml").procedure).walk("ask-camera")
    assert phase_line(bay) == f"Step 2 of {COUNT} · 1 min · phase 1 of 5: Take-in"


MANY = """standing:
  - {standing: key-out, says: The key stays out., begins: disconnect, ends: keys, ask: Was it out?}
  - {standing: window-open, says: A window stays open., begins: disconnect, ends: keys, ask: Open?}
"""


@pytest.mark.parametrize(
    ("room", "says"),
    [
        (99, "The battery stays off. · The key stays out. · A window stays open."),
        (80, "The battery stays off. · The key stays out. · AND 1 MORE: F9"),
        (60, "The battery stays off. · AND 2 MORE: F9"),
        (50, "3 things. To read them: F9"),
    ],
)
def test_what_must_stay_true_is_shown_whole_or_counted(room: int, says: str) -> None:
    more = MANY.removeprefix("standing:\n")
    text = SMALL_TEXT.replace("\nphases:", f"\n{more}\nphases:", 1)
    bay = Bay(load_procedure(text, "small.yaml").procedure).walk("reserve")
    strip = place.standing_strip(bay.procedure, bay.state, lambda text: len(text) <= room)
    assert strip == f"! MUST STAY TRUE: {says}"
