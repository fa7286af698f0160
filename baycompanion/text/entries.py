"""Names and lines that stand in a file: what they may be made of, whatever file it is."""

import re

from baycompanion.text.clean import clean_line
from baycompanion.text.problem import quoted
from baycompanion.text.to_model import wrong

NAME = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
"""Small letters and digits, with single hyphens between them."""


def check_name(text: str, longest: int, named: str) -> str:
    """Return `text` if it is a name of at most `longest` characters; `named` says of what.

    Raises:
        ValueError: It is none; both halves of the sentence get through to the file.
    """
    if len(text) > longest or not NAME.fullmatch(text):
        raise wrong(
            f"{quoted(text)} is no name for {named}",
            f"Write small letters, digits and single hyphens, {longest} at most",
        )
    return text


def check_line(text: str, longest: int, written: str, shortened: str) -> str:
    """Return `text` as one cleaned line of 1 to `longest` characters.

    `written` and `shortened` say what to do about an empty and about a longer one.

    Raises:
        ValueError: It is empty or longer; both halves of the sentence get through to the file.
    """
    line = clean_line(text)
    if not line:
        raise wrong("Nothing is written here", written)
    if len(line) > longest:
        raise wrong(f"This is longer than {longest} characters", shortened)
    return line
