"""The order of the work: what applies to this vehicle, what comes next, what every step's state is.

Steps run strictly in the order of the file. Exactly one is in hand, or none while a gate is shut.
"""

from collections.abc import Iterator
from typing import Literal

from baycompanion.job.state import tray
from baycompanion.job.state.since import differences
from baycompanion.job.state.state import State, StepTrack
from baycompanion.procedure import paths
from baycompanion.procedure.model import Procedure, Standing
from baycompanion.procedure.paths import applies, excluding
from baycompanion.procedure.steps import Count, Do, Inspect, Item, Record, Step, Witness

StepState = Literal[
    "not reached",
    "in progress",
    "done",
    "done with deviation",
    "not applicable",
    "held",
    "overridden",
]


def step_applies(procedure: Procedure, state: State, step: Step) -> bool:
    """Return whether `step` belongs to the job, by its own choices and its phase's."""
    by_choices = paths.step_applies(procedure, step.id, state.choices)
    return by_choices and not _why_no_mentor(procedure, state, step)


def _why_no_mentor(procedure: Procedure, state: State, step: Step) -> str:
    """Return why no mentor is asked to see `step`; empty if one is, or it is not about that.

    What others did before a trainee took over, a mentor does not see: it may lie far behind, as
    the battery off once it is on again. A blank form is of no job, and may be a trainee's.
    """
    if not (isinstance(step, Witness) and step.by_mentor and state.opened.job):
        return ""
    if state.mentor is None:
        return "no trainee does this job"
    if state.current == step.id or state.track(step.id).finished:
        return ""
    seen = [name for name in step.of if paths.step_applies(procedure, name, state.choices)]
    learnt = any(_of_a_learner(state, state.track(name)) for name in seen)
    return "" if learnt or not seen else "no trainee did what it is about"


def _of_a_learner(state: State, track: StepTrack) -> bool:
    """Return whether a step is still to be done, or was done by somebody beside a mentor."""
    return not track.finished or bool(track.worked_by & state.beside_mentors)


def why_not(procedure: Procedure, state: State, step: Step) -> str:
    """Return why `step` does not apply to this vehicle, in words; empty if it applies."""
    keeping_out = [
        *excluding(procedure.phase_of[step.id], state.choices),
        *excluding(step, state.choices),
    ]
    titles = {choice.choice: choice.title for choice in procedure.choices}
    said = [
        f"{titles.get(name, name)}: {state.choices[name]}" for name in dict.fromkeys(keeping_out)
    ]
    if why := _why_no_mentor(procedure, state, step):
        said.append(why)
    return "; ".join(said)


def steps_that_apply(procedure: Procedure, state: State) -> Iterator[Step]:
    """Yield the steps of the job, in order."""
    for phase in procedure.phases:
        if applies(phase, state.choices):
            for step in phase.steps:
                if applies(step, state.choices) and not _why_no_mentor(procedure, state, step):
                    yield step


def items_that_apply(procedure: Procedure, state: State, step: Step) -> tuple[Item, ...]:
    """Return the lines of `step` that belong to this vehicle: its tray, its plan or its past."""
    if isinstance(step, Do) and state.plan is not None:
        planned = {"joins": state.plan.joins, "left-over": state.plan.left_over}
        if isinstance(step.each, str) and step.each in planned:
            return tuple(Item(item=each.item, name=each.name) for each in planned[step.each])
    if isinstance(step, Do) and step.each == "differences":
        return tuple(each.item for each in differences(procedure, state))
    if isinstance(step, Count):
        return tray.lines_of_job(procedure, state, step)
    return tuple(item for item in procedure.items_of(step) if applies(item, state.choices))


def next_step(procedure: Procedure, state: State) -> Step | None:
    """Return the first step of the job that is not finished; none when all are."""
    for step in procedure.steps.values():
        # asked in this order, since most steps are finished and few have choices
        if not state.track(step.id).finished and step_applies(procedure, state, step):
            return step
    return None


def step_state(procedure: Procedure, state: State, step: Step) -> StepState:
    """Return the one state that `step` is in."""
    track = state.track(step.id)
    if not step_applies(procedure, state, step):
        return "not applicable"
    if track.good:
        return "done"
    if track.finished:
        return "overridden" if step.id in steps_overridden(state) else "done with deviation"
    if state.current == step.id:
        return "in progress"
    if state.current is not None:
        return "not reached"
    held = any(gate.standing == "held" and gate.step == step.id for gate in state.gates.values())
    return "held" if held else "not reached"


def steps_overridden(state: State) -> frozenset[str]:
    """Return the steps whose gate was opened without them, by an override still in force."""
    return frozenset(
        step
        for gate in state.gates.values()
        if gate.override is not None
        for step in gate.override.steps
    )


def standing_now(procedure: Procedure, state: State) -> tuple[Standing, ...]:
    """Return the standing conditions that must be true right now.

    One whose end is reopened is over all the same, until its beginning is done again.
    """
    return tuple(
        standing
        for standing in procedure.standing
        if state.track(standing.begins).good and not is_over(state, standing)
    )


def standings_unasked(procedure: Procedure, state: State, step: Step) -> tuple[Standing, ...]:
    """Return the standing conditions that end at `step` and were not asked about since it began."""
    since = state.track(step.id).since_seq
    return tuple(
        standing
        for standing in standing_now(procedure, state)
        if standing.ends == step.id and state.standings.get(standing.standing, (0, True))[0] < since
    )


def is_over(state: State, standing: Standing) -> bool:
    """Return whether `standing` began and came to its end since."""
    begins, ends = state.track(standing.begins), state.track(standing.ends)
    if not begins.good:
        return False
    begun = begins.attempts[-1].seq
    ended = any(each.seq > begun and each.answer.weight != "bad" for each in ends.attempts)
    return ends.finished or ended


def rests_on(procedure: Procedure, step: Step) -> tuple[str, ...]:
    """Return the earlier steps whose answers `step` is held against, or whose doing it undoes.

    The owner's word is about the condition sheets that were shown.
    """
    named: list[str | None] = [
        getattr(step, field, None) for field in ("matches", "repeats", "compares", "since")
    ]
    if step.verb == "witness":
        named.extend(step.of)  # type: ignore[union-attr, arg-type]
    if step.verb == "sum":
        inputs = step.inputs.values()  # type: ignore[union-attr]
        named.extend(getattr(value, "answer", None) for value in inputs)
    named.extend(each.begins for each in procedure.standing if each.ends == step.id)
    if isinstance(step, Record) and step.owner_word is not None:
        named.extend(_sheets_shown(procedure, step))
    return tuple(name for name in named if name is not None)


def _sheets_shown(procedure: Procedure, step: Step) -> Iterator[str]:
    """Yield the condition sheets of before the work that stood when `step` was asked."""
    for each in procedure.steps.values():
        before = isinstance(each, Inspect) and each.compares is None
        if before and procedure.number[each.id] < procedure.number[step.id]:
            yield each.id
