"""Something found wrong: raised, put right, or what a bad outcome is put down as."""

from baycompanion.job.actions import ClearFault, RaiseFault, Settle
from baycompanion.job.deciding.answering import refuse_no_photo
from baycompanion.job.deciding.draft import Draft, refuse
from baycompanion.job.events.kinds import (
    Cause,
    FaultCleared,
    FaultRaised,
    Settled,
)
from baycompanion.job.state.words import details_words
from baycompanion.procedure.steps import Count, Step


def say_fault(draft: Draft, cause: Cause, words: str, item: str | None = None) -> int:
    """Raise a fault on the step in hand, or on one line of it, and return its number."""
    number, step = len(draft.state.faults) + 1, draft.state.current
    draft.say(FaultRaised(fault=number, cause=cause, words=words, step=step, item=item))
    return number


def raise_fault(draft: Draft, action: RaiseFault) -> None:
    """Keep what was found wrong."""
    say_fault(draft, action.cause, action.fault)


def clear_fault(draft: Draft, action: ClearFault) -> None:
    """Keep that an open fault was put right."""
    open_faults = [fault.number for fault in draft.state.faults if fault.open]
    if action.clear not in open_faults:
        listed = ", ".join(map(str, open_faults)) or "none"
        refuse(f"Fault {action.clear} is not open. Open are: {listed}.")
    draft.say(FaultCleared(fault=action.clear, words=action.words))


def settle(draft: Draft, action: Settle) -> None:
    """Put a bad outcome down as a fault, and leave the step behind."""
    step = draft.in_hand(action.settle)
    if not draft.state.track(step.id).unsettled:
        refuse("There is no bad outcome here to settle.")
    refuse_no_photo(draft, step)
    fault = say_fault(draft, action.cause, *_fault_of(draft, step, action.words))
    draft.say(Settled(step=step.id, fault=fault))


def _fault_of(draft: Draft, step: Step, words: str) -> tuple[str, str | None]:
    """Return the words of a fault, and its line; a count says which panel it belongs to."""
    last = draft.state.track(step.id).last
    wrong = last.details if isinstance(step, Count) and last is not None else None
    if not wrong:
        return words, None
    said = "; ".join(details_words(draft.procedure, step, wrong))
    return f"{said}. {words}", next(iter(wrong)) if len(wrong) == 1 else None
