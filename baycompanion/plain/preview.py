"""The preview line by line: each screen of a procedure read out, and the file looked at anew."""

import contextlib
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from baycompanion.plain.reading import read_card, read_rows
from baycompanion.plain.terminal import Lines, say_all
from baycompanion.store.draft_file import DraftFile
from baycompanion.views.card import Card
from baycompanion.views.preview import Shown, heading, place_of, screens_of

PROMPT = "Enter for the next screen, b for the one before, a number for that one, q to leave:"
LINES = "l for the lines of the list; "
"""Stands before the prompt where the screen has a list."""


def talk_preview(path: Path, lines: Lines, now: Callable[[], datetime]) -> bool:
    """Read the procedure at `path` screen by screen; return whether the file is good at the end."""
    file = DraftFile(path)
    lines.say("Preview. No job is made. Before each screen, the file is looked at anew.")
    number, screens = 0, tuple[Shown, ...]()
    with contextlib.suppress(EOFError):
        while True:
            if file.look():
                say_all(lines, file.problems or ("No problems.",))
                if file.broken and file.good is not None:
                    lines.say("What is read is the file as it was before these errors.")
                name = screens[number].name if screens else ""
                if file.good is not None and not file.broken:
                    screens = screens_of(file.good.procedure, now())
                number = place_of(screens, name, number)
            card = None
            if screens and file.good is not None:
                card = screens[number].card
                lines.say(heading(file.good.procedure, screens, number))
                say_all(lines, read_card(card, screens[number].why))
            typed = lines.ask(_prompt(card))
            if typed == "l" and card is not None and card.rows:
                say_all(lines, read_rows(card))
                typed = lines.ask(PROMPT)
            if typed in ("q", "quit"):
                break
            number = _next(typed, number, len(screens), lines)
    return not file.broken


def _prompt(card: Card | None) -> str:
    if card is None:
        return "Save the file and press Enter, or q to leave:"
    return f"{LINES}{PROMPT}" if card.rows and card.kind != "gate" else PROMPT


def _next(typed: str, number: int, count: int, lines: Lines) -> int:
    """Return the number of the screen, counted from 0, that `typed` leads to from `number`."""
    if typed == "b":
        return max(0, number - 1)
    if typed.isdecimal() and len(typed) <= len(str(count)):
        return max(0, min(int(typed), count) - 1)
    if typed:
        lines.say("That is none of these.")
        return number
    if count and number == count - 1:
        lines.say("That was the last screen.")
        return number
    return min(number + 1, max(0, count - 1))
