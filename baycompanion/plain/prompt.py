"""The question at the end of what was read: what can be typed now, in words."""

from baycompanion.plain.reading import are_options, row_name
from baycompanion.views.card.card import Card, Entry, Key, Row

CANNOT = "F7"
"""The key of a card that says why there is no answer of the usual kind, or adds to that answer."""

CANNOT_LABELS = ("Cannot", "Not done")
"""How the key is called where there is no answer."""


def takes_text(card: Card, row: int | None) -> bool:
    """Return whether a line typed at `card` is an answer as it stands."""
    in_rows = row is not None and card.rows[row].entry is not None
    return in_rows or card.entry is not None or card.list_entry is not None


def row_in_hand(card: Card, chosen: int | None) -> int | None:
    """Return which line of a list is asked for: the one chosen, else the first without an answer.

    None where the card has no such list, or each line has its answer.
    """
    if are_options(card):
        return None
    if chosen is not None and chosen < len(card.rows):
        return chosen
    return next((n for n, row in enumerate(card.rows) if not row.answered), None)


def keys_now(card: Card, row: int | None) -> list[Key]:
    """Return the keys that answer now: those of the line in hand, then the card's own."""
    return [*(card.rows[row].keys if row is not None else ()), *card.keys]


def prompt(card: Card, row: int | None, entries: int = 0, more: str = "") -> str:
    """Return the question for `card`: the line in hand, its keys in words, and the way to help.

    `entries` counts what stands in a list being typed; `more` is what else can be typed.
    """
    mark = "?" if takes_text(card, row) else ""
    keys = [_key_words(key, mark) for key in keys_now(card, row)]
    if len(card.rows) > 1 and not are_options(card):
        keys.append(f"{mark}line and a number for another line")
    if are_options(card):
        keys.append(f"a number from 1 to {len(card.rows)}")
    offered = ", ".join([*keys, *([f"{mark}{more}"] if more else []), "? for help"])
    asked = _asked(card, row, entries)
    return f"{asked}; or {offered}:" if asked and mark else f"{asked} {offered}:".strip()


def _asked(card: Card, row: int | None, entries: int) -> str:
    """Return what is asked for, where that is not the title of the card."""
    if card.list_entry is not None:
        return f"Entry {entries + 1}, or Enter alone when the list is complete"
    if row is not None and card.kind == "gate" and len(card.rows) == 1:
        return ""  # what a gate waits for was read, and there is nothing to tell it from
    if row is not None:
        return _asked_of_row(card, row)
    if card.entry is not None:
        label, hint = card.entry.label, card.entry.hint
        return f"{label} ({hint})" if hint and not label.endswith(hint) else label
    return "Every line has an answer:" if _is_answered(card) else ""


def _is_answered(card: Card) -> bool:
    return bool(card.rows) and all(row.answered for row in card.rows)


def _asked_of_row(card: Card, row: int) -> str:
    line = card.rows[row]
    so_far = f", until now {line.word}" if line.answered else ""
    where = f"Line {row + 1} of {len(card.rows)}, {row_name(line).rstrip('.')}{so_far}"
    return f"{where}: {_asked_in(line.entry, line)}" if line.entry is not None else f"{where}:"


def _asked_in(entry: Entry, line: Row) -> str:
    """Return what is typed for `line`, without the label that is its own name again."""
    if line.text.startswith(entry.label):
        return entry.hint
    return f"{entry.label[:1].lower()}{entry.label[1:]}, {entry.hint}"


def _key_words(key: Key, mark: str) -> str:
    label = key.label.replace("…", "")
    if key.key == CANNOT and label in CANNOT_LABELS:
        return f"{mark}cannot" if label == "Cannot" else f"{mark}cannot ({label.lower()})"
    enter = " (or Enter)" if key.enter else ""
    return f"{mark}{key.key} {label}{enter}"
