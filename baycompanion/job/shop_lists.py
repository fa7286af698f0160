"""What the shop's own lists allow, before the procedure is asked: people, and reasons."""

from collections.abc import Mapping
from dataclasses import dataclass

from baycompanion.job.actions import Action, Answer, Override
from baycompanion.job.draft import Person, Refused
from baycompanion.job.gates import Missing
from baycompanion.job.hands_actions import HandOver
from baycompanion.job.mentoring import why_no_mentor
from baycompanion.job.state import State
from baycompanion.job.witnessing import workers
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Witness


@dataclass(frozen=True, slots=True)
class ShopLists:
    """The staff of a shop by id, and the reasons that an override may give."""

    staff: Mapping[str, Person]
    reasons: tuple[str, ...]


def refused_by_lists(
    lists: ShopLists, procedure: Procedure, state: State, action: Action
) -> Refused | None:
    """Return why the lists of the shop do not allow `action`; None where they do."""
    if isinstance(action, HandOver) and action.hand_over not in lists.staff:
        known = ", ".join(lists.staff)
        return Refused(f"“{action.hand_over}” is not on the staff. Known are: {known}.")
    if isinstance(action, HandOver):
        why_not = why_no_mentor(lists.staff, action.hand_over, action.mentor or "")
        return Refused(why_not) if why_not else None
    if isinstance(action, Override) and action.reason not in lists.reasons:
        return Refused(
            f"“{action.reason}” is no reason on this shop's list. Use one of these.",
            tuple(Missing(reason) for reason in lists.reasons),
        )
    if isinstance(action, Answer) and action.outcome == "provisional":
        return _who_could_look(lists, procedure, state, action)
    return None


def _who_could_look(
    lists: ShopLists, procedure: Procedure, state: State, action: Answer
) -> Refused | None:
    """Refuse to release work for now while somebody on the staff could verify it."""
    step = procedure.steps.get(action.answer)
    if not isinstance(step, Witness):
        return None
    at_work = frozenset[str]().union(*workers(state, step).values())
    able = [
        person.id
        for person in lists.staff.values()
        if person.id not in at_work and person.is_at_least(step.role)
    ]
    if not able:
        return None
    call = Missing(f"Call one of: {', '.join(able)}")
    return Refused("Somebody else can look, so it is not released for now.", (call,))
