"""The end of a job: keys back, or given up."""

from baycompanion.job.actions import Abandon, Close
from baycompanion.job.deciding.draft import Draft, refuse
from baycompanion.job.events.kinds import Abandoned, Closed
from baycompanion.job.state.gates import Missing, gates_holding, missing
from baycompanion.job.state.order import next_step, steps_that_apply
from baycompanion.job.state.second_looks import released_for_now


def abandon(draft: Draft, action: Abandon) -> None:
    """End the job before its end."""
    if draft.who.id != draft.state.technician and draft.who.role != "supervisor":
        refuse(f"Only {draft.state.technician} or a supervisor gives this job up.")
    draft.say(Abandoned(reason=action.abandon))


def close(draft: Draft, action: Close) -> None:
    """End a job of which every step is finished and every gate open."""
    step = next_step(draft.procedure, draft.state)
    if step is not None:
        count = sum(
            not draft.state.track(each.id).finished
            for each in steps_that_apply(draft.procedure, draft.state)
        )
        steps = "1 step is" if count == 1 else f"{count} steps are"
        refuse(f"{steps} not finished.", Missing(step.text, step.id))
    for name in gates_holding(draft.procedure, draft.state):
        gate = draft.procedure.all_gates[name]
        refuse(f"The gate {name} is shut.", *missing(draft.procedure, draft.state, gate))
    provisional = [step.id for step in released_for_now(draft.procedure, draft.state)]
    draft.say(Closed(clean=_is_clean(draft), provisional=provisional))


def _is_clean(draft: Draft) -> bool:
    """Return whether nothing was overridden, left undone, or left broken by the work."""
    state = draft.state
    return (
        not state.overrides
        and not any(fault.open and fault.cause == "work" for fault in state.faults)
        and all(state.track(each.id).good for each in steps_that_apply(draft.procedure, state))
    )
