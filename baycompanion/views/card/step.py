"""The card of a step in hand: its cautions first, then what its verb asks for."""

from dataclasses import replace
from datetime import datetime

from baycompanion.job import actions
from baycompanion.job.deciding.measuring import limits_in_words
from baycompanion.job.state.order import standing_now
from baycompanion.job.state.state import State, StepTrack
from baycompanion.procedure.model import Procedure, Standing
from baycompanion.procedure.steps import Measure, Step, Witness
from baycompanion.views.card.asks import ASKS
from baycompanion.views.card.card import Again, Card, Deed, Key, Piece
from baycompanion.views.card.second_person import called_beforehand
from baycompanion.views.card.waiting import said_beforehand
from baycompanion.views.card.wording import answered, carried, caution_short, photographed
from baycompanion.views.forms import answer_forms


def step_card(procedure: Procedure, state: State, step: Step, when: datetime) -> Card:
    """Return the card of `step`, which is the one in hand."""
    unread = _unread(state, step)
    if unread is not None:
        return _caution_card(procedure, step, unread)
    standing = _unasked(procedure, state, step)
    if standing is not None:
        return _standing_card(procedure, step, standing)
    if state.track(step.id).unsettled:
        return _unsettled_card(procedure, state, step)
    return answer_card(procedure, state, step, when)


def heading(procedure: Procedure, step: Step) -> str:
    """Return where `step` stands in the whole."""
    return f"Step {procedure.number[step.id]} of {len(procedure.steps)}"


def answer_card(procedure: Procedure, state: State, step: Step, when: datetime) -> Card:
    """Return the card that takes an answer to `step`."""
    card = Card(
        kind="step",
        heading=heading(procedure, step),
        title=step.text,
        before=tuple(caution_short(caution) for caution in step.cautions),
        step=step.id,
    )
    asking = ASKS[step.verb](card, procedure, state, step, when)
    pieces = (
        *_again(state.track(step.id)),
        *called_beforehand(procedure, state, step),
        *asking.pieces,
        *said_beforehand(procedure, state, step),
        *carried(procedure, step),
        *photographed(state, step),
    )
    return replace(asking, pieces=pieces)


def _again(track: StepTrack) -> tuple[Piece, ...]:
    """Return why a step is done again, where it is."""
    return (Piece("label", f"Again: {track.reopened[-1]}"),) if track.reopened else ()


def _unread(state: State, step: Step) -> int | None:
    read = state.track(step.id).acknowledged
    return next(
        (
            place
            for place, caution in enumerate(step.cautions)
            if caution.signal in ("danger", "warning") and place not in read
        ),
        None,
    )


def _caution_card(procedure: Procedure, step: Step, place: int) -> Card:
    caution = step.cautions[place]
    read = actions.Acknowledge(acknowledge=step.id, caution=place)
    return Card(
        kind="caution",
        heading=f"{heading(procedure, step)}: read this first",
        title=f"{caution.signal.upper()}  {caution.hazard}",
        pieces=(
            Piece("plain", caution.consequence),
            Piece(caution.signal, caution.avoid),
            Piece("quiet", f"Then: {step.text}"),
        ),
        keys=(Key("1", "I have read this", Deed(read), enter=True),),
        step=step.id,
    )


def _unasked(procedure: Procedure, state: State, step: Step) -> Standing | None:
    since = state.track(step.id).since_seq
    return next(
        (
            standing
            for standing in standing_now(procedure, state)
            if standing.ends == step.id
            and state.standings.get(standing.standing, (0, True))[0] < since
        ),
        None,
    )


def _standing_card(procedure: Procedure, step: Step, standing: Standing) -> Card:
    held = actions.Confirm(confirm=standing.standing, held=True)
    return Card(
        kind="standing",
        heading=f"{heading(procedure, step)}: before it",
        title=standing.ask,
        pieces=(Piece("label", standing.says), Piece("quiet", f"Then: {step.text}")),
        keys=(
            Key("1", "Yes, it held", Deed(held)),
            Key("2", "No…", answer_forms.standing_form(standing.standing, standing.says)),
        ),
        step=step.id,
    )


def _unsettled_card(procedure: Procedure, state: State, step: Step) -> Card:
    keys = [
        Key("1", "Do it again", Again()),
        Key("2", "Vehicle at fault…", answer_forms.settle_form(step, "vehicle")),
        Key("3", "Work at fault…", answer_forms.settle_form(step, "work")),
    ]
    target = _leads_back_to(procedure, state, step)
    if target is not None:
        back = actions.Reopen(
            reopen=target.id, reason=f"{step.text} {answered(procedure, state, step)}"[:500]
        )
        keys.append(Key("4", f"Back to {procedure.number[target.id]}", Deed(back)))
    pieces = [Piece("bad", f"It came out: {answered(procedure, state, step)}")]
    if isinstance(step, Measure):
        pieces.append(Piece("label", f"Limits: {limits_in_words(step)}"))
    return Card(
        kind="unsettled",
        heading=f"{heading(procedure, step)}: not good yet",
        title=step.text,
        before=tuple(caution_short(caution) for caution in step.cautions),
        pieces=(*pieces, Piece("plain", "The first answer is kept, whatever comes now.")),
        keys=tuple(keys),
        step=step.id,
    )


def _leads_back_to(procedure: Procedure, state: State, step: Step) -> Step | None:
    """Return the step to go back to: the one named, or what a second person did not find so."""
    if step.back_to is not None:
        return procedure.steps.get(step.back_to)
    if not isinstance(step, Witness):
        return None
    finished = [name for name in step.of if state.track(name).finished]
    return procedure.steps[finished[0]] if finished else None
