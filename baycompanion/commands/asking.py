"""A question at the prompt, or a line of a pipe: what a command has to know before it acts."""

import sys

import click


def ask_line(what: str, *, unseen: bool) -> str:
    """Return a line that was typed, or that a pipe holds.

    Raises:
        UsageError: The pipe has come to its end, or holds no text.
    """
    if sys.stdin.isatty():
        return str(click.prompt(what, hide_input=unseen, err=True)).strip()
    # As bytes, so that whoever reads the lines after it can still say how they are decoded.
    given = sys.stdin.buffer.readline()
    try:
        line = given.decode(sys.stdin.encoding)
    except UnicodeDecodeError:
        raise click.UsageError(f"{what}: what was given is no text.") from None
    if not line:
        raise click.UsageError(f"{what}: nothing more was given. Pipe a line for each question.")
    return line.strip()
