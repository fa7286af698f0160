"""What is wrong with a file, where, and what to write instead."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal, NamedTuple

from baycompanion.text.clean import clean_sentence
from baycompanion.text.sentence import sentence


class Place(NamedTuple):  # a tuple, since a file has thousands of them
    """A spot in a file; line and column count from 1."""

    file: str
    line: int
    column: int

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One finding: an `error` keeps the file out of use, a `warning` does not."""

    place: Place
    what: str
    instead: str
    weight: Literal["error", "warning"] = "error"

    def __str__(self) -> str:
        note = "" if self.weight == "error" else "warning: "
        told = f"{self.place}: {note}{sentence(self.what)} {sentence(self.instead)}".rstrip()
        return clean_sentence(told)


class BadFile(Exception):
    """A file that cannot be used; carries every problem found in it, in order of place."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(sorted(problems))
        super().__init__("\n".join(map(str, self.problems)))


def quoted(text: str) -> str:
    """Return `text` in quotation marks, cut short after 40 characters."""
    return f"“{text[:40]}…”" if len(text) > 40 else f"“{text}”"


def nearest(word: str, known: Iterable[str]) -> str:
    """Return a sentence that offers the known word nearest to `word`, or lists what is known."""
    import difflib  # only where something is wrong

    names = list(known)
    close = difflib.get_close_matches(word, names, n=1, cutoff=0.7)
    if close:
        return f"Did you mean {close[0]}?"
    if not names:
        return ""
    listed = ", ".join(names[:12]) + (", …" if len(names) > 12 else "")
    return f"Write one of: {listed}."
