"""What steps and answers hold, in the words that screens, lines and paper share."""

import re
from datetime import datetime

from baycompanion.job.events.kinds import Answered
from baycompanion.job.events.moment import read_moment
from baycompanion.procedure.cautions import Torque
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Count, Step
from baycompanion.text.reading import write_number


def moment_words(at: str, now: datetime) -> str:
    """Return a moment of the journal as the clock on the wall showed it, in the zone of `now`.

    The day is left out where it is today.
    """
    there = read_moment(at).astimezone(now.tzinfo)
    return f"{there:%H:%M}" if there.date() == now.date() else f"{there:%Y-%m-%d %H:%M}"


def torque_words(torque: Torque) -> str:
    """Return a torque with its band, its tool, its order of tightening and its source."""
    parts = [f"{torque.fastener} into {torque.into}:"]
    if torque.value is not None:
        band = f" ± {write_number(torque.plus_minus)}" if torque.plus_minus is not None else ""
        parts.append(f"{write_number(torque.value)}{band} {torque.unit},")
    parts.append(f"{torque.tool}.")
    if torque.pattern:
        parts.append(f"Order: {torque.pattern.rstrip('.')}.")
    parts.append(f"From: {torque.source.rstrip('.')}.")
    return " ".join(parts)


def answer_words(procedure: Procedure, step: Step, answer: Answered) -> str:
    """Return an answer to `step` in one line; lines of a list by their names, never their ids."""
    details = answer.details or {}
    parts = [answer.outcome]
    if answer.number is not None:
        parts.append(reading_words(answer))
    elif answer.entries is not None:
        parts.append(", ".join(answer.entries))
    elif answer.settled:
        parts.append(_settled(procedure, answer.settled))
    elif "because" in details:
        parts.append(details["because"])
    elif details:
        parts.append("; ".join(details_words(procedure, step, details)))
    elif answer.words:
        parts.append(answer.words)
    if answer.entries is not None and "warning" in details:
        parts.append(f"Warning: {details['warning']}")
    return " · ".join(part for part in parts if part)


_BARE_COUNT = re.compile(r"[0-9]+ out, [0-9]+ back")
"""What was kept of a line of a count before the lines named their panel."""


def details_words(procedure: Procedure, step: Step, details: dict[str, str]) -> list[str]:
    """Return what is kept beside an answer, by the names of lines and the texts of steps.

    A line of a count names its panel itself.
    """
    if isinstance(step, Count) and not any(map(_BARE_COUNT.fullmatch, details.values())):
        return list(details.values())
    names = {item.item: item.name for item in procedure.items_of(step)}
    texts = {name: each.text.rstrip(".") for name, each in procedure.steps.items()}
    return [f"{names.get(key) or texts.get(key, key)}: {said}" for key, said in details.items()]


def _settled(procedure: Procedure, settled: dict[str, str]) -> str:
    """Return the choices that were settled together, those of one answer side by side."""
    titles = {choice.choice: choice.title for choice in procedure.choices}
    said: dict[str, list[str]] = {}
    for name in sorted(settled, key=list(titles).index if settled.keys() <= titles.keys() else str):
        said.setdefault(settled[name], []).append(titles.get(name, name))
    return "; ".join(f"{answer}: {', '.join(names)}" for answer, names in said.items())


def undone_words(name: str, outcome: str, words: str) -> str:
    """Return which line of a list is not done: how it came out, and what was said of it."""
    return f"{name} ({', '.join(filter(None, (outcome, words)))})"


def reading_words(answer: Answered) -> str:
    """Return a reading as it was typed, with its unit."""
    bare = not answer.unit or answer.words.endswith(answer.unit)
    return answer.words if bare else f"{answer.words} {answer.unit}"
