"""Pieces of a card as styled text that is never read as markup."""

from collections.abc import Iterable

from textual.content import Content

from baycompanion.views.card.card import Piece, Row, Tone
from baycompanion.views.card.place import Line

STYLES: dict[Tone, str] = {
    "danger": "bold $danger",
    "warning": "bold $warning-word",
    "caution": "bold $caution-word",
    "notice": "bold $notice-word",
    "plain": "",
    "label": "$label-word",
    "quiet": "$quiet-word",
    "good": "bold $good-word",
    "bad": "bold $danger",
    "why": "italic $notice-word",
}


SIGN_STYLES = {"✓": "$good-word", "·": "", "–": "$quiet-word", "?": "$warning-word"}
"""By the sign of a panel that is not marked, its style."""


def pieces(shown: Iterable[Piece]) -> Content:
    """Return pieces as paragraphs."""
    return Content("\n").join(piece(each) for each in shown)


def piece(shown: Piece) -> Content:
    """Return one piece."""
    return Content.styled(shown.words, STYLES[shown.tone])


def row(shown: Row) -> Content:
    """Return one line that is answered by itself: its sign, its answer, its name."""
    tone: Tone = "plain" if not shown.answered else "good" if shown.sign == "✓" else "bad"
    word = f" [{shown.word}]" if shown.word else ""
    group = f"{shown.group}: " if shown.group else ""
    return Content.styled(f"{shown.sign} {group}{shown.text}{word}", STYLES[tone])


_LINE_STYLES = {"✓": "$good-word", "!": "$danger", "»": "$danger", "■": "$warning-word"}


def line(shown: Line) -> Content:
    """Return one line of the sequence."""
    if shown.kind == "phase":
        return Content.styled(shown.text.upper(), "bold $label-word")
    style = _LINE_STYLES.get(shown.sign, "" if shown.sign == "▶" else "$quiet-word")
    if shown.kind == "gate":
        return Content.styled(f"{shown.sign} gate {shown.word}: {shown.text}", style)
    bold = "bold " if shown.sign == "▶" else ""
    word = f"{shown.short} " if shown.short else ""
    return Content.styled(
        f"{shown.sign}{shown.number:>3} {word}{shown.text}", f"{bold}{style}".strip()
    )
