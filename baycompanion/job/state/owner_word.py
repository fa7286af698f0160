"""The owner's word on the condition sheet: agreed, refused, or absent and told otherwise."""

from dataclasses import dataclass
from typing import Literal

from baycompanion.job.state.order import step_applies
from baycompanion.job.state.state import State
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Record


@dataclass(frozen=True, slots=True)
class OwnerWord:
    """What the owner said before the work, as it was written down."""

    word: Literal["agreed", "refused", "absent"]
    words: str
    """Who said it and when, or how the owner was told; or why that could not be written down."""
    written: bool
    """Whether it was written down; else `words` say why not."""
    at: str
    by: str
    step: str


def owner_word(procedure: Procedure, state: State) -> OwnerWord | None:
    """Return the newest word of the owner that stands, None before there is one."""
    found = [
        (state.track(step.id).attempts[-1], step)
        for step in procedure.steps.values()
        if isinstance(step, Record)
        and step.owner_word is not None
        and state.track(step.id).finished
        and state.track(step.id).attempts
        and step_applies(procedure, state, step)
    ]
    if not found:
        return None
    last, step = max(found, key=lambda each: each[0].seq)
    assert step.owner_word is not None
    answer = last.answer
    return OwnerWord(
        step.owner_word, answer.words, answer.weight == "good", last.at, last.by, step.id
    )
