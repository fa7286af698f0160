"""The list of the board: how each kind of line looks, and which of them is in hand."""

from collections.abc import Sequence

from textual.widgets import OptionList
from textual.widgets.option_list import Option

from baycompanion.screens.board.parted_lines import Parted, PartedLines
from baycompanion.views.board.line import BoardLine


def show_lines(jobs: OptionList, lines: Sequence[BoardLine], at: int | None) -> None:
    """Let `jobs` list `lines`, with the one at `at` in hand, else the first that opens anything."""
    jobs.clear_options()
    jobs.add_options([Option(_shown(line), disabled=not line.opens) for line in lines])
    kept = at is not None and at < len(lines) and lines[at].opens
    jobs.highlighted = at if kept else next((n for n, line in enumerate(lines) if line.opens), None)


def _shown(line: BoardLine) -> PartedLines:
    match line.kind:
        case "heading":
            return PartedLines([Parted(line.text, "bold $label-word")])
        case "none":
            return PartedLines([Parted(line.text, "$quiet-word", column=2)])
        case "trouble":
            return PartedLines([Parted(f"! {line.text}", "$danger")])
        case "job":
            told = (Parted(each, "$label-word", column=2) for each in line.told.splitlines())
            return PartedLines([Parted(line.text, "bold"), *told, Parted("")])
        case _:
            told = (Parted(each, "$label-word", column=4) for each in line.told.splitlines())
            return PartedLines([Parted(line.text, column=2), *told])
