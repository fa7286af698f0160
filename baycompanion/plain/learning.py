"""Learning line by line: who it is, then every procedure with a number, which drills it."""

from dataclasses import dataclass, field

from baycompanion.job.deciding.draft import Person
from baycompanion.plain.drill import PlainDrill
from baycompanion.plain.form import ask_form
from baycompanion.plain.job import Now
from baycompanion.plain.practice import begin_by_lines
from baycompanion.plain.terminal import Lines, say_all
from baycompanion.plain.trainees import PlainTrainees
from baycompanion.plain.words import (
    AT_LEARNING,
    Said,
    find_word,
    marked,
    no_meaning,
    read_help,
    read_number,
)
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble
from baycompanion.views.drill import ONLY_PRACTICE, due_words, phase_form, standing_words
from baycompanion.working.drilling import Wish, sit_with
from baycompanion.working.learner import Learner
from baycompanion.working.to_learn import ToLearn, to_learn, to_practise

QUESTION = "A number to be drilled, all, phase, practise, quit, or ? for help:"


@dataclass
class PlainLearning:
    """What one person may learn, line by line."""

    shop: Shop
    lines: Lines
    now: Now
    numbered: list[ToLearn] = field(default_factory=list)
    """What was read last, in the order of its numbers."""

    def walk(self) -> None:
        """Ask who it is, read what there is, and do what is typed, until the person leaves.

        Raises:
            EOFError: The input is at its end.
        """
        learner = Learner(self.shop, self.now)
        if not ask_form(self.lines, learner.form(), learner.take) or learner.who is None:
            return
        self._read(learner.who)
        while self._obey(learner.who, self.lines.ask(QUESTION)):
            pass

    def _read(self, who: Person) -> None:
        rows: list[ToLearn] = []
        try:
            rows.extend(to_learn(self.shop, who, self.now()))
        except StoreTrouble as trouble:
            self.lines.say(str(trouble))
            rows = rows or list(to_practise(self.shop))
        self.numbered = rows
        for number, row in enumerate(self.numbered, 1):
            self.lines.say(f"{number}. {_row(row)}")

    def _obey(self, who: Person, typed: str) -> bool:
        """Do what was typed; return False where the person leaves."""
        if read_number(typed) is not None:
            self._drill(who, typed, Wish())
            return True
        word = marked(typed)
        said = find_word(typed if word is None else word or "help", AT_LEARNING)
        if said is None:
            self.lines.say(no_meaning(typed))
        elif said.name == "all":
            self._drill(who, said.rest, Wish(all_cards=True))
        elif said.name == "phase":
            self._drill_phase(who, said)
        elif said.name == "practise":
            self._practise(who, said.rest)
        elif said.name == "trainees":
            PlainTrainees(self.shop, self.lines, self.now).walk()
        elif said.name == "again":
            self._read(who)
        elif said.name == "help":
            say_all(self.lines, ["A number drills what is due of it.", *read_help(AT_LEARNING)])
        return said is None or said.name != "quit"

    def _drill_phase(self, who: Person, said: Said) -> None:
        row = self._numbered(said.rest)
        if row is None or row.deck is None:
            return
        chosen: list[str] = []
        form = phase_form({phase.title: phase.phase for phase in row.deck.procedure.phases})
        if ask_form(self.lines, form, chosen.append):
            self._drill(who, said.rest, Wish(phase=chosen[-1], all_cards=True))

    def _practise(self, who: Person, number: str) -> None:
        """Ask how it is practised, and walk through it; however it is left, the list comes back."""
        row = self._numbered(number)
        if row is not None:
            asked = {"procedure": row.procedure, "by": who.id}
            begin_by_lines(self.shop, self.lines, self.now, asked, in_full=False)
            self._read(who)

    def _drill(self, who: Person, number: str, wish: Wish) -> None:
        row = self._numbered(number)
        if row is None:
            return
        if row.deck is None:
            self.lines.say(row.trouble)
            return
        try:
            sitting = sit_with(self.shop, who, [row.deck], wish, self.now)
        except StoreTrouble as trouble:
            self.lines.say(str(trouble))
            return
        PlainDrill(sitting, self.lines).walk()
        self._read(who)

    def _numbered(self, number: str) -> ToLearn | None:
        """Return the procedure of that number; say where there is none."""
        wanted = read_number(number)
        if wanted is not None and 1 <= wanted <= len(self.numbered):
            return self.numbered[wanted - 1]
        self.lines.say("Type the number of a procedure that was read, like all 1.")
        return None


def _row(row: ToLearn) -> str:
    if row.deck is None:
        return row.trouble
    if row.standing is None:
        return f"{row.deck.procedure.title}: {ONLY_PRACTICE}."
    told = due_words(row.standing.due, row.new_today).replace(" · ", ", ")
    return f"{row.deck.procedure.title}: {told}. {standing_words(row.standing)}"
