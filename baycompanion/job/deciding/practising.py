"""The rules of practice: a wrong order is allowed, and what it would have run into is kept."""

from collections.abc import Iterable, Iterator

from baycompanion.job.deciding.draft import Draft, Person, refuse
from baycompanion.job.deciding.reopening import lies_within
from baycompanion.job.events.kinds import Begun
from baycompanion.job.events.practice_kinds import Looked, NextSaid, RanInto, Unprotected
from baycompanion.job.practice_actions import LookAt, SayNext, TakeUp
from baycompanion.job.state.gates import Missing, gates_before, missing
from baycompanion.job.state.order import (
    items_that_apply,
    next_step,
    rests_on,
    standing_now,
    step_applies,
    why_not,
)
from baycompanion.job.state.state import State
from baycompanion.procedure import paths
from baycompanion.procedure.model import Gate, Procedure, Standing
from baycompanion.procedure.steps import Applying, Step

PRACTICE_MENTOR = "practice-mentor"
MENTOR = Person(PRACTICE_MENTOR, "supervisor")
"""Who stands beside whoever practises: made up, the second person, and able to override."""


def say_next(draft: Draft, action: SayNext) -> None:
    """Keep what was said to come next; what is due is said once for each step."""
    _refuse_real(draft)
    due, said = next_step(draft.procedure, draft.state), _unfinished(draft, action.say_next)
    if due is None:
        refuse("Every step is finished; nothing comes next.")
    if draft.state.next_said == due.id:
        refuse("What comes next was said already.", Missing(due.text, due.id))
    against = _would_hold(draft, said) if said.id != due.id else []
    able = not against and not needed_first(draft.procedure, draft.state, said)
    draft.say(NextSaid(due=due.id, said=said.id, right=said.id == due.id or able))
    for each in against:
        draft.say(each)


def take_up(draft: Draft, action: TakeUp) -> None:
    """Begin a step, though gates before it may be shut; what they wait for is kept.

    Refused is only what cannot be answered yet. Once it is finished, the job goes back by itself
    to the first step that is not.
    """
    _refuse_real(draft)
    step = _unfinished(draft, action.take_up)
    if draft.state.current == step.id:
        refuse(f"“{step.text}” is in hand already.")
    needed = needed_first(draft.procedure, draft.state, step)
    if needed:
        refuse(f"“{step.text}” cannot be answered yet: it rests on other steps.", *needed)
    for each in _would_hold(draft, step):
        draft.say(each)
    phase = draft.procedure.phase_of[step.id].phase
    draft.say(Begun(step=step.id, phase=phase, taken_up=True))


def look_at(draft: Draft, action: LookAt) -> None:
    """Keep that somebody looked at the made-up vehicle, before whose dangers they were warned."""
    _refuse_real(draft)
    draft.say(Looked(step=draft.read_first(action.look_at).id))


def gates_run_into(
    procedure: Procedure, state: State, step: Step
) -> tuple[tuple[Gate, tuple[Missing, ...]], ...]:
    """Return the gates that would hold `step` if it were begun now, with what they wait for."""
    found = []
    for gate in gates_before(procedure, state, step):
        track = state.gates.get(gate.gate)
        things = missing(procedure, state, gate)
        if things and (track is None or track.standing != "overridden"):
            found.append((gate, things))
    return tuple(found)


def not_protecting(procedure: Procedure, state: State, step: Step) -> tuple[Standing, ...]:
    """Return the standing conditions that `step` needs and that are not in force now."""
    now = standing_now(procedure, state)
    return tuple(
        standing
        for standing in procedure.standing
        if lies_within(procedure, standing, step)
        and standing not in now
        and step_applies(procedure, state, procedure.steps[standing.begins])
    )


def _refuse_real(draft: Draft) -> None:
    if draft.state.opened.practice is None:
        refuse("This is done in practice only, and this job is a real one.")


def _unfinished(draft: Draft, name: str) -> Step:
    """Return the step called `name`, which belongs to the job and is still to be done."""
    step = draft.step(name)
    if not step_applies(draft.procedure, draft.state, step):
        why = why_not(draft.procedure, draft.state, step)
        refuse(f"“{step.text}” does not belong to this job: {why}.")
    if draft.state.track(name).finished:
        refuse(f"“{step.text}” is finished.", Missing("Reopen it to do it again.", name))
    return step


def _would_hold(draft: Draft, step: Step) -> list[RanInto | Unprotected]:
    """Return what stands against `step` now: gates, and what is to protect it."""
    procedure, state = draft.procedure, draft.state
    gates = [
        RanInto(gate=gate.gate, step=step.id, missing=[thing.words for thing in things])
        for gate, things in gates_run_into(procedure, state, step)
    ]
    bare = [
        Unprotected(standing=standing.standing, step=step.id)
        for standing in not_protecting(procedure, state, step)
    ]
    return [*gates, *bare]


def needed_first(procedure: Procedure, state: State, step: Step) -> tuple[Missing, ...]:
    """Return the steps without which `step` cannot be answered: what it rests on, its choices."""
    names = [*rests_on(procedure, step), *_settling(procedure, state, step)]
    return tuple(
        Missing(procedure.steps[name].text, name)
        for name in dict.fromkeys(names)
        if name != step.id
        and step_applies(procedure, state, procedure.steps[name])
        and not state.track(name).finished
    )


def _settling(procedure: Procedure, state: State, step: Step) -> Iterator[str]:
    """Yield the steps that settle the choices which `step` and its lines hang on."""
    hanging = {*_choices_of(paths.with_phase(procedure, step.id))}
    hanging |= {*_choices_of(items_that_apply(procedure, state, step))}
    for each in procedure.steps.values():
        settles = getattr(each, "settles", ())
        if any(choice in hanging and choice not in state.choices for choice in settles):
            yield each.id


def _choices_of(things: Iterable[Applying]) -> Iterator[str]:
    for thing in things:
        yield from paths.rests_on(thing)
