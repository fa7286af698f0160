"""A card that is read and not answered: without keys and fields, its lines as paragraphs."""

from dataclasses import replace

from baycompanion.views.card.card import Card, Piece


def only_read_card(card: Card) -> Card:
    """Return `card` without anything that answers it."""
    lines = (Piece("plain", f"{row.sign} {row.text} {row.word}".strip()) for row in card.rows)
    return replace(
        card,
        pieces=(*card.pieces, *lines),
        keys=(),
        entry=None,
        list_entry=None,
        rows=(),
    )
