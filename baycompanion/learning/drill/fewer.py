"""Which kinds of question a procedure gives no card for, why, and what to write in its file."""

from collections.abc import Collection, Iterator

from baycompanion.learning.drill.asked import FEWEST_WRONG, Kind
from baycompanion.learning.drill.limit_of import Limit, limits_of
from baycompanion.learning.drill.order_of import FEWEST
from baycompanion.learning.drill.tool_for import used_at
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Step

_ABOUT: dict[Kind, str] = {
    "next": "about what comes next",
    "gate": "about what a gate waits for",
    "caution": "about cautions",
    "tool": "about tools",
    "limit": "about limits",
    "order": "about the order of steps",
    "misplaced": "about a step out of its place",
}


def why_fewer(procedure: Procedure, made: Collection[Kind]) -> Iterator[str]:
    """Yield a sentence for each kind of question that is not among those `made`."""
    for kind, about in _ABOUT.items():
        if kind not in made:
            yield f"No question {about}: {_reason(procedure, kind)}"


def _reason(procedure: Procedure, kind: Kind) -> str:
    """Return what is missing, and what to write."""
    steps = procedure.steps.values()
    if kind == "gate":
        if not procedure.gates:
            return "the procedure has no gates. Write gates: with what each waits for."
        return "too few steps are left that no gate waits for. Write more steps."
    if kind == "caution":
        if not any(step.cautions for step in steps):
            return "no step has one. Write cautions: at the steps that can do harm."
        return f"there are fewer than {FEWEST_WRONG} others. Write cautions: at more steps."
    if kind == "tool":
        return _no_tools([step for step in steps if used_at(step)])
    if kind == "limit":
        return _no_limits([limit for step in steps for limit in limits_of(step)])
    if len(steps) < FEWEST:
        return f"the procedure has fewer than {FEWEST} steps. Write one step for each act."
    if kind == "next" and not any(step.why for step in steps) and not procedure.gates:
        return "no step says why it stands where it does. Write why: at the steps."
    return "too little says which step must wait for which. Write gates: with what each waits for."


def _no_tools(using: list[Step]) -> str:
    if not using:
        return "no step names one. Write tools: at the steps."
    if not any(step.why for step in using):
        return "no step done with one says why. Write why: at the steps done with a tool."
    return f"there are fewer than {FEWEST_WRONG} others. Write tools: for all that is used."


def _no_limits(limits: list[Limit]) -> str:
    if not limits:
        return "no step has one. Write at-least:, at-most: or lasts: where there is a limit."
    if not any(limit.source or limit.step.why for limit in limits):
        return "no limit says where it comes from. Write source: or why: at the step."
    return f"there are fewer than {FEWEST_WRONG} others like it. Write the limits of more steps."
