"""Gates: how each condition is met, how they nest, and every way in which a gate comes to open."""

from dataclasses import replace
from typing import Literal

import pytest
from bay import BAD, GOOD, N1, S1, SMALL, T1, T2, Bay, tick

from baycompanion.job.actions import (
    Accept,
    Action,
    Answer,
    ClearFault,
    Close,
    Override,
    RaiseFault,
    Reopen,
    Settle,
)
from baycompanion.job.deciding.draft import Person
from baycompanion.job.record.making import make_record
from baycompanion.job.state.gates import gates_holding, gates_resting_on, missing
from baycompanion.procedure.load import load_procedure
from baycompanion.procedure.model import Procedure

THREE = """
procedure: three
title: T
revision: 1
fits: F?
hazards: none
tools: none
parts: none
choices: [{{choice: extra, title: Extra}}]
phases:
  - phase: only
    title: Only
    target: 10 min
    steps:
      - choose: E?
        id: ask
        settles: extra
      - check: A.
        id: a
      - check: B.
        id: b
      - check: C.
        id: c
        when: {{extra: yes}}
      - do: End.
        id: end
gates:
  - gate: g
    holds: end
    until: {until}
    because: B.
    override: supervisor
"""


def three_checks(until: str) -> Procedure:
    """Return a procedure of three checks, of which the third may not apply, and one gate."""
    return load_procedure(THREE.format(until=until), "three.yaml").procedure


A, B, C = "{passed: a}", "{passed: b}", "{passed: c}"
NESTED = [
    # what opens the gate, the checks that pass (C applies only where it is named), is it met
    (f"[{A}]", "a", True),
    (f"[{A}]", "b", False),
    (f"[{A}, {B}]", "ab", True),
    (f"[{A}, {B}]", "a", False),
    (f"[{{any: [{A}, {B}]}}]", "a", True),
    (f"[{{any: [{A}, {B}]}}]", "b", True),
    (f"[{{any: [{A}, {B}]}}]", "", False),
    (f"[{{all: [{A}, {B}]}}]", "ab", True),
    (f"[{{all: [{A}, {B}]}}]", "b", False),
    (f"[{{any: [{{all: [{A}, {B}]}}, {C}]}}]", "abC", True),
    (f"[{{any: [{{all: [{A}, {B}]}}, {C}]}}]", "bC", False),
    (f"[{{any: [{{all: [{A}, {B}]}}, {C}]}}]", "bCc", True),
    (f"[{{all: [{{any: [{A}, {B}]}}, {C}]}}]", "bC", False),
    (f"[{{all: [{{any: [{A}, {B}]}}, {C}]}}]", "bCc", True),
    # a condition on a step that does not apply counts neither for nor against
    (f"[{C}]", "", True),
    (f"[{C}]", "C", False),
    (f"[{A}, {C}]", "a", True),
    (f"[{A}, {C}]", "b", False),
    (f"[{{any: [{A}, {C}]}}]", "b", False),
    (f"[{{any: [{A}, {C}]}}]", "a", True),
    (f"[{{any: [{C}]}}, {A}]", "a", True),
    (f"[{{any: [{{all: [{C}]}}, {B}]}}]", "", False),
    (f"[{{any: [{{all: [{C}]}}, {B}]}}]", "b", True),
    (f"[{{all: [{C}, {B}]}}]", "b", True),
]


@pytest.mark.parametrize(("until", "passing", "met"), NESTED)
def test_conditions_nest_and_those_that_do_not_apply_do_not_count(
    until: str, passing: str, met: bool
) -> None:
    bay = Bay(procedure=three_checks(until))
    bay.do(Accept(accept="hazards"))
    bay.do(Answer(answer="ask", value="yes" if "C" in passing else "no"))
    for step in "abc" if "C" in passing else "ab":
        bay.do(Answer(answer=step, outcome="passed" if step in passing else "not fitted"))
    assert bay.state.current == ("end" if met else None)
    assert bay.state.gates["g"].standing == ("open" if met else "held")
    gate = bay.procedure.all_gates["g"]
    assert (missing(bay.procedure, bay.state, gate) == ()) is met


def test_what_any_of_several_would_open_is_said_in_one_sentence() -> None:
    bay = Bay(procedure=three_checks(f"[{{any: [{A}, {B}]}}]"))
    bay.do(Accept(accept="hazards"), Answer(answer="ask", value="no"))
    bay.do(*(Answer(answer=step, outcome="not fitted") for step in "ab"))
    [thing] = missing(bay.procedure, bay.state, bay.procedure.all_gates["g"])
    assert thing.words == "2. A. Not fitted. — or — 3. B. Not fitted."
    assert thing.step == "a"


SHUT: list[tuple[str, dict[str, list[Action]], str]] = [
    # the gate, what was done otherwise than well, and what it says is missing
    ("on-bench-for-make-safe", {"tools": BAD["tools"]}, "Multimeter: overdue for calibration"),
    ("on-bench-for-bench", {"parts": BAD["parts"]}, "Crimp cap: missing"),
    ("sound-before-refit", {"sound": []}, "24. Every speaker sounds. Failed."),
    (
        "amplifier-checked",
        {"amplifier_lead": [Answer(answer="amplifier-lead", outcome="not done", words="w")]},
        "16. Unplug the amplifier lead. Not done.",
    ),
    ("same-as-before", {"after": BAD["after"]}, "sheet again. Worse: Horn."),
    ("same-as-before", {"panels_after": BAD["panels-after"]}, "Fault 1 is open: Dash panel"),
]


def settled(step: str) -> list[Action]:
    """Return what lets a step that came out badly be left behind."""
    return [*BAD[step], Settle(settle=step, cause="vehicle", words="as it came")]


def held_at(gate: str, instead: dict[str, list[Action]]) -> Bay:
    """Return a job held at `gate`."""
    changed = {
        name: actions or settled(name.replace("_", "-")) for name, actions in instead.items()
    }
    bay = Bay().held(**changed)
    assert gates_holding(SMALL, bay.state) == (gate,)
    return bay


@pytest.mark.parametrize(("gate", "instead", "words"), SHUT)
def test_a_shut_gate_holds_the_job_and_says_what_it_waits_for(
    gate: str, instead: dict[str, list[Action]], words: str
) -> None:
    bay = held_at(gate, instead)
    assert bay.state.current is None
    held = bay.state.gates[gate].step
    assert bay.step(held) == "held"
    things = missing(SMALL, bay.state, SMALL.all_gates[gate])
    assert any(words in thing.words for thing in things), things
    assert all(thing.step for thing in things)
    refused = bay.refused(Answer(answer=held))
    assert f"The gate {gate} is shut." in [thing.words for thing in refused.opens_by]


@pytest.mark.parametrize(("outcome", "weight"), [("not fitted", "neutral"), ("could not test", "")])
def test_not_fitted_and_could_not_test_never_open_a_gate_that_asks_for_passed(
    outcome: str, weight: str
) -> None:
    """R27."""
    not_passed = [Answer(answer="sound", outcome=outcome, words="w")]
    bay = held_at("sound-before-refit", {"sound": not_passed})
    assert bay.step("sound") == "done with deviation"


def test_a_gate_opens_as_soon_as_its_condition_is_met() -> None:
    bay = held_at("sound-before-refit", {"sound": []})
    bay.do(Reopen(reopen="sound", reason="a lead was loose"))
    bay.do(Answer(answer="sound", outcome="passed"))
    assert bay.state.gates["sound-before-refit"].standing == "open"
    assert bay.state.current == "route"


def test_a_fault_that_is_cleared_opens_the_gate_that_waited_for_it() -> None:
    bay = Bay().walk("panels-after")
    bay.do(RaiseFault(fault="wheel arch scratched", cause="work"))
    bay.do(*GOOD["panels-after"])
    assert gates_holding(SMALL, bay.state) == ("same-as-before",)
    bay.do(ClearFault(clear=1, words="polished"))
    assert bay.state.current == "show"


def test_a_fault_raised_behind_a_gate_holds_the_step_in_hand_again() -> None:
    bay = Bay().walk("keys")
    bay.do(RaiseFault(fault="mirror cracked", cause="work"), who=T2)
    assert gates_holding(SMALL, bay.state) == ("same-as-before",)
    assert bay.step("keys") == "held"
    bay.do(ClearFault(clear=1, words="replaced"))
    assert bay.state.current == "keys"


def test_a_fault_of_the_vehicle_leaves_a_gate_open_that_asks_about_the_work() -> None:
    bay = Bay().walk("keys")
    bay.do(RaiseFault(fault="old dent", cause="vehicle"))
    assert bay.state.current == "keys"


OVERRIDE = Override(
    override="sound-before-refit",
    reason="measured another way",
    words="the owner hears it",
    instead="a second test on the road",
)


@pytest.mark.parametrize(
    ("gate", "instead", "who", "allowed"),
    [
        ("sound-before-refit", {"sound": []}, S1, True),
        ("sound-before-refit", {"sound": []}, T1, False),
        ("sound-before-refit", {"sound": []}, N1, False),
        ("amplifier-checked", SHUT[3][1], S1, True),
        ("amplifier-checked", SHUT[3][1], T2, True),
        ("amplifier-checked", SHUT[3][1], N1, False),
        ("on-bench-for-bench", {"parts": BAD["parts"]}, S1, True),
        ("on-bench-for-bench", {"parts": BAD["parts"]}, T1, False),
    ],
)
def test_only_the_role_that_a_gate_names_or_more_may_override_it(
    gate: str, instead: dict[str, list[Action]], who: Person, allowed: bool
) -> None:
    """R23, R24: asking without authority leaves a held job, not a passed gate."""
    bay = held_at(gate, instead)
    override = OVERRIDE.model_copy(update={"override": gate})
    if allowed:
        bay.do(override, who=who)
        assert bay.state.gates[gate].standing == "overridden"
        assert bay.state.current is not None
    else:
        assert "This gate asks for a" in bay.refused(override, who).why
        assert gates_holding(SMALL, bay.state) == (gate,)


def test_nobody_opens_a_gate_that_waits_for_their_own_work() -> None:
    """R47: whoever did an item does not vouch for it; that holds for an override too."""
    bay = held_at("amplifier-checked", SHUT[3][1])
    override = OVERRIDE.model_copy(update={"override": "amplifier-checked"})
    refused = bay.refused(override, T1)
    assert refused.why == (
        "T1 did “Unplug the amplifier lead.” and cannot open the gate that waits for it."
    )
    assert refused.opens_by[0].words == "Another technician on the staff has to say so."
    assert gates_holding(SMALL, bay.state) == ("amplifier-checked",)


@pytest.mark.parametrize("signed", ["pin", None])
def test_an_override_says_whether_its_giver_showed_who_they_are(
    signed: Literal["pin"] | None,
) -> None:
    bay = held_at("sound-before-refit", {"sound": []})
    bay.do(OVERRIDE, who=replace(S1, signed=signed))
    [told] = make_record(SMALL, bay.state, bay.events).overrides
    assert told.signed == signed


def test_a_gate_that_nobody_may_override_says_what_it_waits_for_instead() -> None:
    """R23."""
    strict = three_checks(f"[{A}]").model_dump(mode="json")
    strict["gates"][0]["override"] = "nobody"
    bay = Bay(procedure=Procedure.model_validate(strict))
    bay.do(Accept(accept="hazards"), Answer(answer="ask", value="no"))
    bay.do(*(Answer(answer=step, outcome="not fitted") for step in "ab"))
    refused = bay.refused(OVERRIDE.model_copy(update={"override": "g"}), S1)
    assert refused.why == "Nobody may override this gate."
    assert refused.opens_by[0].step == "a"


@pytest.mark.parametrize("gate", ["same-as-before", "on-bench-for-bench", "no-such-gate"])
def test_a_gate_that_does_not_hold_right_now_cannot_be_overridden(gate: str) -> None:
    bay = held_at("sound-before-refit", {"sound": []})
    refused = bay.refused(OVERRIDE.model_copy(update={"override": gate}), S1)
    assert "has no gate" in refused.why or "Only a gate that holds" in refused.why


def test_an_override_looks_different_for_ever() -> None:
    """R25: on the step, in the totals, in the record; and the job does not close as clean."""
    bay = held_at("sound-before-refit", {"sound": []})
    bay.do(OVERRIDE, who=S1)
    bay.walk().do(Close(close="keys back"))
    record = bay.record()
    assert record.clean is False
    assert record.totals["overridden"] == 1
    assert bay.step("sound") == "overridden"
    gate = next(gate for gate in record.gates if gate.id == "sound-before-refit")
    assert gate.came_to == "overridden"
    assert gate.missing == ["24. Every speaker sounds. Failed."]
    [override] = record.overrides
    assert (override.by, override.role, override.reason) == ("S1", "supervisor", OVERRIDE.reason)
    assert (override.words, override.instead) == (OVERRIDE.words, OVERRIDE.instead)


def test_an_override_stays_in_the_record_after_the_condition_was_met_at_last() -> None:
    """R25, R28."""
    bay = held_at("sound-before-refit", {"sound": []})
    bay.do(OVERRIDE, who=S1)
    bay.do(Reopen(reopen="sound", reason="the right lead came"))
    assert bay.state.gates["sound-before-refit"].standing == "shut again"
    bay.do(Answer(answer="sound", outcome="passed"))
    assert bay.state.gates["sound-before-refit"].standing == "open"
    bay.walk().do(Close(close="keys back"))
    assert (bay.state.clean, len(bay.record().overrides)) == (False, 1)


def test_two_gates_on_one_step_are_opened_one_by_one() -> None:
    no_lead = [Answer(answer="amplifier-lead", outcome="not done", words="w")]
    bay = Bay().held(sound=settled("sound"), amplifier_lead=no_lead)
    assert gates_holding(SMALL, bay.state) == ("sound-before-refit", "amplifier-checked")
    bay.do(OVERRIDE, who=S1)
    assert gates_holding(SMALL, bay.state) == ("amplifier-checked",)
    assert bay.state.current is None
    bay.do(OVERRIDE.model_copy(update={"override": "amplifier-checked"}), who=S1)
    assert bay.state.current == "route"


def test_a_gate_of_another_vehicle_does_not_apply() -> None:
    """R6, R27."""
    bay = Bay().walk(ask_amplifier=[Answer(answer="ask-amplifier", value="no")])
    bay.do(Close(close="keys back"))
    came_to = {gate.id: gate.came_to for gate in bay.record().gates}
    assert came_to["amplifier-checked"] == "not applicable"
    step = next(step for step in bay.record().steps if step.id == "amplifier-lead")
    assert (step.state, step.because) == ("not applicable", "Factory amplifier: no")


def test_a_part_that_only_another_vehicle_needs_is_not_waited_for() -> None:
    bay = Bay().walk("gauges")
    assert "camera-adapter" not in bay.state.track("parts").ticks
    assert bay.state.gates["on-bench-for-bench"].standing == "open"
    with_camera = Bay().walk("parts", ask_camera=[Answer(answer="ask-camera", value="rear")])
    with_camera.do(*GOOD["parts"][:-1])
    refused = with_camera.refused(GOOD["parts"][-1])
    assert [thing.words for thing in refused.opens_by] == ["Camera adapter"]
    with_camera.do(tick("parts", "camera-adapter", "missing"), GOOD["parts"][-1])
    with_camera.held()
    assert gates_holding(SMALL, with_camera.state) == ("on-bench-for-bench",)
    with_camera.do(tick("parts", "camera-adapter", "here"))
    assert with_camera.state.current == "gauges"


def test_gates_are_known_to_rest_on_a_step_a_choice_or_a_thing_on_the_bench() -> None:
    def resting(step: str) -> set[str]:
        return {gate.gate for gate in gates_resting_on(SMALL, SMALL.steps[step])}

    assert resting("sound") == {"sound-before-refit"}
    assert resting("ask-amplifier") == {"amplifier-checked"}
    assert resting("ask-camera") == {"sound-before-refit", "on-bench-for-bench"}
    assert resting("tools") == {"on-bench-for-make-safe"}
    assert resting("parts") == {"on-bench-for-make-safe", "on-bench-for-bench"}
    assert resting("route") == set()
