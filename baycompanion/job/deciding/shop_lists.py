"""What the shop's own lists allow, before the procedure is asked: people, and reasons."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from baycompanion.job.actions import Action, Answer, Override
from baycompanion.job.deciding.draft import Person, Refused
from baycompanion.job.deciding.mentoring import why_no_mentor
from baycompanion.job.deciding.releases import Release, why_not_in_force
from baycompanion.job.hands_actions import HandOver
from baycompanion.job.state.gates import Missing
from baycompanion.job.state.second_looks import workers
from baycompanion.job.state.state import State
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Witness
from baycompanion.text.problem import quoted


@dataclass(frozen=True, slots=True)
class ShopLists:
    """The staff of a shop by id, and the reasons that an override may give."""

    staff: Mapping[str, Person]
    reasons: tuple[str, ...]
    releases: Mapping[str, tuple[Release, ...]] = field(default_factory=dict)
    """What trainees may do without a mentor, by their id."""

    def why_beside(self, who: str, procedure: str, revision: int, day: date) -> str:
        """Return why `who` is not released for the revision on `day`; empty where they are."""
        return why_not_in_force(self.releases.get(who, ()), procedure, revision, day)


def refused_by_lists(
    lists: ShopLists, procedure: Procedure, state: State, action: Action, day: date
) -> Refused | None:
    """Return why the lists of the shop do not allow `action` on `day`; None where they do."""
    if isinstance(action, HandOver) and action.hand_over not in lists.staff:
        known = ", ".join(lists.staff)
        return Refused(f"{quoted(action.hand_over)} is not on the staff. Known are: {known}.")
    if isinstance(action, HandOver):
        taker = action.hand_over
        beside = lists.why_beside(taker, procedure.procedure, procedure.revision, day)
        why_not = why_no_mentor(lists.staff, taker, action.mentor or "", beside)
        return Refused(why_not) if why_not else None
    if isinstance(action, Override) and action.reason not in lists.reasons:
        return Refused(
            f"{quoted(action.reason)} is no reason on this shop's list. Use one of these.",
            tuple(Missing(reason) for reason in lists.reasons),
        )
    if isinstance(action, Answer) and action.outcome == "provisional":
        return _who_could_look(lists, procedure, state, action)
    return None


def refused_revision(lists: ShopLists, newer: Procedure, state: State, day: date) -> Refused | None:
    """Return why a trainee who works alone cannot go on by `newer`; None for everybody else."""
    who = lists.staff.get(state.technician)
    if who is None or who.role != "trainee" or state.mentor is not None:
        return None
    why_not = lists.why_beside(who.id, newer.procedure, newer.revision, day)
    if not why_not:
        return None
    return Refused(
        f"{who.id} is a trainee, and works alone. {why_not}",
        (Missing("A supervisor passes the job on first, or signs this revision off"),),
    )


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
