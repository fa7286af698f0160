"""A gate that is easier to get past is shouted: held against the gates of the engine itself."""

from dataclasses import replace
from typing import Any

import pytest
from bay import SMALL, Bay
from hypothesis import event, given
from hypothesis import strategies as st
from yaml_text import as_yaml

from baycompanion.job.events.kinds import Answered, Ticked
from baycompanion.job.state.gates import missing
from baycompanion.job.state.state import Attempt, Fault, State, StepTrack, Tick
from baycompanion.procedure.comparing.weakening import Weakening, weakened
from baycompanion.procedure.load import load_procedure
from baycompanion.procedure.model import Procedure

CHECKS = ("a", "b", "c")
WHENS = [{}, {"camera": ["yes"]}, {"camera": ["no"]}, {"feed": ["analog", "digital"]}]


def steps() -> st.SearchStrategy[list[dict[str, Any]]]:
    """Return steps of every kind that a gate waits for; the last is the one that is held."""
    fixed = {
        "stage": {"do": "Stage.", "id": "stage", "each": "tools"},
        "sheet": {"inspect": "Look.", "id": "sheet", "of": [{"item": "lamp", "name": "Lamp"}]},
        "seen": {"witness": "See.", "id": "seen", "of": ["stage"], "by-mentor": True},
        "again": {"inspect": "Look.", "id": "again", "compares": "sheet"},
    }
    checks = st.tuples(*(st.sampled_from(WHENS) for _ in CHECKS)).map(
        lambda whens: [
            {"check": "C.", "id": name, "when": when}
            for name, when in zip(CHECKS, whens, strict=True)
        ]
    )
    return checks.flatmap(lambda found: st.permutations([*found, *fixed.values()]))


LEAVES = st.sampled_from(
    [
        *({"passed": name} for name in CHECKS),
        *({"no-open-fault": which} for which in ("work", "other", "any")),
        *({"matching": "again"}, {"witnessed": "seen"}, {"on-bench": "work"}),
    ]
)
CONDITIONS = st.recursive(
    LEAVES,
    lambda inner: st.builds(
        lambda word, some: {word: some},
        st.sampled_from(["all", "any"]),
        st.lists(inner, min_size=1, max_size=3),
    ),
    max_leaves=4,
)
GATES = st.builds(
    lambda until, holds, when, override: {
        "until": until,
        "holds": holds,
        "when": when,
        "override": override,
        "because": "B.",
    },
    st.lists(CONDITIONS, min_size=1, max_size=3),
    st.sampled_from([["end"], ["work"], ["end", "late"], ["late"]]),
    st.sampled_from(WHENS),
    st.sampled_from(["technician", "supervisor", "nobody"]),
)


@st.composite
def procedures(draw: st.DrawFn) -> Procedure:
    said = {
        "procedure": "any",
        "title": "T",
        "revision": 1,
        "fits": "F?",
        "hazards": "none",
        "tools": [
            {"tool": "meter", "name": "Meter", "by": "work"},
            {
                "tool": "driver",
                "name": "Driver",
                "by": "work",
                "when": draw(st.sampled_from(WHENS)),
            },
        ],
        "parts": "none",
        "choices": [
            {"choice": "camera", "title": "Camera"},
            {"choice": "feed", "title": "Feed", "answers": ["analog", "digital", "none"]},
        ],
        "phases": [
            {"phase": "before", "title": "B", "steps": draw(steps())},
            {
                "phase": "work",
                "title": "W",
                "steps": [{"do": "End.", "id": "end"}, {"do": "Late.", "id": "late"}],
            },
        ],
        "gates": [
            {"gate": name, **gate}
            for name, gate in zip("gh", draw(st.tuples(GATES, GATES)), strict=True)
        ][: draw(st.integers(1, 2))],
    }
    return load_procedure(as_yaml(said), "any.yaml").procedure


def track(draw: st.DrawFn, step: str) -> StepTrack:
    weight = draw(st.sampled_from(["good", "neutral", "bad", None]))
    if weight is None:
        return StepTrack()
    answer = Answered(step=step, outcome="passed", weight=weight)
    ticks = {
        item: Tick(Ticked(step=step, item=item, outcome="here", weight=good), "", "")
        for item in ("meter", "driver")
        if (good := draw(st.sampled_from(["good", "bad"])))
    }
    return StepTrack(
        (Attempt(answer, "", "", 1),), ticks if step == "stage" else {}, finished=weight != "bad"
    )


@st.composite
def states(draw: st.DrawFn) -> State:
    names = [*CHECKS, "stage", "sheet", "seen", "again"]
    choices = {
        "camera": draw(st.sampled_from(["yes", "no", None])),
        "feed": draw(st.sampled_from(["analog", "digital", "none", None])),
    }
    faults = draw(
        st.lists(
            st.builds(
                lambda cause, step, item, open_: Fault(
                    1, cause, "W.", step, item, "", "", None if open_ else "2026"
                ),
                st.sampled_from(["work", "vehicle"]),
                st.sampled_from(["again", "a", None]),
                st.sampled_from(["lamp", None]),
                st.booleans(),
            ),
            max_size=2,
        )
    )
    return replace(
        Bay(procedure=SMALL).state,
        mentor=draw(st.sampled_from(["S1", None])),
        steps={name: track(draw, name) for name in names},
        choices={name: answer for name, answer in choices.items() if answer is not None},
        faults=tuple(faults),
    )


@given(procedures(), procedures(), st.lists(states(), min_size=1, max_size=6))
def test_no_gate_opens_sooner_than_before_without_a_shout(
    old: Procedure, new: Procedure, some: list[State]
) -> None:
    found = weakened(old, new)
    for name, gate in old.all_gates.items():
        shouted = {each.kind for each in found if each.gate == name}
        now = new.all_gates.get(name)
        if now is None:
            assert "gone" in shouted
            continue
        for state in some:
            if missing(old, state, gate) and not missing(new, state, now):
                event("opens sooner")
                assert shouted & {"sooner", "not-told"}
        for step, gates in old.gates_on.items():
            if gate in gates and now not in new.gates_on[step]:
                assert any(
                    each.gate == name and each.kind == "holds-less" and step in each.steps
                    for each in found
                )


@given(procedures(), states())
def test_a_procedure_is_nowhere_weaker_than_itself(only: Procedure, state: State) -> None:
    assert weakened(only, only) == ()


THREE = """
procedure: three
title: T
revision: 1
fits: F?
hazards: none
tools: none
parts: none
choices: [{{choice: camera, title: Camera}}]
phases:
  - phase: only
    title: Only
    steps:
      - {{choose: Is there a camera?, id: ask, settles: camera}}
      - {{check: A., id: a}}
      - {{check: B., id: b}}
      - {{check: C., id: c, when: {{camera: yes}}}}
      - {{measure: M., id: m, unit: V, at-least: 12.4, at-most: 13}}
      - {{do: Near the end., id: near}}
      - {{do: End., id: end}}
gates:
  - {{gate: g, holds: {holds}, because: B., {rest}}}
"""
FIRST = {"holds": "[near, end]", "rest": "until: [passed: a, inside: m], override: supervisor"}


def three(holds: str, rest: str, *swaps: tuple[str, str]) -> Procedure:
    text = THREE.format(holds=holds, rest=rest)
    for old, new in swaps:
        assert text.count(old) == 1
        text = text.replace(old, new)
    return load_procedure(text, "three.yaml").procedure


def shouts(rest: str, *swaps: tuple[str, str], holds: str = "[near, end]") -> list[Weakening]:
    return list(weakened(three(**FIRST), three(holds, rest, *swaps)))


SAME = FIRST["rest"]
TOLD = [
    # how the gate reads now, what is told
    (SAME, []),
    ("until: [inside: m, passed: b, passed: a], override: nobody", []),
    ("until: [{all: [passed: a]}, inside: m], override: supervisor", []),
    ("until: [inside: m], override: supervisor", [("sooner", ("a",))]),
    ("until: [passed: b], override: supervisor", [("sooner", ("a",)), ("sooner", ("m",))]),
    ("until: [{any: [passed: a, inside: m]}], override: supervisor", ["sooner", "sooner"]),
    ("until: [passed: a, inside: m], override: technician", ["override"]),
]


@pytest.mark.parametrize(("rest", "told"), TOLD)
def test_what_a_gate_no_longer_waits_for_is_named(rest: str, told: list[Any]) -> None:
    found = shouts(rest)
    assert len(found) == len(told)
    for each in told:
        if isinstance(each, str):
            assert each in {one.kind for one in found}
        else:
            kind, names = each
            assert any(
                one.kind == kind and tuple(part.name for part in one.parts) == names
                for one in found
            )


def test_a_condition_that_another_vehicle_still_has_is_told_with_its_answers() -> None:
    [found] = shouts(SAME, ("id: a}", "id: a, when: {camera: yes}}"))
    assert found.kind == "sooner"
    assert dict(found.where) == {"camera": "no"}


def test_a_gate_that_holds_less_or_later_is_told() -> None:
    [found] = shouts(SAME, holds="[end]")
    assert (found.kind, found.steps) == ("holds-less", ("near",))
    near, end = "      - {do: Near the end., id: near}\n", "      - {do: End., id: end}\n"
    later = ("      - {check: A., id: a}\n", f"      - {{check: A., id: a}}\n{end}")
    moved = weakened(three("[near]", SAME), three("[near]", SAME, (near + end, near), later))
    assert [(each.kind, each.steps) for each in moved] == [("before-it", ("end",))]


LESS = [
    (("at-least: 12.4", "at-least: 12"), ["at least"]),
    (("at-most: 13", "at-most: 14"), ["at most"]),
    ((", at-most: 13", ""), ["at most"]),
    (("at-least: 12.4", "at-least: 12.5"), []),
    (("measure: M., id: m, unit: V, at-least: 12.4, at-most: 13", "do: M., id: m"), ["verb"]),
]


@pytest.mark.parametrize(("swap", "about"), LESS)
def test_what_a_gate_waits_for_that_asks_for_less_is_told(
    swap: tuple[str, str], about: list[str]
) -> None:
    found = shouts(SAME, swap)
    assert [(each.kind, each.about) for each in found] == [("asks-less", word) for word in about]


COMPARED = """
procedure: compared
title: T
revision: 1
fits: F?
hazards: none
tools: none
parts: none
phases:
  - phase: only
    title: Only
    steps:
      - {{inspect: S., id: sheet, of: [{{item: lamp, name: Lamp}}]}}
      - {{inspect: A., id: again, compares: sheet}}
      - {{do: Near., id: near}}
      - {{do: End., id: end}}
gates:
  - {{gate: agrees, holds: near, until: [{agrees}], because: B., override: nobody}}
  - {{gate: g, holds: end, until: [{until}], because: B., override: nobody}}
"""


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("no-open-fault: work", "no-open-fault: other", [("fault-at", "again")]),
        ("no-open-fault: other", "no-open-fault: work", []),
        ("no-open-fault: any", "no-open-fault: work", [("fault", "found")]),
        ("no-open-fault: work", "matching: again, no-open-fault: other", []),
    ],
)
def test_a_fault_that_counts_no_more_is_told_unless_its_comparison_holds_the_gate_anyway(
    old: str, new: str, told: list[tuple[str, str]]
) -> None:
    new = new.replace(", ", "}, {")
    pair = [
        load_procedure(
            COMPARED.format(agrees="matching: again", until=f"{{{until}}}"), "c.yaml"
        ).procedure
        for until in (old, new)
    ]
    assert [each.parts[0][:2] for each in weakened(*pair)] == told


def test_a_fault_whose_comparison_gets_a_gate_of_its_own_is_told_at_the_other_gate() -> None:
    pair = [
        load_procedure(
            COMPARED.format(agrees=agrees, until="no-open-fault: other"), "c.yaml"
        ).procedure
        for agrees in ("done: sheet", "matching: again")
    ]
    told = {(each.gate, each.parts[0][:2]) for each in weakened(*pair)}
    assert ("g", ("fault-at", "again")) in told


MENTORED = """
procedure: mentored
title: T
revision: 1
fits: F?
hazards: none
tools: none
parts: none
phases:
  - phase: only
    title: Only
    steps:
      - {{check: A., id: a}}
      - {{witness: S., id: seen, of: a, by-mentor: yes}}
      - {{do: End., id: end}}
gates:
  - {{gate: g, holds: end, until: [{until}], because: B., override: nobody}}
"""


def test_a_witness_that_only_a_mentor_can_be_holds_nothing_where_there_is_none() -> None:
    old, new = (
        load_procedure(MENTORED.format(until=until), "m.yaml").procedure
        for until in ("{any: [{passed: a}, {witnessed: seen}]}", "{witnessed: seen}")
    )
    [found] = weakened(old, new)
    assert (found.kind, [part.name for part in found.parts]) == ("sooner", ["a"])


def test_with_too_many_ways_to_look_at_any_change_is_told_and_no_change_is_not(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("baycompanion.procedure.comparing.weakening.MOST_WAYS", 1)
    swaps = (("id: a}", "id: a, when: {camera: yes}}"), ("id: a}", "id: a, unless: {camera: no}}"))
    one, other = (three("[near, end]", SAME, swap) for swap in swaps)
    assert weakened(one, one) == ()
    assert [each.kind for each in weakened(one, other)] == ["not-told"]
