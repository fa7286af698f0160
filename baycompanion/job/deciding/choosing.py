"""Choices settled: one by one or several together, and the lines that they bring in later."""

from baycompanion.job.actions import Answer
from baycompanion.job.deciding.answering import answered, lines_ticked
from baycompanion.job.deciding.draft import Draft, refuse
from baycompanion.job.deciding.reopening import reopen
from baycompanion.job.events.kinds import Answered
from baycompanion.job.state.order import items_that_apply, step_applies
from baycompanion.job.state.tray import outs_counted_back, tray_words
from baycompanion.procedure.model import Choice
from baycompanion.procedure.steps import Choose, Inspect, Step
from baycompanion.text.problem import quoted


def refuse_no_answer(choice: Choice, value: str) -> None:
    """Refuse what is no answer to `choice`."""
    if value not in choice.answers:
        refuse(f"{quoted(value)} is no answer here. Choose one of: {', '.join(choice.answers)}.")


def chosen_by_lines(draft: Draft, step: Choose, action: Answer) -> Answered:
    """Return the answers to every choice that `step` settles, once each line has one."""
    lines_ticked(draft, step)
    ticks = draft.state.track(step.id).ticks
    settled = {name: ticks[name].answer.outcome for name in step.settles}
    return answered(step, action, "chosen", "good", settled=settled)


def refuse_uncounted(draft: Draft) -> None:
    """Refuse a choice that leaves fasteners in the tray with no count to take them back.

    No gate would hold for them any more, since a condition on a step that does not apply counts
    neither for nor against.
    """
    had = outs_counted_back(draft.procedure, draft.before.choices)
    lost = had - outs_counted_back(draft.procedure, draft.state.choices)
    lies = tray_words(draft.procedure, draft.state, lost)
    if lies:
        refuse(
            f"The tray holds {lies}, and with this answer nothing counts them back: "
            "choose as before, count them back, then choose anew."
        )


def ask_new_lines(draft: Draft) -> None:
    """Reopen each finished list into which a choice settled anew has brought a line.

    The lines that were answered keep their answers; only the new ones are asked. Two lists stay
    as they are: one that was said not to be done, and a condition sheet of before the work, since
    nobody can look any more at how it was; there the line counts as not looked at.
    """
    for step in draft.procedure.steps.values():
        if not _takes_new_lines(draft, step):
            continue
        ticks = draft.state.track(step.id).ticks
        items = items_that_apply(draft.procedure, draft.state, step)
        new = [item.name for item in items if item.item not in ticks]
        if new:
            reopen(draft, step, f"Added by what was chosen since: {', '.join(new)}."[:500], True)


def _takes_new_lines(draft: Draft, step: Step) -> bool:
    track = draft.state.track(step.id)
    if not (track.finished and step_applies(draft.procedure, draft.state, step)):
        return False
    of_before = isinstance(step, Inspect) and step.compares is None
    return not of_before and track.last is not None and track.last.outcome != "not done"
