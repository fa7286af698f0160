"""What a line typed at a card means: an answer, a word of the program, or nothing that it knows."""

from collections.abc import Callable
from dataclasses import dataclass

from baycompanion.plain.prompt import CANNOT, keys_now, takes_text
from baycompanion.plain.reading import are_options
from baycompanion.plain.words import (
    AT_A_JOB,
    Said,
    Word,
    find_word,
    marked,
    read_number,
    unmarked,
)
from baycompanion.text.problem import nearest, quoted
from baycompanion.views.card.card import Card, Deed, Does, Entry, Form, key_called
from baycompanion.views.sentence import first_sentence


@dataclass(frozen=True, slots=True)
class Wrong:
    """The line means nothing here; the sentence says so."""

    sentence: str


@dataclass(frozen=True, slots=True)
class Listed:
    """The line is one more entry of the list."""

    entry: str


@dataclass(frozen=True, slots=True)
class Doubt:
    """The line is an answer that comes out badly, and may be a slip of the hand."""

    deed: Deed
    said: str


Meaning = Does | Said | Wrong | Listed | Doubt

_SHORT = {"cannot": CANNOT, "rest": "9"}
"""Words of the program that stand for a key of the card."""


def understand(
    card: Card,
    row: int | None,
    entries: tuple[str, ...],
    typed: str,
    words: tuple[Word, ...] = AT_A_JOB,
) -> Meaning:
    """Return what `typed` means at `card`, with its line `row` in hand and `entries` in its list.

    `words` are the words of the program that can be typed.

    Where text is an answer, words of the program begin with a question mark.
    """
    word = marked(typed)
    if word is not None:
        return _command(card, row, word or "help", words)
    if not typed:
        return _entered(card, row, entries)
    if takes_text(card, row):
        return _text(card, row, unmarked(typed), words)
    return _chosen(card, row, typed) or _command(card, row, typed, words)


def _entered(card: Card, row: int | None, entries: tuple[str, ...]) -> Meaning:
    """Return what Enter alone means: the key that Enter does too, else to read once more."""
    if card.list_entry is not None:
        return _made(lambda: card.list_entry.make(entries))  # type: ignore[union-attr]
    enter = next((key.does for key in keys_now(card, row) if key.enter), None)
    return enter or Said("again")


def _chosen(card: Card, row: int | None, typed: str) -> Does | None:
    """Return what the key `typed` does, or the key whose label is `typed`; None for neither."""
    number = read_number(typed)
    if are_options(card) and number is not None and 1 <= number <= len(card.rows):
        return card.rows[number - 1].keys[0].does
    key = key_called(keys_now(card, row), typed)
    return key.does if key is not None else None


def _command(card: Card, row: int | None, typed: str, words: tuple[Word, ...]) -> Meaning:
    """Return the word of the program that `typed` is, or the key of the card that it stands for."""
    said = find_word(typed, words)
    name = said.name if said is not None else typed
    key = _SHORT.get(name, name)
    for each in keys_now(card, row):
        if each.key.casefold() == key.casefold():
            return each.does
    if said is None:
        return _unknown(typed, words)
    if said.name in _SHORT:
        return Wrong(f"There is no “{said.name}” here.")
    return said


def _unknown(typed: str, words: tuple[Word, ...]) -> Wrong:
    names = [word.name for word in words]
    near = nearest(typed.casefold(), names)
    offer = f"{near} Or type" if near.startswith("Did") else "Type"
    return Wrong(f"{quoted(typed)} means nothing here. {offer} ? for what can be typed.")


def _text(card: Card, row: int | None, typed: str, words: tuple[Word, ...]) -> Meaning:
    if card.list_entry is not None:
        return Listed(typed)
    entry = card.rows[row].entry if row is not None else card.entry
    assert entry is not None
    meant = _made(lambda: entry.make(typed))
    if isinstance(meant, Deed):
        return _doubted(entry, meant, typed)
    return Wrong(_with_hint(meant.sentence, typed, words)) if isinstance(meant, Wrong) else meant


def _doubted(entry: Entry, deed: Deed, typed: str) -> Deed | Doubt:
    said = entry.says(typed)
    bad = said is not None and said.tone == "bad"
    return Doubt(deed, said.words) if bad and said is not None else deed


def _with_hint(sentence: str, typed: str, words: tuple[Word, ...]) -> str:
    """Add how a word of the program is typed here, if `typed` is one."""
    word = find_word(typed, words)
    return f"{sentence} For the word of the program, type ?{word.name}." if word else sentence


def _made(make: Callable[[], Deed | Form[Deed]]) -> Deed | Form[Deed] | Wrong:
    try:
        return make()
    except ValueError as error:
        return Wrong(first_sentence(error))
