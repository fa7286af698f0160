"""The preview line by line: each screen of a procedure read out, and the file looked at anew."""

import contextlib
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from baycompanion.plain.reading import read_card, read_rows
from baycompanion.plain.terminal import Lines, say_all
from baycompanion.plain.words import marked, no_meaning
from baycompanion.procedure.model import Procedure
from baycompanion.store.draft_file import DraftFile
from baycompanion.views.card.card import Card
from baycompanion.views.procedure.preview import Shown, heading, place_of, screens_of
from baycompanion.views.procedure.preview_choices import (
    Wanted,
    answered,
    choice_lines,
    settled,
    vehicle_line,
)

PROMPT = (
    "Enter for the next screen, b for the one before, a number for that one, q to leave, "
    "or ? for help:"
)
LINES = "l for the lines of the list; "
"""Stands before the prompt where the screen has a list."""
CHOICES = "c for the choices; "
"""Stands before the prompt where the procedure has choices."""
HELP = (
    "Enter reads the next screen, b the one before, and a number the one of that number; l reads "
    "the lines of a list, c asks which vehicle the screens are read for, and q leaves."
)
CHOOSE = "A number and an answer, as in 1 yes; a number alone leaves it open; Enter to go on:"


def talk_preview(path: Path, lines: Lines, now: Callable[[], datetime]) -> bool:
    """Read the procedure at `path` screen by screen; return whether the file is good at the end."""
    talk = _Talk(DraftFile(path), lines, now)
    lines.say("Preview. No job is made. Before each screen, the file is looked at anew.")
    with contextlib.suppress(EOFError):
        while talk.goes_on():
            pass
    return not talk.file.broken


@dataclass
class _Talk:
    """Where the reading stands, and for which vehicle."""

    file: DraftFile
    lines: Lines
    now: Callable[[], datetime]
    number: int = 0
    screens: tuple[Shown, ...] = ()
    wanted: Wanted = field(default_factory=dict)
    is_read: bool = False
    """Whether the screen was read already, as it stands now."""

    def goes_on(self) -> bool:
        """Read the screen if it is another one, and do what is typed; return False to leave."""
        if self.file.look():
            self._tell_problems()
            self._make()
        if not self.is_read:
            self._read()
        self.is_read = True
        card = self._card
        typed = self.lines.ask(_prompt(card, self.file))
        word = marked(typed)
        said = typed if word is None else word or "help"
        if said in ("q", "quit"):
            return False
        if said == "help":
            self.lines.say(HELP)
        elif said == "l" and card is not None and card.rows:
            say_all(self.lines, read_rows(card))
        elif said == "c" and self.file.good is not None and self.file.good.procedure.choices:
            self.wanted = _choose(self.file.good.procedure, self.wanted, self.lines)
            self._make()
        else:
            self._move(said)
        return True

    def _move(self, typed: str) -> None:
        """Go where `typed` leads, or say why it leads nowhere."""
        leads_to = _next(typed, self.number, len(self.screens))
        if isinstance(leads_to, str):
            self.lines.say(leads_to)
        else:
            self.number, self.is_read = leads_to, False

    def _tell_problems(self) -> None:
        say_all(self.lines, self.file.problems or ("No problems.",))
        if self.file.broken and self.file.good is not None:
            self.lines.say("What is read is the file as it was before these errors.")

    def _make(self) -> None:
        """Make the screens anew, and stay at the same one."""
        name = self.screens[self.number].name if self.screens else ""
        if self.file.good is not None:
            procedure = self.file.good.procedure
            self.screens = screens_of(procedure, self.now(), settled(procedure, self.wanted))
            say_all(self.lines, filter(None, [vehicle_line(procedure, self.wanted)]))
        self.number = place_of(self.screens, name, self.number)
        self.is_read = False

    @property
    def _card(self) -> Card | None:
        """What stands on the screen; None before the file was good once."""
        return self.screens[self.number].card if self.screens else None

    def _read(self) -> None:
        if not self.screens or self.file.good is None:
            return
        shown = self.screens[self.number]
        self.lines.say(heading(self.file.good.procedure, self.screens, self.number))
        say_all(self.lines, read_card(shown.card, shown.why))


def _prompt(card: Card | None, file: DraftFile) -> str:
    if card is None:
        return "Save the file and press Enter, or q to leave:"
    lists = LINES if card.rows and card.kind != "gate" else ""
    choices = CHOICES if file.good is not None and file.good.procedure.choices else ""
    return f"{lists}{choices}{PROMPT}"


def _choose(procedure: Procedure, wanted: Wanted, lines: Lines) -> Wanted:
    """Let it be said for which vehicle the screens are read, until Enter alone; return that."""
    known = {str(place): each for place, each in enumerate(procedure.choices, start=1)}
    lines.say("What hangs on an open choice is read, whatever it is.")
    for place, line in enumerate(choice_lines(procedure, wanted), start=1):
        lines.say(f"{place}. {line}.")
    while True:
        typed = lines.ask(CHOOSE)
        if not typed:
            return wanted
        number, _, rest = typed.partition(" ")
        choice, answer = known.get(number), rest.strip()
        if choice is None:
            lines.say(f"There is no choice of that number. Type 1 to {len(known)}.")
        elif answer and answer not in choice.answers:
            lines.say(f"That is no answer to it. Choose one of: {', '.join(choice.answers)}.")
        else:
            wanted = answered(wanted, choice, answer)
            lines.say(f"{number}. {choice_lines(procedure, wanted)[int(number) - 1]}.")


def _next(typed: str, number: int, count: int) -> int | str:
    """Return the number of the screen, counted from 0, that `typed` leads to from `number`.

    Where it leads to no other, the sentence that says so is returned.
    """
    if typed.isdecimal() and len(typed) <= len(str(count)):
        return max(0, min(int(typed), count) - 1)
    if typed == "b" and count:
        return number - 1 if number else "That was the first screen."
    if typed:
        return no_meaning(typed)
    if count and number == count - 1:
        return "That was the last screen."
    return number + 1 if count else 0
