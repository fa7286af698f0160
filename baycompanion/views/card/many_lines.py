"""Long lists: the keys that answer many lines at once, and each line beside how it was before."""

from collections.abc import Mapping, Sequence

from baycompanion.job import actions
from baycompanion.job.deciding.ticking import rest_answer
from baycompanion.job.state.sheet import Comparison, compare
from baycompanion.job.state.state import State
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Choose, Inspect, Item, Step
from baycompanion.views.card.card import Deed, Key

ALL_YES = "7"
"""The key that settles the rest of several choices as yes."""
OF_GROUP = "8"
"""The key that answers what is left of one group."""
ALL = "9"
"""The key that answers all that is left."""


def rest_keys(procedure: Procedure, step: Step, left: int) -> tuple[Key, ...]:
    """Return the keys that answer every line of `step` not answered yet; so many are `left`."""
    if not isinstance(step, Inspect | Choose):
        return ()
    good = rest_answer(procedure, step)
    if not isinstance(step, Choose):
        return (Key(ALL, f"The other {left}: all {good}", _rest(step)),)
    keys = [Key(ALL, f"The other {left}: {good}", _rest(step))]
    answers = procedure.settled_by(step)[0].answers
    if answers != ("yes", "no"):
        return tuple(keys) if good in answers else ()
    return (Key(ALL_YES, f"The other {left}: yes", _rest(step, value="yes")), *keys)


def group_keys(
    procedure: Procedure, step: Step, left: Sequence[Item]
) -> Mapping[str, tuple[Key, ...]]:
    """Return the key that answers what is left of a group, for each that has lines in `left`."""
    if not isinstance(step, Inspect | Choose):
        return {}
    good = rest_answer(procedure, step)
    if isinstance(step, Choose) and good not in procedure.settled_by(step)[0].answers:
        return {}
    label = good if isinstance(step, Choose) else f"all {good}"
    return {
        group: (Key(OF_GROUP, f"{group}: {label}", _rest(step, group=group)),)
        for group in dict.fromkeys(item.group for item in left)
        if group
    }


def _rest(step: Step, group: str = "", value: str = "") -> Deed:
    return Deed(actions.TickRest(tick_rest=step.id, group=group, value=value))


def held_against(procedure: Procedure, state: State, step: Step) -> Mapping[str, str]:
    """Return of each answered line how it was before the work, and how it compares."""
    if not isinstance(step, Inspect) or step.compares is None:
        return {}
    return {line.item.item: _beside(line) for line in compare(procedure, state, step)}


def _beside(line: Comparison) -> str:
    if line.said_differently:
        return f" {both_said(line)}"
    if line.before is None:
        return f", was not looked at: {line.word}"
    why = f" ({line.before.words})" if line.before.words else ""
    return f", was {line.before.outcome}{why}: {line.word}"


def both_said(line: Comparison) -> str:
    """Return what was said of `line` before the work and after it, side by side."""
    before = line.before.words if line.before is not None else ""
    return (
        f"before and after, said differently: look at both. Before: {before}. Now: {line.now.words}"
    )
