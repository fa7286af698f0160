"""When the guidance of a step fades: how often in a row somebody did that step right.

Right means: the first answer was good and theirs, the step was not reopened, no gate that it opens
or stands behind was overridden, and no fault of the work came from it. An error starts anew.
That help is driven by results and goes in steps is the "fading" of worked examples: Renkl and
Atkinson 2003; that it is taken back on errors, the expertise reversal of Kalyuga 2003.
"""

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from baycompanion.job.record.past_work import PastWork
from baycompanion.job.record.work import StepRecord
from baycompanion.job.state.state import State
from baycompanion.procedure.conditions import leaves, step_named
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Step

Level = Literal["full", "first words", "sentence"]
"""What is shown of details and why: all of it, its first words, or the step's sentence alone."""

_BESIDE = {"target", "shortest", "when", "unless", "back_to", "photo", "faults"}
"""What a step may say otherwise and still be the same thing to do, in the same words."""


@dataclass(frozen=True, slots=True)
class Done:
    """How somebody did one step in one job that has ended."""

    content: str
    """What the step said then, by `content_of`."""
    right: bool


def content_of(procedure: Procedure, step: Step) -> str:
    """Return a hash of all that `step` tells a person, its lines and its tools included."""
    used = {*step.tools, *(item.item for item in procedure.items_of(step))}
    said = {
        "verb": step.verb,
        "step": step.model_dump(mode="json", exclude=_BESIDE),
        "lines": [item.model_dump(mode="json") for item in procedure.items_of(step)],
        "tools": [t.model_dump(mode="json") for t in procedure.tools if t.tool in used],
    }
    text = json.dumps(said, sort_keys=True, ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()


def done_in(procedure: Procedure, job: PastWork, who: str) -> Mapping[str, Done]:
    """Return how `who` did the steps of `job`, which followed `procedure`, by the step's id.

    A step that they did not answer first, or that was copied from paper, says nothing of them, nor
    does one whose thing the vehicle does not have.
    """
    overridden = {each.gate for each in job.overrides}
    bypassed = {
        step
        for name, gate in procedure.all_gates.items()
        if name in overridden
        for step in (*gate.holds, *filter(None, map(step_named, leaves(gate.until))))
    }
    caused = {fault.step for fault in job.faults if fault.cause == "work"}
    done = {}
    for record in job.steps:
        step = procedure.steps.get(record.id)
        if step is None or not _theirs(record, who):
            continue
        well = record.state == "done" and len(record.attempts) == 1 and not record.reopened
        right = well and record.id not in bypassed and record.id not in caused
        if right and not _alone(record, who):
            continue
        done[record.id] = Done(content_of(procedure, step), right)
    return done


def _theirs(record: StepRecord, who: str) -> bool:
    """Return whether `who` first answered the step, not from paper, and there was a thing to do."""
    first = next(iter(record.attempts), None)
    if first is None or first.outcome == "not fitted":
        return False
    return first.by == who and not first.on_paper


def _alone(record: StepRecord, who: str) -> bool:
    """Return whether every line of the step was answered by `who`, and none copied from paper."""
    return all(line.by == who and not line.on_paper for line in record.lines)


def times_in_a_row(content: str, step: str, past: Sequence[Mapping[str, Done]]) -> int:
    """Return how many times in a row `step` was done right, by `past`, the newest job first.

    Jobs in which they did not do it are passed over. An error ends the row, and so does a job in
    which the step said something else than `content`: that one was another step to learn.
    """
    times = 0
    for job in past:
        done = job.get(step)
        if done is None:
            continue
        if not done.right or done.content != content:
            break
        times += 1
    return times


def wrong_here(state: State, step: str) -> bool:
    """Return whether `step` went wrong in the job in hand: its help comes back at once."""
    track = state.track(step)
    missed = any(attempt.answer.weight != "good" for attempt in track.attempts)
    caused = any(fault.step == step and fault.cause == "work" for fault in state.faults)
    return missed or bool(track.reopened) or caused


def level_after(times: int, fade_after: int) -> Level:
    """Return what is shown after so many `times` right in a row.

    `fade_after` is the number from which on it is shortened, 0 for never; twice that number leaves
    the sentence of the step alone.
    """
    if fade_after == 0 or times < fade_after:
        return "full"
    return "first words" if times < 2 * fade_after else "sentence"
