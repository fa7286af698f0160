"""Trainees line by line: each with a number, and a supervisor's word for a release."""

from dataclasses import dataclass, field

from baycompanion.plain.form import ask_form
from baycompanion.plain.job import Now
from baycompanion.plain.terminal import Lines, say_all
from baycompanion.plain.words import (
    AT_TRAINEES,
    find_word,
    marked,
    no_meaning,
    read_help,
    read_number,
)
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble
from baycompanion.views.forms.signing import PinGiven
from baycompanion.views.trainees import (
    Row,
    SignedOff,
    look_form,
    rows,
    sign_off_form,
    take_back_form,
    told,
)
from baycompanion.working.releasing import Releasing, Wanted

QUESTION = "A number to read one, release, take, quit, or ? for help:"


@dataclass
class PlainTrainees:
    """The trainees of a shop, line by line."""

    shop: Shop
    lines: Lines
    now: Now
    who: str | None = None
    """The one who is asked about; None for every one."""
    procedure: str | None = None
    by: str = ""
    """The supervisor who was named beforehand."""
    numbered: list[Row] = field(default_factory=list)
    """What was read last, in the order of its numbers."""

    def walk(self) -> None:
        """Ask which supervisor looks, read, and do what is typed, until the person leaves.

        Raises:
            EOFError: The input is at its end.
        """
        if not ask_form(self.lines, look_form(self._releasing.without_pin, self.by), self._look):
            return
        self._read()
        while self._obey(self.lines.ask(QUESTION)):
            pass

    @property
    def _releasing(self) -> Releasing:
        return Releasing(self.shop, self.now)

    def _look(self, given: PinGiven) -> str | None:
        try:
            self._releasing.look(given.who, given.pin)
        except StoreTrouble as trouble:
            return str(trouble)
        return None

    def _read(self) -> None:
        self.numbered = []
        try:
            standings = self._releasing.standings(self.who, self.procedure)
        except StoreTrouble as trouble:
            self.lines.say(str(trouble))
            return
        if not standings:
            self.lines.say("Nobody on the staff is a trainee.")
        for row in rows(standings):
            if row.of is None:
                self.lines.say(f"{row.text}:")
            else:
                self.numbered.append(row)
                self.lines.say(f"{len(self.numbered)}. {_spoken(row.text)}.")

    def _obey(self, typed: str) -> bool:
        """Do what was typed; return False where the person leaves."""
        if read_number(typed) is not None:
            row = self._numbered(typed)
            say_all(self.lines, (piece.words.strip() for piece in told(row)) if row else ())
            return True
        word = marked(typed)
        said = find_word(typed if word is None else word or "help", AT_TRAINEES)
        if said is None:
            self.lines.say(no_meaning(typed))
        elif said.name in ("release", "take"):
            self._about(said.name, said.rest)
        elif said.name == "again":
            self._read()
        elif said.name == "help":
            say_all(self.lines, ["A number reads one of them.", *read_help(AT_TRAINEES)])
        return said is None or said.name != "quit"

    def _numbered(self, number: str) -> Row | None:
        """Return the line of that number; say where there is none."""
        wanted = read_number(number)
        if wanted is not None and 1 <= wanted <= len(self.numbered):
            return self.numbered[wanted - 1]
        self.lines.say("Type the number of a line that was read, like release 1.")
        return None

    def _about(self, what: str, number: str) -> None:
        row = self._numbered(number)
        if row is None or row.of is None:
            return
        if not row.begun:
            self.lines.say(f"{row.of.who} has begun with nothing yet, so there is none to {what}.")
        elif what == "release":
            self._release(row)
        elif row.of.release is None:
            self.lines.say(f"{row.of.who} has no release for {row.of.procedure}.")
        else:
            self._take_back(row)

    def _release(self, row: Row) -> None:
        standing = row.of
        assert standing is not None

        def take(typed: SignedOff) -> str | None:
            wanted = Wanted(standing.who, standing.procedure, typed.job, typed.until, typed.words)
            self._releasing.sign(wanted, typed.given.who, typed.given.pin)
            return None

        if ask_form(self.lines, sign_off_form(standing, self._releasing.last_day()), take):
            self.lines.say("Signed. It is in the log of the staff.")
            self._read()

    def _take_back(self, row: Row) -> None:
        standing = row.of
        assert standing is not None

        def take(given: PinGiven) -> str | None:
            self._releasing.take_back(standing.who, standing.procedure, given.who, given.pin)
            return None

        if ask_form(self.lines, take_back_form(standing), take):
            self.lines.say(f"{standing.who} works beside a mentor again.")
            self._read()


def _spoken(text: str) -> str:
    """Return a line as it is read out: without signs and columns."""
    return ", ".join(" ".join(part.lstrip("✓!– ").split()) for part in text.split(" · "))
