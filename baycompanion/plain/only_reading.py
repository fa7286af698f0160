"""A job to read line by line, where it cannot be opened: what it stands at, and its other steps."""

from typing import Literal

from baycompanion.plain.reading import read_card, read_sequence, without_sign
from baycompanion.plain.talk import Leaving
from baycompanion.plain.terminal import Lines, say_all
from baycompanion.plain.words import (
    AT_READING,
    find_word,
    marked,
    no_meaning,
    read_help,
    read_number,
)
from baycompanion.views.card import place
from baycompanion.views.card.card import Card
from baycompanion.working.only_reading import OnlyReading

QUESTION = "Only to read. A step's number to look at it, steps, open, board, or ? for help:"


def read_only(reading: OnlyReading, lines: Lines) -> Leaving | Literal["open"]:
    """Read the job until the person goes, or wants to try once more to open it.

    Raises:
        EOFError: The input is at its end.
    """
    lines.say(place.where(reading.job.procedure, reading.job.state))
    _read(reading, lines)
    while True:
        typed = lines.ask(QUESTION)
        if reading.follow():
            lines.say("The job went on elsewhere meanwhile.")
        word = marked(typed)
        name = typed or "again" if word is None else word or "help"
        number = read_number(name)
        said = find_word(name, AT_READING)
        if number is not None:
            _look(reading, lines, number)
        elif said is None:
            lines.say(no_meaning(typed))
        elif said.name == "again":
            _read(reading, lines)
        elif said.name == "steps":
            job = reading.job
            say_all(lines, read_sequence(place.sequence(job.procedure, job.state)))
        elif said.name == "help":
            say_all(lines, ["A number reads that step.", *read_help(AT_READING)])
        elif said.name == "open":
            return "open"
        else:
            return "quit" if said.name == "quit" else "board"


def _read(reading: OnlyReading, lines: Lines) -> None:
    """Say why it can only be read, and what the job stands at."""
    procedure, state = reading.job.procedure, reading.job.state
    standing = without_sign(place.standing_line(procedure, state))
    card = reading.card
    phase = place.phase_above(card, procedure, state, reading.moment)
    say_all(lines, filter(None, (reading.why, phase, standing)))
    _say(card, lines)


def _look(reading: OnlyReading, lines: Lines, number: int) -> None:
    steps = list(reading.job.procedure.steps.values())
    if 1 <= number <= len(steps):
        _say(reading.look_card(steps[number - 1]), lines, steps[number - 1].why or "")
    else:
        lines.say(f"Type the number of a step, from 1 to {len(steps)}.")


def _say(card: Card, lines: Lines, why: str = "") -> None:
    say_all(lines, read_card(card, why))
