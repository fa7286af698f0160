"""The exit codes: what a command says to the script that ran it."""

from enum import IntEnum


class Exit(IntEnum):
    """How a command came out."""

    DONE = 0
    """Done: the job is closed, the files are in order, the list is complete."""
    REFUSED = 1
    """Understood, and the answer is no: a file has problems, an audit found something, an action is
    refused, a job is not closed at the end of its script, or a screen was asked for without a
    terminal."""
    UNUSABLE = 2
    """What was given cannot be used: the command line, a script, a settings file, or a file that
    `check`, `audit` or `review --plain` cannot read."""
    TROUBLE = 3
    """The shop folder, or a job in it, is missing, damaged, held by somebody else, or cannot be
    written."""
    UNFORESEEN = 4
    """A fault of the program itself; a report of it was written."""
    STOPPED = 130
    """Stopped by Ctrl-C; what was told as done is on the disk."""
    CUT_OFF = 141
    """Whoever read the output went away before its end."""
