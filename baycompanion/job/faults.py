"""Something found wrong: raised, put right, or what a bad outcome is put down as."""

from baycompanion.job.actions import ClearFault, RaiseFault, Settle
from baycompanion.job.answering import refuse_no_photo
from baycompanion.job.draft import Draft, refuse
from baycompanion.job.events import Cause, FaultCleared, FaultRaised, Settled


def say_fault(draft: Draft, cause: Cause, words: str) -> int:
    """Raise a fault on the step in hand, and return its number."""
    number = len(draft.state.faults) + 1
    draft.say(FaultRaised(fault=number, cause=cause, words=words, step=draft.state.current))
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
    fault = say_fault(draft, action.cause, action.words)
    draft.say(Settled(step=step.id, fault=fault))
