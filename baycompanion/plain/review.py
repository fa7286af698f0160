"""The review line by line: gates and findings with a number each, and a supervisor's word."""

from dataclasses import dataclass, field

from baycompanion.audit.findings import Finding
from baycompanion.audit.review.finding_events import people_in
from baycompanion.audit.review.histories import gate_history, person_history, procedure_history
from baycompanion.audit.review.reviewing import GateSeen, Reviewing
from baycompanion.audit.review.rows import Row, Shown, large, rows
from baycompanion.plain.form import ask_form
from baycompanion.plain.terminal import Lines, say_all
from baycompanion.plain.words import (
    AT_THE_REVIEW,
    find_word,
    marked,
    no_meaning,
    read_help,
    read_number,
)
from baycompanion.store.trouble import StoreTrouble
from baycompanion.views.forms.review_forms import decide_form, looked_form, person_form
from baycompanion.views.forms.signing import PinGiven

QUESTION = "A number to read one, look, decide, history, person, open, audit, quit, or ? for help:"


HOW = {"list": Shown(), "open": Shown(all_findings=False), "gates": Shown(all_gates=True)}
"""By the word for it, what is read of a review."""


@dataclass
class PlainReview:
    """A review of some shops, line by line."""

    reviewing: Reviewing
    lines: Lines
    leads_to: str = ""
    """Where leaving leads, if it does not end the program."""
    numbered: list[Row] = field(default_factory=list)
    """What was read last, in the order of its numbers."""

    def walk(self) -> None:
        """Audit, read, and do what is typed, until the person leaves.

        Raises:
            EOFError: The input is at its end.
        """
        self._audit()
        while self._obey(self.lines.ask(QUESTION)):
            pass

    def _audit(self) -> None:
        self.lines.say("Auditing.")
        self.reviewing.audit(lambda jobs: True)
        say_all(self.lines, self.reviewing.unread)
        self._read(Shown())

    def _read(self, how: Shown) -> None:
        seen = self.reviewing
        self.lines.say(
            f"Review. Jobs: {seen.jobs}. Findings: {len(seen.findings)}. Not looked at yet: "
            f"{len(seen.waiting)}.{f' Not read: {len(seen.unread)}.' if seen.unread else ''}"
        )
        self.numbered = []
        for row in rows(seen, how):
            if row.of is None:
                self.lines.say(f"{row.text}.")
            else:
                self.numbered.append(row)
                self.lines.say(f"{len(self.numbered)}. {_spoken(row.text)}")

    def _obey(self, typed: str) -> bool:
        """Do what was typed; return False where the person leaves."""
        if read_number(typed) is not None:
            of = self._numbered(typed)
            if of is not None:
                say_all(self.lines, (piece.words for piece in large(self.reviewing, of)))
            return True
        word = marked(typed)
        said = find_word(typed if word is None else word or "help", AT_THE_REVIEW)
        if said is None:
            self.lines.say(no_meaning(typed))
        elif said.name in ("look", "decide", "history", "person"):
            self._about(said.name, said.rest)
        elif said.name == "audit":
            self._audit()
        elif said.name in HOW:
            self._read(HOW[said.name])
        elif said.name == "help":
            say_all(self.lines, ["A number reads one of them.", *read_help(AT_THE_REVIEW)])
        elif self.leads_to:
            self.lines.say(f"Back to {self.leads_to}.")
        return said is None or said.name != "quit"

    def _numbered(self, typed: str) -> GateSeen | Finding | None:
        """Return the gate or the finding of that number; say where there is none."""
        number = read_number(typed)
        if number is not None and 1 <= number <= len(self.numbered):
            return self.numbered[number - 1].of
        self.lines.say("Type the number of a gate or a finding that was read.")
        return None

    def _about(self, what: str, number: str) -> None:
        if not number:
            self.lines.say(f"Say which one, by its number: {what} 1, for instance.")
            return
        of = self._numbered(number)
        gate = self.reviewing.gate_of(of) if isinstance(of, Finding) else of
        if of is None:
            return
        if what == "look" and isinstance(of, Finding):
            self._look(of)
        elif what == "person" and isinstance(of, Finding):
            self._person(of)
        elif what in ("look", "person"):
            self.lines.say("That is a gate. Type the number of a finding.")
        elif gate is None and what == "history" and isinstance(of, Finding) and of.job:
            history = procedure_history(self.reviewing, of)
            say_all(self.lines, (piece.words for piece in history))
        elif gate is None:
            self.lines.say("That is about no gate.")
        elif what == "decide":
            self._decide(gate)
        else:
            say_all(self.lines, (piece.words for piece in gate_history(self.reviewing, gate)))

    def _look(self, finding: Finding) -> None:
        form = looked_form(finding.sentence, self.reviewing.without_pin(finding.shop))
        if ask_form(self.lines, form, lambda said: self.reviewing.look(finding, said)):
            self._kept()

    def _decide(self, gate: GateSeen) -> None:
        form = decide_form(gate.count.names, self.reviewing.without_pin(gate.shop))
        if ask_form(self.lines, form, lambda chosen: self.reviewing.decide(gate, chosen)):
            self._kept()

    def _kept(self) -> None:
        """Say so, and take what was said into the rows, which keep their numbers."""
        self.lines.say("Kept. No record was touched.")
        now = {finding.key: finding for finding in self.reviewing.findings}
        gates = {(gate.shop, gate.key): gate for gate in self.reviewing.gates()}
        self.numbered = [
            Row(row.text, now.get(row.of.key, row.of))
            if isinstance(row.of, Finding)
            else Row(row.text, gates[row.of.shop, row.of.key] if row.of is not None else None)
            for row in self.numbered
        ]

    def _person(self, finding: Finding) -> None:
        people = people_in(finding)
        if not people:
            self.lines.say("Nobody stands behind this in a journal that can be read.")
            return

        def take(given: tuple[str, PinGiven]) -> str | None:
            try:
                self.reviewing.prove(finding.shop, given[1])
            except StoreTrouble as trouble:
                return str(trouble)
            history = person_history(self.reviewing, finding.shop, given[0])
            say_all(self.lines, (piece.words for piece in history))
            return None

        form = person_form(people, self.reviewing.without_pin(finding.shop))
        ask_form(self.lines, form, take)


def _spoken(text: str) -> str:
    """Return a row as it is read out: without signs and columns."""
    unsigned = text.removeprefix("✓ ").removeprefix("· ").replace(" ✓ ", ", ").replace(" · ", ", ")
    return " ".join(unsigned.split())
