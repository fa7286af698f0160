"""Reopening a step: what is done again, which gates shut again, and that everything is kept."""

import pytest
from bay import BAD, GOOD, S1, SMALL, STATIONS, Bay

from baycompanion.job.actions import (
    Answer,
    Close,
    Override,
    RaiseFault,
    Reopen,
    Settle,
    TickLine,
    TickRest,
)
from baycompanion.job.state.gates import gates_holding


def reopened(*steps: str, walked_to: str = "show") -> Bay:
    """Return a job walked well, of which `steps` were reopened."""
    bay = Bay().walk(walked_to)
    for step in steps:
        bay.do(Reopen(reopen=step, reason="not sure"))
    return bay


def shut_again(bay: Bay) -> set[str]:
    return {name for name, gate in bay.state.gates.items() if gate.standing == "shut again"}


OFF_AGAIN = {"disconnect", "reserve", "reconnect"}
"""What has to be done again for work that is done with the battery off, once it is back on."""

RESTING = [
    # the step, the gates that shut again, the steps that are done again with it
    ("sound", {"sound-before-refit"}, set()),
    ("second-look", {"sound-before-refit"}, set()),
    ("join", {"sound-before-refit", "reserve-before-dash"}, {"second-look", *OFF_AGAIN}),
    ("joins-hold", {"sound-before-refit", "reserve-before-dash"}, {"second-look", *OFF_AGAIN}),
    ("stations", {"sound-before-refit"}, {"stations-back"}),
    ("stations-back", {"sound-before-refit"}, set()),
    ("disconnect", {"reserve-before-dash"}, {"reserve", "reconnect"}),
    ("out", {"same-as-before"}, {"back"}),
    ("back", {"same-as-before"}, set()),
    ("before", {"same-as-before"}, {"after"}),
    ("amplifier-lead", {"amplifier-checked", "reserve-before-dash"}, OFF_AGAIN),
    ("ask-amplifier", {"amplifier-checked"}, set()),
    ("ask-camera", {"sound-before-refit", "on-bench-for-bench"}, set()),
    ("gauges", set(), {"splice"}),
    ("tools", {"on-bench-for-make-safe"}, set()),
    ("parts", {"on-bench-for-make-safe", "on-bench-for-bench"}, set()),
    ("route", set(), set()),
]


@pytest.mark.parametrize(("step", "gates", "others"), RESTING)
def test_reopening_a_step_shuts_every_gate_and_reopens_every_step_that_rests_on_it(
    step: str, gates: set[str], others: set[str]
) -> None:
    """R28."""
    bay = reopened(step)
    assert shut_again(bay) == gates
    again = {event.data.step for event in bay.events if event.kind == "reopened"}  # type: ignore[attr-defined]
    assert again == {step, *others}
    first = min({step, *others}, key=list(SMALL.steps).index)
    assert bay.state.current == first
    assert {bay.step(each) for each in {step, *others} - {first}} <= {"not reached"}


@pytest.mark.parametrize(("step", "gates", "others"), RESTING)
def test_a_reopened_step_done_well_again_opens_its_gates_and_the_job_goes_on_where_it_was(
    step: str, gates: set[str], others: set[str]
) -> None:
    bay = reopened(step).walk("show")
    assert shut_again(bay) == set()
    assert all(bay.state.gates[gate].standing == "open" for gate in gates)
    bay.walk().do(Close(close="keys back"))
    assert bay.state.clean is True


def test_each_gate_that_shuts_is_named_before_the_step_is_reopened() -> None:
    """So that a crash between two lines leaves no gate open that rests on a reopened step."""
    bay = reopened("sound")
    kinds = [event.kind for event in bay.events[-3:]]
    assert kinds == ["gate-shut-again", "reopened", "begun"]


def test_a_gate_behind_holds_what_comes_next_if_its_condition_is_not_met_any_more() -> None:
    """R28, R52: the steps it held are done, but the work beyond them waits."""
    bay = reopened("sound")
    bay.do(*BAD["sound"], Settle(settle="sound", cause="vehicle", words="speaker torn"))
    assert gates_holding(SMALL, bay.state) == ("sound-before-refit",)
    assert bay.step("show") == "held"
    assert bay.state.current is None


def test_a_gate_behind_holds_the_end_of_the_job_too() -> None:
    bay = reopened("sound")
    bay.do(*BAD["sound"], Settle(settle="sound", cause="vehicle", words="speaker torn"))
    bay.do(Reopen(reopen="sound", reason="again"))
    bay.walk("show").walk()
    bay.do(Reopen(reopen="sound", reason="the owner hears a buzz"))
    bay.do(*BAD["sound"], Settle(settle="sound", cause="vehicle", words="speaker torn"))
    assert gates_holding(SMALL, bay.state) == ("sound-before-refit",)
    refused = bay.refused(Close(close="keys back"))
    assert refused.why == "The gate sound-before-refit is shut."
    assert refused.opens_by[0].step == "sound"
    override = Override(override="sound-before-refit", reason="r", words="w", instead="i")
    bay.do(override, who=S1)
    bay.do(Close(close="keys back"))
    assert bay.state.clean is False


def test_an_overridden_gate_is_shut_again_too() -> None:
    """R28."""
    bay = Bay().held(sound=[*BAD["sound"], Settle(settle="sound", cause="vehicle", words="w")])
    bay.do(Override(override="sound-before-refit", reason="r", words="w", instead="i"), who=S1)
    bay.walk("show")
    bay.do(Reopen(reopen="stations", reason="one is missing"))
    assert shut_again(bay) == {"sound-before-refit"}
    bay.good("stations")
    bay.good("stations-back")
    assert gates_holding(SMALL, bay.state) == ("sound-before-refit",)
    assert len(bay.state.overrides) == 1


def test_both_answers_and_the_reason_stay_in_the_record() -> None:
    """Invariant 3. R39."""
    bay = reopened("stations", walked_to="code")
    bay.do(Answer(answer="stations", entries=("107.9",)))
    record = next(step for step in bay.record().steps if step.id == "stations")
    assert [each.entries for each in record.attempts] == [list(STATIONS), ["107.9"]]
    assert record.reopened == ["not sure"]


def test_a_reopened_step_starts_from_nothing() -> None:
    bay = reopened("join", walked_to="reconnect")
    track = bay.state.track("join")
    assert (track.ticks, track.acknowledged, track.settled) == ({}, frozenset(), None)
    assert track.last is None
    assert "Read and acknowledge" in bay.refused(GOOD["join"][-2]).why


def test_the_steps_between_stay_done() -> None:
    bay = reopened("odometer")
    assert bay.step("promised") == "done"
    bay.good("odometer")
    assert bay.state.current == "show"


def test_a_choice_made_anew_switches_steps_and_the_gates_that_ask_for_them() -> None:
    bay = Bay().walk("show", ask_amplifier=[Answer(answer="ask-amplifier", value="no")])
    assert bay.step("amplifier-lead") == "not applicable"
    bay.do(Reopen(reopen="ask-amplifier", reason="there is one under the seat"))
    assert "amplifier" not in bay.state.choices
    bay.do(Answer(answer="ask-amplifier", value="yes"))
    assert bay.state.current == "disconnect", "the lead is plugged with the battery off"
    bay.walk("amplifier-lead")
    bay.do(Answer(answer="amplifier-lead", outcome="not done", words="stuck"))
    bay.good("reconnect")
    assert gates_holding(SMALL, bay.state) == ("amplifier-checked",)


def test_a_step_switched_off_by_a_choice_made_anew_counts_no_more() -> None:
    bay = Bay().walk("show")
    bay.do(Reopen(reopen="ask-amplifier", reason="it is another model"))
    bay.do(Answer(answer="ask-amplifier", value="no"))
    assert bay.state.current == "show"
    assert bay.step("amplifier-lead") == "not applicable"
    came_to = {gate.id: gate.came_to for gate in bay.record().gates}
    assert came_to["amplifier-checked"] == "not applicable"


def test_a_sheet_walked_again_raises_no_second_fault_for_the_same_line() -> None:
    bay = Bay().walk("after")
    bay.do(*BAD["after"], Reopen(reopen="after", reason="look again"))
    bay.do(TickLine(tick="after", item="horn", outcome="faulty", words="still silent"))
    bay.do(TickLine(tick="after", item="low-beam", outcome="faulty", words="dim"))
    bay.do(TickRest(tick_rest="after"), Answer(answer="after"))
    assert [fault.item for fault in bay.state.faults] == ["horn", "low-beam"]


def test_an_overridden_gate_is_shut_again_by_what_it_was_opened_without() -> None:
    """R28: here a fault on a step that no condition of the gate names."""
    bay = Bay().walk("route")
    bay.do(RaiseFault(fault="bracket bent", cause="work"))
    bay.held()
    override = Override(override="same-as-before", reason="r", words="w", instead="i")
    bay.do(override, who=S1)
    assert bay.state.current == "show"
    bay.do(Reopen(reopen="route", reason="the bracket is straightened"))
    assert shut_again(bay) == {"same-as-before"}


def test_a_gate_holds_the_first_step_behind_it_wherever_it_held_before() -> None:
    bay = reopened("sound")
    bay.do(*BAD["sound"], Settle(settle="sound", cause="vehicle", words="torn"))
    assert bay.step("show") == "held"
    bay.do(Reopen(reopen="route", reason="look at it now"))
    assert bay.step("route") == "held"
    assert bay.step("show") == "not reached"
    assert bay.state.gates["sound-before-refit"].step == "route"


def test_a_step_is_held_only_while_nothing_before_it_is_in_hand() -> None:
    bay = Bay().held(sound=[*BAD["sound"], Settle(settle="sound", cause="vehicle", words="w")])
    assert bay.step("route") == "held"
    bay.do(Reopen(reopen="odometer", reason="misread"))
    assert bay.step("route") == "not reached"
    bay.good("odometer")
    assert bay.step("route") == "held"
