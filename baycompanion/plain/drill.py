"""The drill line by line: a question, its options with a number each, and what is said after."""

from dataclasses import dataclass

from baycompanion.plain.form import ask_form
from baycompanion.plain.reading import read_pieces
from baycompanion.plain.terminal import Lines, say_all
from baycompanion.plain.words import AT_A_DRILL, find_word, marked, no_meaning, read_help
from baycompanion.store.trouble import StoreTrouble
from baycompanion.views.drill import after_answer, outcome_lines
from baycompanion.working.drilling import Sitting
from baycompanion.working.learner import Learner


@dataclass
class PlainDrill:
    """One sitting, line by line."""

    sitting: Sitting
    lines: Lines

    def walk(self) -> None:
        """Ask until nothing is left or the person leaves, and say what came of it.

        Raises:
            EOFError: The input is at its end; every answer before is kept.
        """
        if self.sitting.question is not None:
            self.lines.say(f"Drill of {self.sitting.who.id}. Questions: {self.sitting.total}.")
        while self.sitting.question is not None:
            self._read()
            if not self._answered():
                break
            self.sitting.go_on()
        say_all(self.lines, outcome_lines(self.sitting.outcome(), self.sitting.now()))

    def _read(self) -> None:
        """Read the question in hand."""
        sitting, question = self.sitting, self.sitting.question
        assert question is not None
        again = ", once more" if sitting.comes_again else ""
        self.lines.say(f"Question {sitting.number} of {sitting.total}{again}.")
        say_all(self.lines, question.lead)
        self.lines.say(question.asks)
        for number, option in enumerate(question.options, 1):
            self.lines.say(f"{number}. {option.words}")

    def _answered(self) -> bool:
        """Take what is typed until the question is answered; return False where they leave."""
        while self.sitting.verdict is None:
            typed = self.lines.ask(self._prompt())
            given = self._options(typed)
            if given is not None:
                self._answer(given)
            elif self._obey(typed) == "quit":
                return False
        return True

    def _prompt(self) -> str:
        options = len(self.sitting.question.options) if self.sitting.question is not None else 0
        if self.sitting.wanted > 1:
            example = " ".join(str(number) for number in range(options, 0, -1))
            return f"All {options} numbers in order, like {example}; hint, quit, or ? for help:"
        return f"A number from 1 to {options}, hint, quit, or ? for help:"

    def _options(self, typed: str) -> tuple[str, ...] | None:
        """Return the options whose numbers were typed, as many as are wanted; None for others."""
        assert self.sitting.question is not None
        options = self.sitting.question.options
        numbers = (
            [int(digit) for digit in typed.replace(",", " ").replace(" ", "")]
            if (typed.replace(",", " ").replace(" ", "").isdecimal())
            else []
        )
        good = len(set(numbers)) == self.sitting.wanted == len(numbers)
        if not good or not all(1 <= number <= len(options) for number in numbers):
            return None
        return tuple(options[number - 1].name for number in numbers)

    def _answer(self, given: tuple[str, ...]) -> None:
        question, helped = self.sitting.question, bool(self.sitting.hint)
        assert question is not None
        try:
            verdict = self.sitting.answer(given)
        except StoreTrouble as trouble:
            self.lines.say(str(trouble))
            return
        say_all(self.lines, read_pieces(after_answer(question, verdict, helped)))

    def _obey(self, typed: str) -> str:
        """Do what was typed that is no answer; return the word for it, or nothing."""
        word = marked(typed)
        said = find_word(typed if word is None else word or "help", AT_A_DRILL)
        if said is None:
            self.lines.say(no_meaning(typed, "is no answer here"))
            return ""
        if said.name == "hint":
            self.lines.say(f"Hint: {self.sitting.help()}")
        elif said.name == "again":
            self._read()
        elif said.name == "help":
            say_all(self.lines, ["A number answers the question.", *read_help(AT_A_DRILL)])
        return said.name


def drill_proved(sitting: Sitting, lines: Lines) -> None:
    """Ask for the PIN of whoever is drilled, where they have one, and then the questions.

    Raises:
        EOFError: The input is at its end; every answer before is kept.
    """
    learner = Learner(sitting.shop, sitting.now)
    first = learner.come(sitting.who.id)
    if first is not None and not ask_form(lines, first.form, first.take):
        return
    sitting.who = learner.who or sitting.who
    PlainDrill(sitting, lines).walk()
