"""What a hand does to the lines of a log behind the program's back, at one line or at the end."""

Lines = list[bytes]
"""The lines of a log, each with its end."""


def changed(lines: Lines, at: int, before: bytes, after: bytes) -> Lines:
    """Return `lines` with `after` in place of `before` in the line `at`."""
    return [*lines[:at], lines[at].replace(before, after), *lines[at + 1 :]]


def missing(lines: Lines, at: int) -> Lines:
    """Return `lines` without the line `at`."""
    return [*lines[:at], *lines[at + 1 :]]


def extra(lines: Lines, at: int) -> Lines:
    """Return `lines` with the line `at` twice."""
    return [*lines[: at + 1], *lines[at:]]


def reordered(lines: Lines, at: int) -> Lines:
    """Return `lines` with the line `at` after the one behind it."""
    return [*lines[:at], lines[at + 1], lines[at], *lines[at + 2 :]]


def torn(lines: Lines, size: int) -> Lines:
    """Return `lines` with the first `size` bytes of the last one again at the end."""
    return [*lines, lines[-1][:size]]
