"""What a technician must know between two procedure files, in lines; weaker gates come first."""

from collections.abc import Iterator

from baycompanion.procedure.comparing.comparing import Changed, Comparison, Difference, Section
from baycompanion.procedure.comparing.gate_formula import MENTOR, Part
from baycompanion.procedure.comparing.weakening import Weakening
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.paths import said as answers_said
from baycompanion.procedure.said import condition_said, step_said

SHOUT = "WEAKER GATE"
"""Begins every line about a gate that is easier to get past than before."""
MOST_NAMED = 3
"""How many steps a shout names before it counts the rest."""
_TITLES = {"standing conditions": "What must stay true", "lines for the owner": "For the owner"}


def comparison_lines(old: Procedure, new: Procedure, found: Comparison) -> tuple[str, ...]:
    """Return `found` in lines: a heading, then what stands below it, set in by two spaces."""
    lines = [
        f"{old.procedure} revision {old.revision}, and {new.procedure} revision {new.revision}"
    ]
    if found.empty:
        return (*lines, "Nothing is different.")
    if found.weakened:
        lines += ["", "GATES THAT ARE EASIER TO GET PAST THAN BEFORE:"]
        lines += [f"  {SHOUT} {weakening_words(old, new, each)}" for each in found.weakened]
    if found.whole:
        lines += ["", "The whole procedure:", *_differences(found.whole, "  ")]
    for section in found.sections:
        title = _TITLES.get(section.kind, section.kind.capitalize())
        lines += ["", f"{title}:", *_section(old, new, section)]
    return tuple(lines)


def weakening_words(old: Procedure, new: Procedure, weaker: Weakening) -> str:
    """Return one way in which a gate is weaker, in a sentence or two after its name."""
    steps = _some([f"“{_named(old, new, step)}”" for step in weaker.steps])
    match weaker.kind:
        case "gone":
            words = f"is gone. It held {steps or 'nothing'}."
        case "sooner":
            words = f"{_where(weaker)} while this is missing: {_parts(old, weaker)}."
        case "override":
            words = f"may be overridden by: {weaker.now}. Before: {weaker.was}."
        case "holds-less":
            words = f"no longer holds {steps}."
        case "before-it":
            words = f"is passed later: {steps} came after it, and now before."
        case "asks-less":
            words = (
                f"waits for {steps}, which asks for less: {weaker.about}, "
                f"{weaker.was or 'none'} before, {weaker.now or 'none'} now."
            )
        case "not-told":
            words = "is changed, and has too many ways to say whether it got weaker. Read it."
    return f"{weaker.gate}: {words}"


def _some(names: list[str]) -> str:
    """Return the first few of `names`, and how many more there are."""
    rest = len(names) - MOST_NAMED
    return ", ".join(names[:MOST_NAMED]) + (f" and {rest} more" if rest > 0 else "")


def _where(weaker: Weakening) -> str:
    answers = {name: answer for name, answer in weaker.where.items() if name != MENTOR}
    parts = [f"where {answers_said(answers)}"] if answers else []
    if MENTOR in weaker.where:
        parts.append("where no trainee does the job")
    return f"opens now, {' and '.join(parts)}," if parts else "opens now"


def _parts(old: Procedure, weaker: Weakening) -> str:
    return "; ".join(_part(old, weaker.gate, part) for part in weaker.parts)


def _part(old: Procedure, gate: str, part: Part) -> str:
    """Return what was waited for, as the old gate said it."""
    match part.kind:
        case "step":
            return f"“{step_said(old, part.name)}”"
        case "tool":
            return next(tool.name for tool in old.tools if tool.tool == part.name) + " on the bench"
        case "part":
            return next(each.name for each in old.parts if each.part == part.name) + " on the bench"
        case "fault":
            whose = "the work" if part.name == "work" else "the vehicle"
            return f"the clearing of a fault of {whose}"
        case "fault-at":
            return f"the clearing of a fault found at “{step_said(old, part.name)}”"


def _named(old: Procedure, new: Procedure, name: str) -> str:
    return step_said(new if name in new.steps else old, name)


def _section(old: Procedure, new: Procedure, section: Section) -> Iterator[str]:
    """Yield what is new, gone, elsewhere or otherwise among the things of one kind."""
    for name in section.added:
        yield f"  + new: {_thing(new, section, name)}"
        if section.kind == "gates":
            until = new.all_gates[name].until
            waits = " and ".join(condition_said(new, condition) for condition in until)
            yield f"      holds {_holds(new, name)} until {waits}"
    for name in section.gone:
        yield f"  - gone: {_thing(old, section, name)}"
    for name in section.moved:
        yield f"  > moved: {_thing(new, section, name)} ({_from(old, new, section, name)})"
    for changed in section.changed:
        yield from _changed(new, section, changed)


def _holds(procedure: Procedure, gate: str) -> str:
    return ", ".join(step_said(procedure, name) for name in procedure.all_gates[gate].holds)


def _from(old: Procedure, new: Procedure, section: Section, name: str) -> str:
    if section.kind == "phases":
        order = list(old.phase_named)
        return f"was phase {order.index(name) + 1} of {len(order)}"
    was, now = old.phase_of[name], new.phase_of[name]
    phase = f" in phase {was.title}" if was.phase != now.phase else ""
    return f"was step {old.number[name]}{phase}"


def _changed(new: Procedure, section: Section, changed: Changed) -> Iterator[str]:
    yield f"  ~ changed: {_thing(new, section, changed.name)}"
    yield from _differences(changed.differences, "      ")


def _thing(procedure: Procedure, section: Section, name: str) -> str:
    match section.kind:
        case "phases":
            return f"{name} ({procedure.phase_named[name].title})"
        case "steps":
            return f"{procedure.number[name]}. {procedure.steps[name].text}"
        case _:
            return name


def _differences(differences: tuple[Difference, ...], margin: str) -> Iterator[str]:
    for each in differences:
        yield f"{margin}{each.about}: {_side(each.was)} -> {_side(each.now)}"


def _side(lines: tuple[str, ...]) -> str:
    return "; ".join(lines) or "nothing"
