"""What a step carries, put into words: cautions, torque, limits, answers."""

from datetime import datetime

from baycompanion.job.measuring import limits_in_words
from baycompanion.job.moment import read_moment
from baycompanion.job.state import StepTrack
from baycompanion.procedure.cautions import AnyCaution, Torque
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Measure, Step
from baycompanion.text.duration import write_duration
from baycompanion.text.reading import write_number
from baycompanion.views.card import Piece


def caution_pieces(caution: AnyCaution) -> tuple[Piece, ...]:
    """Return a caution whole: the hazard, what it does, how to avoid it."""
    return (
        Piece(caution.signal, f"{caution.signal.upper()}  {caution.hazard}"),
        Piece("plain", f"{caution.consequence} {caution.avoid}"),
    )


def caution_short(caution: AnyCaution) -> Piece:
    """Return a caution that was read, as it stays beside its step."""
    return Piece(caution.signal, f"{caution.signal.upper()}  {caution.hazard} {caution.avoid}")


def torque_words(torque: Torque) -> str:
    """Return a torque as it is shown at the moment of tightening."""
    parts = [f"{torque.fastener} into {torque.into}:"]
    if torque.value is not None:
        band = f" ± {write_number(torque.plus_minus)}" if torque.plus_minus is not None else ""
        parts.append(f"{write_number(torque.value)}{band} {torque.unit},")
    parts.append(f"{torque.tool}.")
    if torque.pattern:
        parts.append(f"Order: {torque.pattern.rstrip('.')}.")
    parts.append(f"From: {torque.source.rstrip('.')}.")
    return " ".join(parts)


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
    pieces.extend(Piece("plain", f"• {detail}") for detail in step.details)
    if step.photo:
        pieces.append(Piece("label", f"Photo: {step.photo} (F3)"))
    if step.target:
        pieces.append(Piece("quiet", f"Usual time: {write_duration(step.target)}"))
    return tuple(pieces)


def moment_words(at: str, now: datetime) -> str:
    """Return a moment of the journal as the clock on the wall showed it, in the zone of `now`.

    The day is left out where it is today.
    """
    there, here = read_moment(at).astimezone(now.tzinfo), now
    return f"{there:%H:%M}" if there.date() == here.date() else f"{there:%Y-%m-%d %H:%M}"


def answer_words(procedure: Procedure, step: Step, track: StepTrack) -> str:
    """Return the newest answer to `step` in one line, empty without one."""
    answer = track.attempts[-1].answer if track.attempts else None
    if answer is None:
        return ""
    details = answer.details or {}
    parts = [answer.outcome]
    if answer.number is not None:
        parts.append(f"{answer.words}{_unit(answer.words, answer.unit)}")
    elif answer.entries is not None:
        parts.append(", ".join(answer.entries))
    elif "because" in details:
        parts.append(details["because"])
    elif details:
        names = {item.item: item.name for item in procedure.items_of(step)}
        parts.append("; ".join(f"{names.get(key, key)}: {said}" for key, said in details.items()))
    elif answer.words:
        parts.append(answer.words)
    return " · ".join(part for part in parts if part)


def _unit(words: str, unit: str | None) -> str:
    return f" {unit}" if unit and not words.endswith(unit) else ""
