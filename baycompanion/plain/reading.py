"""A card read aloud: its lines from first to last, with words in place of signs and colours."""

from collections.abc import Iterable, Iterator
from typing import Any

from baycompanion.plain.words import AT_A_JOB, IN_PRACTICE, MARK
from baycompanion.views.board.board import BoardRow
from baycompanion.views.card.card import Card, Form, Piece, Row
from baycompanion.views.card.place import Line

SIGNS = ("•", "✓", "✗", "!")
"""What words begin with for the eye alone; they say the same without it."""

SIGNALS = ("DANGER", "WARNING", "CAUTION", "NOTICE")


def read_card(card: Card, why: str = "", in_hand: Card | None = None) -> list[str]:
    """Return the lines of `card`: where it stands, its cautions, what to do, what belongs to it.

    `in_hand` is the card that asks meanwhile, where `card` is only looked at.
    """
    mark = mark_at(in_hand or card)
    before, pieces = read_pieces(card.before, mark), read_pieces(card.pieces, mark)
    lines = [f"{card.heading}.", *before, read_words(card.title), *pieces]
    if why:
        lines.append(f"Why: {why}")
    if card.list_entry is not None:
        lines += [f"Before, {n}: {entry}" for n, entry in enumerate(card.list_entry.before, 1)]
    if are_options(card) or card.kind == "gate":
        lines += read_rows(card)
    return lines


def same_card(one: Card, other: Card | None) -> bool:
    """Return whether `other` asks the same as `one`, whatever time has passed between them.

    Two gates that hold the same place may give the same reason; their headings name them.
    """
    return (
        other is not None
        and one.topic == other.topic
        and (one.kind != "gate" or one.heading == other.heading)
    )


def mark_at(card: Card) -> str:
    """Return what is read before a word of the program: a mark, where `card` takes any text."""
    in_rows = any(row.entry is not None for row in card.rows)
    takes_text = in_rows or card.entry is not None or card.list_entry is not None
    return MARK if takes_text else ""


def read_pieces(pieces: Iterable[Piece], mark: str = "") -> list[str]:
    """Return one line for each piece; `mark` stands before a word of the program in it."""
    return [read_words(_without_key(piece, mark)) for piece in pieces]


def _without_key(piece: Piece, mark: str) -> str:
    """Return the words of `piece`, with what is typed in place of the key of the screens."""
    known = (*AT_A_JOB, *IN_PRACTICE)
    name = next((word.name for word in known if word.key == piece.key.casefold()), "")
    return piece.words.replace(piece.key, f"{mark}{name}") if piece.key and name else piece.words


def read_words(words: str) -> str:
    """Return `words` without the sign and the wide space that are made for the eye."""
    for signal in SIGNALS:
        if words.startswith(f"{signal}  "):
            return f"{signal}: {words.removeprefix(signal).strip()}"
    first, _, rest = words.partition(" ")
    return rest if first in SIGNS else words


def without_sign(line: str) -> str:
    """Return `line` without the place-keeping mark that it begins with; its words say the same."""
    first, _, rest = line.partition(" ")
    return rest if len(first) == 1 and not first.isalnum() else line


def read_rows(card: Card) -> list[str]:
    """Return every line of a list with its number, and its answer where it has one."""
    return [f"{n}. {row_name(row)}{_answer(row)}" for n, row in enumerate(card.rows, 1)]


def row_name(row: Row) -> str:
    """Return what one line of a list is called."""
    return f"{row.group}: {row.text}" if row.group else row.text


def _answer(row: Row) -> str:
    return f" – {row.word}" if row.answered else ""


def are_options(card: Card) -> bool:
    """Return whether the lines of `card` are the answers themselves, to be chosen by number."""
    options = all(len(row.keys) == 1 and row.entry is None for row in card.rows)
    return bool(card.rows) and not card.keys and options


def read_form(form: Form[Any]) -> list[str]:
    """Return what is said before the questions of `form`."""
    count = len(form.fields)
    questions = "One question" if count == 1 else f"{count} questions"
    return [form.title, *read_pieces(form.lead), f"{questions}, then: {form.accept}."]


def read_sequence(lines: Iterable[Line]) -> Iterator[str]:
    """Yield the whole sequence: phases, the gates that hold them, steps with their state."""
    for line in lines:
        if line.kind == "phase":
            yield f"Phase: {line.text}"
        elif line.kind == "gate":
            yield f"Gate {line.text}: {line.word}"
        else:
            yield f"{line.number}. {line.text} – {line.word}"


def read_board_row(number: int, row: BoardRow) -> str:
    """Return one job of the board with the number that opens it."""
    return f"{number}. {row.headline}. {row.detail}"
