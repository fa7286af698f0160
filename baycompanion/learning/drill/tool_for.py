"""Which tool a step is done with: one of its own among those of its phase that it does not use."""

import re
from collections.abc import Iterator

from baycompanion.learning.drill.asked import About, Option, Picked, Right, picked
from baycompanion.learning.drill.question_words import said, vehicle_lines
from baycompanion.learning.orders.holds import Holds
from baycompanion.procedure.model import Phase, Procedure, Tool
from baycompanion.procedure.steps import Measure, Step


def about_tools(holds: Holds) -> Iterator[Picked]:
    """Yield a question for each step that is done with a tool and says why."""
    for step in holds.procedure.steps.values():
        if step.why and used_at(step):
            question = _question(holds.procedure, step)
            if question is not None:
                yield question


def _question(procedure: Procedure, step: Step) -> Picked | None:
    phase = procedure.phase_of[step.id]
    used, spoken_of = used_at(step), _words_of(step)
    others = [
        tool
        for tool in procedure.tools
        if tool.tool not in used and spoken_of.isdisjoint(_words(tool.name))
    ]
    near = [tool for tool in others if _belongs(tool, phase)]
    return picked(
        About(procedure, "tool", phase.phase, step.id),
        "Which tool is this step done with?",
        (said(step.text), *vehicle_lines(procedure, (step.id,))),
        [Right(_option(tool), step.why or "") for tool in procedure.tools if tool.tool in used],
        [[_option(tool) for tool in some] for some in (near, [t for t in others if t not in near])],
    )


def used_at(step: Step) -> set[str]:
    """Return the tools that `step` is done with."""
    instrument = step.instrument if isinstance(step, Measure) else None
    return {*step.tools, *([instrument] if instrument else [])}


def _belongs(tool: Tool, phase: Phase) -> bool:
    """Return whether `tool` is staged for `phase`, or used in it."""
    return tool.by == phase.phase or any(tool.tool in used_at(step) for step in phase.steps)


def _words_of(step: Step) -> set[str]:
    """Return the words of all that `step` says of how it is done.

    A tool that it speaks of may be used although it is not listed, so it is not called wrong.
    """
    texts = [step.text, *step.details, *(torque.tool for torque in step.torque)]
    return {word for text in texts for word in _words(text)}


def _words(text: str) -> set[str]:
    """Return the words of a text that mean something by themselves."""
    return set(re.findall(r"[^\W\d_]{4,}", text.casefold())) - {"with", "that", "shows", "tool"}


def _option(tool: Tool) -> Option:
    return Option(tool.tool, tool.name)
