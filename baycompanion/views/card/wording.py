"""What a step carries, put into words: cautions, torque, limits, answers."""

from baycompanion.job.deciding.measuring import limits_in_words
from baycompanion.job.state.gates import Missing
from baycompanion.job.state.order import items_that_apply
from baycompanion.job.state.second_looks import hidden_now
from baycompanion.job.state.state import State
from baycompanion.job.state.words import answer_words, torque_words, undone_words
from baycompanion.procedure.cautions import AnyCaution
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Do, Measure, Step
from baycompanion.text.duration import write_duration
from baycompanion.views.card.card import Piece

KEPT_BACK = "kept back until a second person has found it afresh"


def caution_pieces(caution: AnyCaution) -> tuple[Piece, ...]:
    """Return a caution whole: the hazard, what it does, how to avoid it."""
    return (
        Piece(caution.signal, f"{caution.signal.upper()}  {caution.hazard}"),
        Piece("plain", f"{caution.consequence} {caution.avoid}"),
    )


def caution_short(caution: AnyCaution) -> Piece:
    """Return a caution that was read, as it stays beside its step."""
    return Piece(caution.signal, f"{caution.signal.upper()}  {caution.hazard} {caution.avoid}")


def carried(procedure: Procedure, step: Step) -> tuple[Piece, ...]:
    """Return what `step` carries besides its cautions: tools, torque, limits, details."""
    names = {tool.tool: tool.name for tool in procedure.tools}
    pieces = []
    if step.tools:
        listed = ", ".join(names.get(tool, tool) for tool in step.tools)
        pieces.append(Piece("label", f"Tools: {listed}"))
    pieces.extend(Piece("label", f"Torque: {torque_words(torque)}") for torque in step.torque)
    if isinstance(step, Measure):
        if step.at_least is not None or step.at_most is not None:
            source = f" ({step.source.rstrip('.')})" if step.source else ""
            pieces.append(Piece("label", f"Limits: {limits_in_words(step)}{source}"))
        if step.instrument:
            pieces.append(
                Piece("label", f"Read it from: {names.get(step.instrument, step.instrument)}")
            )
    pieces.extend(map(detail_piece, step.details))
    if isinstance(step, Do) and step.borrows:
        pieces.append(
            Piece("label", f"Goes into the register of borrowed circuits: {step.borrows}")
        )
    if step.photo:
        pieces.append(photo_piece(step.photo))
    if step.target:
        pieces.append(Piece("quiet", f"Target: {write_duration(step.target)}"))
    return tuple(pieces)


def photo_piece(photo: str) -> Piece:
    """Return the line that says which photo is asked for, and how it is taken."""
    return Piece("label", f"Photo: {photo} (F3)", key="F3")


def detail_piece(detail: str) -> Piece:
    """Return one line of how a step is done."""
    return Piece("plain", f"• {detail}")


def photographed(state: State, step: Step) -> tuple[Piece, ...]:
    """Return which photo of `step`, as it stands, was added last, and how many there are."""
    photos = state.photos_at(step.id)
    if not photos:
        return ()
    last = photos[-1].data.original
    many = f"{len(photos)} photos added, last {last}"
    return (Piece("label", f"Photo added: {last}" if len(photos) == 1 else many),)


def answered(procedure: Procedure, state: State, step: Step) -> str:
    """Return the newest answer to `step` in one line, empty without one.

    It is kept back while a second person finds the same thing afresh.
    """
    track = state.track(step.id)
    if not track.attempts:
        return ""
    if step.id in hidden_now(procedure, state):
        return KEPT_BACK
    said = answer_words(procedure, step, track.attempts[-1].answer)
    return ": ".join(filter(None, (said, lines_undone(procedure, state, step))))


def lines_undone(procedure: Procedure, state: State, step: Step) -> str:
    """Return which lines keep the list of `step` from being complete, each with what was said."""
    track = state.track(step.id)
    if track.last is None or track.last.outcome != "incomplete":
        return ""
    ticks = {
        item.name: track.ticks.get(item.item) for item in items_that_apply(procedure, state, step)
    }
    return "; ".join(
        undone_words(name, tick.answer.outcome, tick.answer.words)
        for name, tick in ticks.items()
        if tick is not None and tick.answer.weight != "good"
    )


def waited_for(procedure: Procedure, state: State, thing: Missing) -> str:
    """Return what a gate waits for; of a list that is incomplete also the lines to blame."""
    step = procedure.steps[thing.step] if thing.of_answer and thing.step else None
    undone = lines_undone(procedure, state, step) if step is not None else ""
    return f"{thing.words.removesuffix('.')}: {undone}." if undone else thing.words
