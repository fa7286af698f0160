"""Small procedures of any shape, for properties; each is one that `check` would let pass."""

from itertools import pairwise
from typing import Any

from hypothesis import strategies as st
from yaml_text import as_yaml

from baycompanion.procedure.load import load_procedure
from baycompanion.procedure.model import Procedure

CHOICES = {"amp": ["yes", "no"], "camera": ["none", "rear", "front"]}
OBJECTS = ("lead", "plug", "cap", "clip", "screw", "panel", "lamp", "tie", "fuse", "bracket")


def _subset(draw: st.DrawFn, names: list[str], most: int = 3) -> list[str]:
    return draw(st.lists(st.sampled_from(names), min_size=1, max_size=most, unique=True))


@st.composite
def procedures(draw: st.DrawFn, most_steps: int = 7, choosing: bool = True) -> Procedure:
    """Draw a procedure of a few steps, in which everything leads back to what comes earlier."""
    steps: list[dict[str, Any]] = []
    conditional: dict[str, Any] = {}
    choices = draw(st.lists(st.sampled_from(list(CHOICES)), unique=True)) if choosing else []
    for number, choice in enumerate(choices):
        step: dict[str, Any] = {"choose": f"Which {choice}?", "id": f"ask-{choice}"}
        steps.append({**step, "settles": choice})
        if number and draw(st.booleans()):
            steps[-1]["when"] = {choices[0]: draw(st.sampled_from(CHOICES[choices[0]]))}
            conditional[choice] = steps[-1]["when"]
    if draw(st.booleans()):
        steps.append({"do": "Stage the tools.", "id": "staged", "each": "tools"})
    fewest = max(0, 3 - len(steps))
    for number in range(draw(st.integers(fewest, most_steps - len(steps)))):
        steps.append(draw(_steps(number, steps, choices, conditional)))
    phases = draw(_phases(steps, choices, conditional))
    staged = any("each" in step for step in steps)
    later = [phase["phase"] for phase in phases if "staged" not in _ids(phase)][1:] or None
    by = draw(st.none() | st.sampled_from(later)) if staged and later else None
    tool: dict[str, Any] = {"tool": "meter", "name": "Meter"} | ({"by": by} if by else {})
    if draw(st.booleans()):
        tool |= _when(draw, choices, conditional)
    data = {
        "procedure": "any",
        "title": "Any procedure",
        "revision": 1,
        "fits": "Is it this vehicle?",
        "hazards": "none",
        "choices": [
            {"choice": name, "title": f"The {name}", "answers": CHOICES[name]} for name in choices
        ],
        "tools": [tool],
        "parts": "none",
        "standing": draw(_standing(steps)),
        "phases": phases,
        "gates": draw(_gates(phases, choices, conditional)),
    }
    return load_procedure(as_yaml(data), "any.yaml").procedure


def _ids(phase: dict[str, Any]) -> list[str]:
    return [step["id"] for step in phase["steps"]]


def _when(draw: st.DrawFn, choices: list[str], conditional: dict[str, Any]) -> dict[str, Any]:
    """Draw on which vehicles something applies: mostly all of them."""
    if not choices or draw(st.booleans()):
        return {}
    choice = draw(st.sampled_from(choices))
    answers = _subset(draw, CHOICES[choice], len(CHOICES[choice]) - 1)
    word = draw(st.sampled_from(["when", "unless"]))
    if choice not in conditional:
        return {word: {choice: answers}}
    return {"when": {**conditional[choice], **({choice: answers} if word == "when" else {})}}


@st.composite
def _steps(
    draw: st.DrawFn,
    number: int,
    before: list[dict[str, Any]],
    choices: list[str],
    conditional: dict[str, Any],
) -> dict[str, Any]:
    name = f"{OBJECTS[number % len(OBJECTS)]}-{number}"
    always = [step for step in before if "when" not in step and "unless" not in step]
    records = [step["id"] for step in always if "record" in step]
    verb = draw(st.sampled_from(["do", "check", "measure", "record", "witness", "wait", "again"]))
    what = f"the {name}"
    step: dict[str, Any]
    if verb == "measure":
        limit = draw(st.integers(1, 20))
        step = {"measure": f"Measure {what}.", "id": name, "unit": "V", "at-most": limit}
    elif verb == "witness" and before:
        of = _subset(draw, [each["id"] for each in before], 2)
        step = {"witness": f"See {what}.", "id": name, "of": of, "by-mentor": draw(st.booleans())}
    elif verb == "wait":
        step = {"wait": f"Wait for {what}.", "id": name, "lasts": "5 min"}
        if before and draw(st.booleans()):
            step |= {"since": draw(st.sampled_from([each["id"] for each in before]))}
    elif verb == "again" and records:
        step = {"record": f"Write {what} again.", "id": name}
        step |= {"repeats": draw(st.sampled_from(records))}
    elif verb in ("do", "check", "record"):
        step = {verb: f"{verb.capitalize()} {what}.", "id": name}
    else:
        step = {"do": f"Do {what}.", "id": name}
    if draw(st.booleans()):
        step["why"] = f"Because of {what}."
    return step | _when(draw, choices, conditional)


@st.composite
def _phases(
    draw: st.DrawFn,
    steps: list[dict[str, Any]],
    choices: list[str],
    conditional: dict[str, Any],
) -> list[dict[str, Any]]:
    cuts = draw(st.lists(st.integers(1, len(steps) - 1), max_size=2, unique=True))
    ends = [0, *sorted(cuts), len(steps)]
    phases = []
    for number, (start, end) in enumerate(pairwise(ends)):
        own = steps[start:end]
        phase = {"phase": f"phase-{number}", "title": f"Phase {number}", "target": "9 min"}
        if not any("settles" in step for step in own) and draw(st.integers(0, 3)) == 0:
            phase |= _when(draw, choices, conditional)
        phases.append({**phase, "steps": own})
    return phases


@st.composite
def _standing(draw: st.DrawFn, steps: list[dict[str, Any]]) -> list[dict[str, Any]]:
    if len(steps) < 3 or draw(st.integers(0, 2)):
        return []
    begins = draw(st.integers(0, len(steps) - 2))
    ends = draw(st.integers(begins + 1, len(steps) - 1))
    one = {"standing": "off", "says": "It stays off.", "ask": "Was it off?"}
    return [{**one, "begins": steps[begins]["id"], "ends": steps[ends]["id"]}]


@st.composite
def _gates(
    draw: st.DrawFn, phases: list[dict[str, Any]], choices: list[str], conditional: dict[str, Any]
) -> list[dict[str, Any]]:
    steps = [step["id"] for phase in phases for step in phase["steps"]]
    holdable = {name: steps.index(name) for name in steps}
    holdable |= {phase["phase"]: steps.index(phase["steps"][0]["id"]) for phase in phases}
    late = [name for name, number in holdable.items() if number]
    gates = []
    for number in range(draw(st.sampled_from([0, 1, 1, 2, 2, 3]))):
        holds = draw(st.sampled_from(late))
        leaf = st.sampled_from(steps[: holdable[holds]]).map(lambda name: {"done": name})
        leaf |= st.just({"no-open-fault": "work"})
        nested = st.recursive(
            leaf,
            lambda inner: st.builds(
                lambda word, some: {word: some},
                st.sampled_from(["any", "all"]),
                st.lists(inner, min_size=2, max_size=3),
            ),
            max_leaves=4,
        )
        gate = {"gate": f"gate-{number}", "holds": holds, "because": f"Gate {number} says so."}
        until = draw(st.lists(nested, min_size=1, max_size=2))
        gates.append(
            {**gate, "until": until, "override": "nobody", **_when(draw, choices, conditional)}
        )
    return gates
