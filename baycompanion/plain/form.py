"""A form asked question by question, with a way out at each of them."""

from collections.abc import Callable
from typing import TypeVar

from baycompanion.plain.reading import read_form
from baycompanion.plain.terminal import Lines, say_all
from baycompanion.plain.words import BACK, marked, read_number, unmarked
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.problem import BadFile, quoted
from baycompanion.views.card.card import Field, First, Form
from baycompanion.views.sentence import first_sentence

T = TypeVar("T")
Take = Callable[[T], str | First | None]
"""Takes what the answers make; returns why the form stays open: a sentence, or what comes first."""

HELP = (
    "Answer the question, and press Enter. Enter alone keeps what was typed before, if anything.",
    "?back leaves the form, and nothing is done. An answer that begins with ? begins with ??.",
)


EMPTY = "empty"
"""Said, with its mark, to empty a question that kept what was typed before."""


class _Left(Exception):
    """The person left the form."""


def ask_form(lines: Lines, form: Form[T], take: Take[T]) -> bool:
    """Ask `form` until `take` accepts what its answers make; return False if the person leaves it.

    Where the answers are refused, they are asked for again, and Enter keeps what was typed.
    """
    say_all(lines, read_form(form))
    given = {field.name: field.value for field in form.fields}
    try:
        while (wrong := _asked_once(lines, form, given, take)) is not None:
            lines.say(wrong)
            lines.say("From the first question again; Enter alone keeps what you typed.")
    except _Left:
        lines.say("Left. Nothing was done.")
        return False
    return True


def _asked_once(lines: Lines, form: Form[T], given: dict[str, str], take: Take[T]) -> str | None:
    """Ask every question of `form`, and hand the answers in; return why they are refused."""
    for field in form.fields:
        given[field.name] = _ask_field(lines, field, given[field.name])
    try:
        return taken(lines, form.make(given), take)
    except ValueError as wrong:
        return first_sentence(wrong)
    except (StoreTrouble, BadFile) as trouble:
        return str(trouble).splitlines()[0]


def taken(lines: Lines, made: T, take: Take[T]) -> str | None:
    """Hand `made` in, after what comes first; return why it is refused, or None."""
    why_not = take(made)
    while isinstance(why_not, First):
        if not ask_form(lines, why_not.form, why_not.take):
            return "Not signed, so not done."
        why_not = take(made)
    return why_not


def _ask_field(lines: Lines, field: Field, kept: str) -> str:
    """Ask one question until it has an answer.

    Raises:
        _Left: The person leaves the form.
    """
    say_all(lines, (f"{number}. {choice}" for number, choice in enumerate(field.choices, 1)))
    while True:
        ask = lines.ask_secret if field.secret else lines.ask
        typed = ask(_question(field, kept))
        word = marked(typed)
        if word is not None and word.casefold() == EMPTY and _can_be_emptied(field, kept):
            return ""
        if word is not None:
            _obey(lines, word)
        elif field.choices and typed.casefold() in BACK:
            raise _Left
        else:
            answer = _answer(field, unmarked(typed) or kept)
            if answer is not None:
                return answer
            lines.say(_missing(field, typed))


def _obey(lines: Lines, word: str) -> None:
    """Do what a word of the program asks for inside a form: little but leaving it."""
    if word.casefold() in BACK:
        raise _Left
    if word in ("", "help"):
        say_all(lines, HELP)
    else:
        lines.say(f"{quoted(word)} does not work inside a form. Finish it, or leave it: ?back.")


def _question(field: Field, kept: str) -> str:
    about = [field.hint] if field.hint else []
    if field.choices:
        about.append(f"a number from 1 to {len(field.choices)}")
    if kept:
        about.append(f"Enter keeps {'what you typed' if field.secret else quoted(kept)}")
        about += [f"?{EMPTY} empties it"] if _can_be_emptied(field, kept) else []
    elif field.may_be_empty:
        about.append("Enter leaves it empty")
    return f"{field.label} ({'; '.join([*about, '?back leaves'])}):"


def _can_be_emptied(field: Field, kept: str) -> bool:
    return bool(kept) and field.may_be_empty and not field.choices


def _answer(field: Field, typed: str) -> str | None:
    """Return the answer that `typed` is; None where it is none."""
    if not field.choices:
        return typed if typed or field.may_be_empty else None
    number = read_number(typed)
    if number is not None and 1 <= number <= len(field.choices):
        return field.choices[number - 1]
    said = typed.casefold()
    return next((choice for choice in field.choices if choice.casefold() == said), None)


def _missing(field: Field, typed: str) -> str:
    if not typed:
        return f"{field.label.rstrip('?')}: nothing is entered yet."
    return f"{quoted(typed)} is none of them. Type a number from 1 to {len(field.choices)}."
