"""Long lists: the keys that answer many lines at once, and each line beside how it was before."""

from baycompanion.job import actions
from baycompanion.job.deciding.ticking import rest_answer
from baycompanion.job.state.order import items_that_apply
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


def rest_keys(procedure: Procedure, state: State, step: Step) -> tuple[Key, ...]:
    """Return the keys that answer every line of `step` not answered yet."""
    if not isinstance(step, Inspect | Choose):
        return ()
    left = len(_unanswered(procedure, state, step))
    good = rest_answer(procedure, step)
    if not isinstance(step, Choose):
        return (Key(ALL, f"The other {left}: all {good}", _rest(step)),)
    keys = [Key(ALL, f"The other {left}: {good}", _rest(step))]
    answers = procedure.settled_by(step)[0].answers
    if answers != ("yes", "no"):
        return tuple(keys) if good in answers else ()
    return (Key(ALL_YES, f"The other {left}: yes", _rest(step, value="yes")), *keys)


def group_keys(procedure: Procedure, state: State, step: Step, item: Item) -> tuple[Key, ...]:
    """Return the key that answers what is left of the group of `item`, where it has one."""
    if not isinstance(step, Inspect | Choose) or not item.group:
        return ()
    good = rest_answer(procedure, step)
    if isinstance(step, Choose) and good not in procedure.settled_by(step)[0].answers:
        return ()
    left = [each for each in _unanswered(procedure, state, step) if each.group == item.group]
    label = f"{item.group}: {good}" if isinstance(step, Choose) else f"{item.group}: all {good}"
    return (Key(OF_GROUP, label, _rest(step, group=item.group)),) if left else ()


def _rest(step: Step, group: str = "", value: str = "") -> Deed:
    return Deed(actions.TickRest(tick_rest=step.id, group=group, value=value))


def _unanswered(procedure: Procedure, state: State, step: Step) -> list[Item]:
    ticks = state.track(step.id).ticks
    return [each for each in items_that_apply(procedure, state, step) if each.item not in ticks]


def held_against(procedure: Procedure, state: State, step: Step, item: Item) -> str:
    """Return how a line was before the work, and how it compares; empty until it is answered."""
    if not isinstance(step, Inspect) or step.compares is None:
        return ""
    line = next(each for each in compare(procedure, state, step) if each.item.item == item.item)
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
