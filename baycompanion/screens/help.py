"""What the keys do and what the signs mean, on one screen."""

from textual.content import Content

from baycompanion.views.card.signs import MARKS, Mark

_KEYS = (
    ("Enter", "do the one thing that stands there, or save the entry"),
    ("1 to 9", "the answers of this step, as the buttons say"),
    ("arrows", "look back and ahead, or in a list to its lines"),
    ("Esc", "back to the step now, or out of a form"),
    ("Tab", "to the buttons, the sequence, or the list of a drawing"),
    ("F2", "write a note"),
    ("F3", "add a photo"),
    ("F4", "pause: what is loose, and what comes first on return"),
    ("F5", "a fault was found"),
    ("F6", "reopen the step looked at, or the one finished last"),
    ("F7", "no answer of the usual kind: why; in a count: what else"),
    ("F8", "why the step is done, and all of what is shown short"),
    ("F9", "more: the board, hand over, clear a fault, light or dark"),
    ("F10, =", "work out a sum of the trade; = not while something is typed"),
    ("C", "on the board: a vehicle comes back from an ended job"),
    ("F", "on the board: find an ended job by plate, VIN, work order"),
    ("P", "on the board: how long the phases took"),
    ("R", "on the board: read the jobs again"),
    ("Ctrl+P", "everything by name"),
    ("Ctrl+Q", "leave; nothing is lost"),
)


def help_page() -> Content:
    """Return what the keys do and what the signs mean."""
    keys = [Content.assemble((f"{key:<8}", "bold $label-word"), f"{does}\n") for key, does in _KEYS]
    marks = [
        Content.assemble((f"{mark.sign} {_short(mark):<5}", "bold $label-word"), f" {mark.word}\n")
        for mark in MARKS.values()
    ]
    head = Content.styled("Keys (arrows read on)\n", "bold")
    return Content.assemble(head, *keys, ("\nMarks\n", "bold"), *marks)


def _short(mark: Mark) -> str:
    return mark.short if mark.short != mark.word else ""
