"""Starting a practice from any screen: a form, then the practice in front."""

from collections.abc import Callable, Mapping
from datetime import datetime

from textual.app import App

from baycompanion.screens.form.form import ask
from baycompanion.screens.learning.practice import PracticeScreen
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.problem import BadFile
from baycompanion.views.card.card import First
from baycompanion.working.practice.start import PracticeStarting


def ask_practice(
    app: App[int], shop: Shop, now: Callable[[], datetime], asked: Mapping[str, str]
) -> None:
    """Ask what is practised, with what was `asked` in the form already, and put it in front.

    `asked` may name `procedure`, `by`, `faults`, `seed`: the fields of the form.
    """
    starting = PracticeStarting(shop, now)
    ask(app, starting.form(asked), starting.take, lambda: _open(app, starting))


def begin_practice(
    app: App[int], shop: Shop, now: Callable[[], datetime], asked: Mapping[str, str]
) -> str | None:
    """Begin what was `asked` in full, or go on with it; return why it cannot be done, or None."""
    starting = PracticeStarting(shop, now)
    try:
        first = starting.take(asked)
    except (StoreTrouble, BadFile, ValueError) as trouble:
        return str(trouble).splitlines()[0]
    if first is None:
        _open(app, starting)
    else:
        _ask_first(app, starting, first, asked)
    return None


def _ask_first(
    app: App[int], starting: PracticeStarting, first: First, asked: Mapping[str, str]
) -> None:
    """Ask what comes before the practice; the answers lead on to it."""

    def take(answer: object) -> str | First | None:
        why_not = first.take(answer)
        return why_not if why_not is not None else starting.take(asked)

    ask(app, first.form, take, lambda: _open(app, starting))


def _open(app: App[int], starting: PracticeStarting) -> None:
    """Put the practice in front, if there is one."""
    if starting.practice is not None:
        app.put_in_front(PracticeScreen(starting.practice))  # type: ignore[attr-defined]
