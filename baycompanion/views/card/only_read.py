"""A card that is read and not answered: without keys and fields, its lines as paragraphs."""

from dataclasses import replace

from baycompanion.views.card.card import Card, Piece


def only_read_card(card: Card) -> Card:
    """Return `card` without anything that answers it."""
    said = (_without_key(piece) for piece in card.pieces if not _is_offer(piece))
    lines = (Piece("plain", f"{row.sign} {row.text} {row.word}".strip()) for row in card.rows)
    return replace(
        card,
        pieces=(*said, *lines),
        keys=(),
        entry=None,
        list_entry=None,
        rows=(),
    )


def _is_offer(piece: Piece) -> bool:
    """Return whether `piece` does nothing but offer a key, which a reader does not have."""
    return bool(piece.key) and piece.tone == "plain"


def _without_key(piece: Piece) -> Piece:
    """Return what is asked for, like a photo, without the key that answers it."""
    return Piece(piece.tone, piece.words.replace(f" ({piece.key})", ""))
