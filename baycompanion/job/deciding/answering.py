"""What every answer is made of: its outcome, allowed by the verb, and its lines all answered."""

from typing import Any

from baycompanion.job.actions import Answer
from baycompanion.job.deciding.draft import Draft, refuse
from baycompanion.job.events.kinds import Answered, Weight
from baycompanion.job.state.order import items_that_apply
from baycompanion.procedure.steps import Step


def answered(step: Step, action: Answer, outcome: str, weight: Weight, **more: Any) -> Answered:
    """Return the answer to `step` that came to `outcome`, with the words typed if no others are."""
    return Answered(step=step.id, outcome=outcome, weight=weight, **{"words": action.words, **more})


def allow(step: Step, action: Answer, *outcomes: str) -> str | None:
    """Return the outcome named by `action` if the verb of `step` knows it."""
    if action.outcome is not None and action.outcome not in outcomes:
        known = ", ".join(outcomes) if outcomes else "none; type its value"
        refuse(f"A step to {step.verb} cannot be “{action.outcome}”. It takes: {known}.")
    return action.outcome


def lines_ticked(draft: Draft, step: Step) -> list[str]:
    """Return the lines whose answer is not good; refuse while one has no answer."""
    items = items_that_apply(draft.procedure, draft.state, step)
    ticks = draft.state.track(step.id).ticks
    unanswered = [item.name for item in items if item.item not in ticks]
    if unanswered:
        count = len(unanswered)
        refuse(
            f"{count} {'line has' if count == 1 else 'lines have'} no answer yet.",
            *unanswered[:6],
        )
    return [item.item for item in items if ticks[item.item].answer.weight != "good"]


def refuse_no_photo(draft: Draft, step: Step) -> None:
    """Refuse to finish a step that needs a photo of how it is now, and has none."""
    if draft.state.opened.practice is not None:  # nothing is there to be pictured
        return
    if step.photo != "required" or draft.state.photographed(step.id):
        return
    track = draft.state.track(step.id)
    if not track.reopened:
        refuse("This step needs a photo before it is finished.", "Add a photo.")
    old = [
        photo.data.original
        for photo in draft.state.photos
        if photo.data.step == step.id and photo.seq > track.reopened_seq
    ]
    had = f"The job had {old[-1]} before it was reopened. " if old else ""
    refuse("This step needs a new photo before it is finished.", f"{had}Add one of how it is now.")
