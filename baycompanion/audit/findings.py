"""What an audit finds: a rule, the evidence by number, and a plain sentence; never a score."""

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Literal

from baycompanion.job.events.chain import canonical
from baycompanion.store.review import Word

Weight = Literal["grave", "serious", "minor"]

WEIGHTS: tuple[Weight, ...] = ("grave", "serious", "minor")
"""Grave: a record may not be what it was. Serious: something that vouches for it, or for the
work, is not there. Minor: worth a look."""


@dataclass(frozen=True, slots=True)
class Rule:
    """One thing that an audit looks for. A rule's `id` is a stable word, never renamed."""

    id: str
    weight: Weight
    people: bool = False
    """Whether it asks about people: those stand last among what weighs the same."""


@dataclass(frozen=True, slots=True)
class Finding:
    """One finding: what is there and what to look at."""

    rule: Rule
    sentence: str
    job: str = ""
    """The name of the job's folder; nothing where the shop's ledger as a whole is meant."""
    events: tuple[int, ...] = ()
    """The events of the job that show it, by their numbers."""
    entries: tuple[int, ...] = ()
    """The entries of the ledger that show it, by their numbers."""
    shop: str = ""
    """The shop folder."""
    about: str = ""
    """What it is about besides its job: a gate, a person, a step; the same in every audit."""
    words: tuple[Word, ...] = ()
    """What was said by those who looked at it, the newest first."""

    @property
    def key(self) -> str:
        """What tells it from any other finding of its shop, the same in every audit: 16 hex digits.

        It covers neither the sentence, of which the figures move on, nor where the shop lies.
        """
        told = {
            "rule": self.rule.id,
            "job": self.job,
            "events": list(self.events),
            "entries": list(self.entries),
            "about": self.about,
        }
        return hashlib.sha256(canonical(told)).hexdigest()[:16]

    @property
    def place(self) -> tuple[int, bool, str, str, tuple[int, ...], tuple[int, ...], str, str]:
        """Where it stands among others: by weight, people last, then by shop, job and evidence."""
        weight = WEIGHTS.index(self.rule.weight)
        people = self.rule.people
        evidence = (self.entries, self.events)
        return weight, people, self.shop, self.job, *evidence, self.rule.id, self.about

    @property
    def evidence(self) -> str:
        """The evidence in words, or nothing where it is the absence of something."""
        parts = []
        if self.events:
            parts.append(f"{_noun('event', self.events)} {spans(self.events)}")
        if self.entries:
            several = len(set(self.entries)) > 1  # one that stands there twice has one number
            noun = "ledger entries" if several else "ledger entry"
            parts.append(f"{noun} {spans(self.entries)}")
        return "; ".join(parts)

    @property
    def looked_at(self) -> Word | None:
        """The newest word of whoever looked at it."""
        return self.words[0] if self.words else None

    @property
    def told_words(self) -> tuple[str, ...]:
        """Of each who looked at it, the newest first, who, when, and their word for it.

        All of them: a word on one's own doing must not hide that of somebody who stands apart.
        """
        return tuple(map(_told, self.words))

    def as_dict(self) -> dict[str, Any]:
        """Return the finding as programs read it."""
        return {
            "key": self.key,
            "rule": self.rule.id,
            "weight": self.rule.weight,
            "shop": self.shop,
            "job": self.job or None,
            "about": self.about or None,
            "events": list(self.events),
            "ledger_entries": list(self.entries),
            "sentence": self.sentence,
            "looked_at": _as_dict(self.words[0]) if self.words else None,
            "words": [_as_dict(word) for word in self.words],
        }


def _told(word: Word) -> str:
    own = ", whose own doing it is," if word.own else ""
    return f"Looked at by {word.by}{own} on {word.day}: “{word.words}”"


def _as_dict(word: Word) -> dict[str, str | bool]:
    return {"by": word.by, "at": word.at, "words": word.words, "own": word.own}


def _noun(word: str, numbers: tuple[int, ...]) -> str:
    return word if len(numbers) == 1 else f"{word}s"


def spans(numbers: Iterable[int]) -> str:
    """Return `numbers` in words, runs of three or more as a span: `2, 5 to 9`."""
    runs: list[list[int]] = []
    for number in sorted(set(numbers)):
        if runs and number == runs[-1][1] + 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    told = []
    for first, last in runs:
        between = " to " if last > first + 1 else ", "
        told.append(f"{first}" if first == last else f"{first}{between}{last}")
    return ", ".join(told)
