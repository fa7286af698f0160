"""A sum line by line: which one, what it takes, what it came to, and whether the job keeps it."""

from collections.abc import Callable, Mapping

from baycompanion.plain.form import ask_form
from baycompanion.plain.reading import read_card, without_sign
from baycompanion.plain.terminal import Lines, say_all
from baycompanion.plain.words import is_back, read_number
from baycompanion.text.problem import nearest, quoted
from baycompanion.trade.catalogue import SUMS
from baycompanion.trade.figures import Figures
from baycompanion.trade.kind import SumKind
from baycompanion.views.card.card import Again, Card, Deed, Key
from baycompanion.views.sums import Tried, result_card, sum_form

Keep = Callable[[Deed], None]
"""Keeps a result in the job, and says that it is saved, or why it cannot be."""


def work_sum(lines: Lines, figures: Figures, name: str, keep: Keep | None) -> None:
    """Ask for the sum called `name`, or first for which, and read what it comes to.

    `figures` are the shop's own. Without `keep` there is no job to keep a result in.

    Raises:
        EOFError: The input is at its end.
    """
    kind = _kind(lines, name)
    if kind is None:
        return
    typed: Mapping[str, str] | None = None
    while True:
        tried: list[Tried] = []
        if not ask_form(lines, sum_form(kind, figures, typed), tried.append):
            return
        typed = tried[-1].typed
        card = result_card(tried[-1].worked, in_job=keep is not None)
        say_all(lines, map(without_sign, read_card(card)))
        chosen = _choose(lines, card)
        if chosen is None or not isinstance(chosen.does, Again):
            break
    if keep is not None and chosen is not None and isinstance(chosen.does, Deed):
        keep(chosen.does)


def _kind(lines: Lines, name: str) -> SumKind | None:
    """Return the sum of this name or number; without one, read the list and ask."""
    kinds = list(SUMS.values())
    if not name:
        say_all(lines, (f"{n}. {kind.name}: {kind.title}" for n, kind in enumerate(kinds, 1)))
        name = lines.ask(f"A number from 1 to {len(kinds)}, or Enter for none:")
        name = "" if is_back(name) else name
    number = read_number(name)
    if number is not None and 1 <= number <= len(kinds):
        return kinds[number - 1]
    found = SUMS.get(name.casefold())
    if found is None and name:
        lines.say(f"There is no sum {quoted(name)}. {nearest(name.casefold(), SUMS)}")
    return found


def _choose(lines: Lines, card: Card) -> Key | None:
    """Ask for one of the keys of a result until it is one, or Enter goes back."""
    keys = {key.key: key for key in card.keys if key.key.isdecimal()}
    offers = ", ".join(f"{key.key} {key.label.rstrip('…')}" for key in keys.values())
    while True:
        typed = lines.ask(f"{offers}, or Enter to go back:")
        if typed in keys:
            return keys[typed]
        if not typed or is_back(typed):
            return None
        lines.say(f"{quoted(typed)} is none of them.")
