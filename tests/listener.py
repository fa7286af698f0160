"""A technician who hears the lines of a job, and types: what was heard is all that they know."""

import re
from collections import deque
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from at_the_vehicle import ANSWERS
from bay import START

from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Measure, Record


@dataclass
class Clock:
    """A clock that moves only when it is told to."""

    at: datetime = START

    def __call__(self) -> datetime:
        return self.at

    def move(self, seconds: float) -> None:
        self.at += timedelta(seconds=seconds)


@dataclass
class Typist:
    """Types what was written down before, and keeps everything that was said."""

    clock: Clock
    typed: deque[str]
    heard: list[str] = field(default_factory=list)
    prompts: list[str] = field(default_factory=list)
    leaving: str | None = None
    """Where the person went; None where the lines came to their end."""

    def say(self, text: str) -> None:
        self.heard.append(text)

    def ask(self, prompt: str) -> str:
        self.heard.append(prompt)
        self.prompts.append(prompt)
        self.clock.move(5)
        if not self.typed:
            raise EOFError
        return self.typed.popleft()

    ask_secret = ask

    def told(self, words: str) -> bool:
        """Return whether `words` stand in a line that was said."""
        return any(words in line for line in self.heard)


def values_of(procedure: Procedure) -> dict[str, str]:
    """Return for each step that asks for a value the one to type, by the words of the step."""
    usual = {"number": "20", "date": "2026-11-25", "words": "as found", "list": "", "stations": ""}
    values = {}
    for step in procedure.steps.values():
        if isinstance(step, Measure):
            limit = step.at_least if step.at_least is not None else step.at_most
            values[step.text] = ANSWERS.get(step.id, str(limit if limit is not None else 20))
        elif isinstance(step, Record):
            values[step.text] = ANSWERS.get(step.id, usual[step.takes])
    return values


@dataclass
class Listener:
    """Does what is asked for, the good way, until the job is closed, and then leaves."""

    clock: Clock
    values: Mapping[str, str]
    photo: str
    heard: list[str] = field(default_factory=list)
    since: list[str] = field(default_factory=list)
    """The lines said since the last step began to be read."""
    plan: deque[str] = field(default_factory=deque)
    """What is typed next, whatever is asked."""
    photographed: set[str] = field(default_factory=set)
    borrowed: set[str] = field(default_factory=set)
    waits: int = 0

    def say(self, text: str) -> None:
        self.heard.append(text)
        if re.match(r"Step \d+ of \d+", text):
            self.since = []
        self.since.append(text)

    def ask(self, prompt: str) -> str:
        self.heard.append(prompt)
        self.clock.move(5)
        assert len(self.heard) < 20_000, self.heard[-40:]
        if not self.plan:
            self.plan.extend(self._typed(prompt))
        return self.plan.popleft()

    ask_secret = ask

    def sleep(self, seconds: float) -> None:
        """Let the time of a wait pass."""
        self.waits += 1
        self.clock.move(seconds)

    def _typed(self, prompt: str) -> Iterable[str]:
        if (
            any(line.startswith("Photo: required (") for line in self.since)
            and self.since[0] not in self.photographed
        ):
            self.photographed.add(self.since[0])
            mark = "?" if "; or " in prompt else ""
            return [f"{mark}photo", self.photo]
        borrowing = [line for line in self.since if line.startswith("Goes into the register")]
        if borrowing and self.since[0] not in self.borrowed:
            self.borrowed.add(self.since[0])
            method = borrowing[0].split(": ")[1]
            bears = ("", "") if method.startswith("ground") else ("15", "0.6")
            return ["8", "12 V outlet", method, "socket 14", *bears]
        for words, typed in self._known():
            if words in prompt:
                return typed() if callable(typed) else [typed]
        raise AssertionError(f"asked {prompt!r} after {self.since}")

    def _known(self) -> Iterable[tuple[str, str | Callable[[], Iterable[str]]]]:
        return (
            ("1 It fits", "1"),
            ("I have read this", ""),
            ("Yes, it held", "1"),
            ("Finish list", ""),
            ("7 The other", "7"),
            ("9 The other", "9"),
            ("Number on its label", "M-3"),
            ("Calibration due", "2027-01-31"),
            ("Your staff id", "S1"),
            ("What you looked at", "looked at it alone"),
            ("How long", "3 min"),
            ("Where the figure comes from", "the vehicle maker's manual, page 12"),
            ("wait to stay until it is over", "wait"),
            ("2 Enter the time for this vehicle", "2"),
            ("The wait is over", ""),
            ("Enter alone when the list is complete", self._list),
            ("Work it out", ""),
            ("Slot in the tray", "A1"),
            ("how many", "4"),
            ("came off", "4"),
            ("Close the job?", "2"),
            ("board or quit to leave", "quit"),
            ("; or ", self._value),
            ("1 ", "1"),
        )

    def _list(self) -> Iterable[str]:
        before = [line.split(": ", 1)[1] for line in self.since if line.startswith("Before, ")]
        return [*(before or ("FM 98.1", "FM 101.5")), ""]

    def _value(self) -> Iterable[str]:
        return [next(self.values[line] for line in self.since if line in self.values)]
