"""What no job can have come to, however its events are tied: they were forged, line by line."""

from baycompanion.job.state.line_word import KINDS
from baycompanion.job.state.state import State, StepTrack
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Inspect, Step
from baycompanion.text.problem import quoted


def impossible(procedure: Procedure, state: State) -> str:
    """Return what `state` says that no job by `procedure` can say; empty where there is nothing.

    The fold never refuses, and a chain of hashes can be made by anybody. Steps that only an older
    revision had may stand in a state, so no more is asked here than that it can be shown.
    """
    if state.current is not None and state.current not in procedure.steps:
        return f"the step in hand, {quoted(state.current)}, is none of its procedure"
    if state.phase is not None and state.phase not in procedure.phase_named:
        return f"the phase in hand, {quoted(state.phase)}, is none of its procedure"
    for name, track in state.steps.items():
        if odd := _impossible_step(procedure.steps.get(name), track):
            return f"the step {quoted(name)} {odd}"
    return ""


def _impossible_step(step: Step | None, track: StepTrack) -> str:
    if track.finished and not track.attempts:
        return "is finished without an answer"
    if isinstance(step, Inspect):
        outcomes = (tick.answer.outcome for tick in track.ticks.values())
        if (odd := next((each for each in outcomes if each not in KINDS), None)) is not None:
            return f"has a line that was seen as {quoted(odd)}"
    return ""
