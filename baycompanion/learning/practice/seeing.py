"""What is seen at a step of the made-up vehicle, in plain words and without a verdict."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from baycompanion.job.state.order import items_that_apply
from baycompanion.job.state.second_looks import taken_afresh
from baycompanion.job.state.state import State
from baycompanion.learning.practice.finding import (
    WAIT_SOURCE,
    count_at,
    due_on,
    entry_at,
    instrument_of,
    is_so,
    left_over,
    line_at,
    reading_at,
    seconds_to_wait,
)
from baycompanion.learning.practice.made_up import MadeUpVehicle
from baycompanion.learning.practice.showing import showing, shows_to_second_person
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import (
    Check,
    Choose,
    Count,
    Do,
    Inspect,
    Measure,
    Record,
    Step,
    Wait,
    Witness,
)
from baycompanion.text.duration import write_duration


@dataclass(frozen=True, slots=True)
class Seen:
    """What is seen at one step."""

    words: tuple[str, ...] = ()
    """Lines of words, those of its items too, in their order."""
    lines: Mapping[str, str] = field(default_factory=dict)
    """For a step that is answered line by line, how each line is, by its name."""


def seen_at(made: MadeUpVehicle, procedure: Procedure, state: State, step: Step) -> Seen:
    """Return what is found at `step` now; a fault shows until it was told and put right."""
    match step:
        case Check():
            return Seen(_checked(made, procedure, state, step))
        case Measure():
            return Seen(_measured(made, procedure, state, step))
        case Record():
            entry = entry_at(made, procedure, state, step)
            unit = f" {step.unit}" if step.unit and step.takes == "number" else ""
            return Seen(tuple(f"{line}{unit}" for line in entry) or ("Nothing to write down.",))
        case Choose():
            return _chosen(made, procedure, step)
        case Wait(lasts=None):
            lasts = write_duration(seconds_to_wait(made, step))
            return Seen((f"The maker's page says {lasts}. {WAIT_SOURCE}.",))
        case Witness():
            return Seen(_second_look(made, procedure, state, step))
        case Count() | Inspect() | Do():
            return _lines(made, procedure, state, step)
    return Seen()


def _checked(
    made: MadeUpVehicle, procedure: Procedure, state: State, step: Check
) -> tuple[str, ...]:
    """Return what is there, in the words of the step where it is as it should be.

    Nothing is said of right and wrong: whoever looks compares what is there with what should be.
    """
    told = [spot.seen for _, spot in showing(procedure, state, made.planted, step) if spot.seen]
    if told:
        return tuple(told)
    so = is_so(made, procedure, state, step)
    if step.text.endswith("?"):
        return ("Yes." if so else "No.",)
    return (step.text if so else f"Not this: {step.text}",)


def _measured(
    made: MadeUpVehicle, procedure: Procedure, state: State, step: Measure
) -> tuple[str, ...]:
    named = {tool.tool: tool.name for tool in procedure.tools}
    shown_by = named.get(step.instrument or "", "Reading")
    number = reading_at(made, procedure, state, step)
    told = [spot.seen for _, spot in showing(procedure, state, made.planted, step) if spot.seen]
    return (f"{shown_by}: {number} {step.unit}", *told)


def _chosen(made: MadeUpVehicle, procedure: Procedure, step: Choose) -> Seen:
    lines = {each.choice: made.fact(each) for each in procedure.settled_by(step)}
    titles = {each.choice: each.title for each in procedure.settled_by(step)}
    words = tuple(f"{titles[name]}: {answer}" for name, answer in lines.items())
    return Seen(words, lines if step.by_lines else {})


def _second_look(
    made: MadeUpVehicle, procedure: Procedure, state: State, step: Witness
) -> tuple[str, ...]:
    """Return what the second person finds afresh, and what they see that is not as it should be."""
    afresh = []
    for each in taken_afresh(procedure, state, step):
        if isinstance(each, Measure):
            afresh.append(f"{each.text} {reading_at(made, procedure, state, each)} {each.unit}")
        else:
            afresh.append(f"{each.text} {', '.join(entry_at(made, procedure, state, each))}")
    found = shows_to_second_person(procedure, state, made.planted, step)
    said = [
        next((spot.seen for spot in each.spots if spot.seen), "It is not so.") for each in found
    ]
    return (*afresh, *said) or ("The second person looks: it is so.",)


def _lines(
    made: MadeUpVehicle, procedure: Procedure, state: State, step: Count | Inspect | Do
) -> Seen:
    found: dict[str, str] = {}
    words = []
    for item in items_that_apply(procedure, state, step):
        if isinstance(step, Count):
            found[item.item] = str(count_at(made, procedure, state, step, item.item))
        elif isinstance(step, Inspect):
            line = line_at(made, procedure, state, step, item)
            found[item.item] = f"{line.outcome}: {line.words}" if line.words else line.outcome
        else:
            found[item.item] = _staged(made, procedure, state, step, item.item)
        if found[item.item]:
            words.append(f"{item.name}: {found[item.item]}")
    if isinstance(step, Count):
        names = {item.item: item.name for item in items_that_apply(procedure, state, step)}
        over = left_over(made, procedure, state, step)
        words += [f"In the tray lies 1: {names.get(line, line)}" for line in sorted(over)]
    return Seen(tuple(words), found)


def _staged(made: MadeUpVehicle, procedure: Procedure, state: State, step: Do, item: str) -> str:
    """Return what the label of a tool says, or that a part is there; nothing for other lines."""
    if step.each == "parts":
        return "here"
    if step.each == "differences":
        return "nothing tells more than the sheet"
    if step.each != "tools":
        return ""
    tool = next(tool for tool in procedure.tools if tool.tool == item)
    if not tool.instrument:
        return "here"
    label, days = instrument_of(made, item)
    return f"here, {label}, calibration due {due_on(state, days).isoformat()}"
