"""What a timed wait says: how long, how much of it is left, and when it is over."""

from dataclasses import replace
from datetime import datetime

from baycompanion.job import actions
from baycompanion.job.deciding.answers import wait_left
from baycompanion.job.state.state import State
from baycompanion.job.state.timing import clock_at
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.paths import step_applies
from baycompanion.procedure.steps import Step, Wait
from baycompanion.text.duration import countdown, write_duration
from baycompanion.views.card.card import Card, Deed, Key, Piece
from baycompanion.views.forms import answer_forms


def ask_wait(card: Card, procedure: Procedure, state: State, step: Wait, when: datetime) -> Card:
    """Return `card` with how much of the wait is left at `when`, and what can be done about it."""
    left = seconds_left(state, step, when)
    enter_time = Key("2", "Enter the time for this vehicle…", answer_forms.wait_form(step))
    if left is None:
        said = "Nobody has entered how long. The vehicle maker's instructions say it."
        return replace(card, pieces=(Piece("label", said),), keys=(enter_time,))
    track = state.track(step.id)
    lasts = track.wait.seconds if track.wait else step.lasts or 0
    source = track.wait.source if track.wait else step.source
    said = f"Lasts {write_duration(lasts)}" + (f", from: {source}" if source else "")
    if left > 0:
        pieces = (
            Piece("warning", f"{countdown(left)} to go"),
            Piece("plain", said),
            Piece("plain", "No time to stand by? Pause (F4): the wait runs on.", key="F4"),
        )
        return replace(card, pieces=pieces, keys=(enter_time,))
    over = Key("1", "The wait is over, go on", Deed(actions.Answer(answer=step.id)), enter=True)
    return replace(
        card, pieces=(Piece("good", "00:00 – the time is over"), Piece("plain", said)), keys=(over,)
    )


def said_beforehand(procedure: Procedure, state: State, step: Step) -> tuple[Piece, ...]:
    """Return what is said of the waits that begin when `step` is done, or that run meanwhile."""
    number = procedure.number
    waits = [
        wait
        for wait in procedure.steps.values()
        if isinstance(wait, Wait) and wait.since and step_applies(procedure, wait.id, state.choices)
    ]
    starts = [_starts(procedure, state, wait) for wait in waits if wait.since == step.id]
    runs = [
        Piece("quiet", f"Meanwhile a wait runs (step {number[wait.id]}).")
        for wait in waits
        if number[wait.since or ""] < number[step.id] < number[wait.id]
    ]
    return (*starts, *runs)


def _starts(procedure: Procedure, state: State, wait: Wait) -> Piece:
    track, number = state.track(wait.id), procedure.number
    lasts = track.wait.seconds if track.wait else wait.lasts
    length = f" of {write_duration(lasts)}" if lasts is not None else ""
    between = [
        str(number[name])
        for name in list(procedure.steps)[number[wait.since or ""] : number[wait.id] - 1]
        if step_applies(procedure, name, state.choices)
    ]
    steps = "step" if len(between) == 1 else "steps"
    meanwhile = f" Meanwhile: {steps} {', '.join(between)}." if between else ""
    return Piece("label", f"Starts a wait{length} (step {number[wait.id]}).{meanwhile}")


def seconds_left(state: State, step: Wait, when: datetime) -> int | None:
    """Return the seconds that `step` still has to run at `when`; None while not known."""
    since = state.track(step.since) if step.since else None
    return wait_left(step, clock_at(state, when), state.track(step.id), since)
