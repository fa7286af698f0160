"""`map`: phases, gates and what holds what, drawn in the terminal, as SVG or as a page."""

from collections.abc import Callable
from os.path import realpath
from pathlib import Path

import click

from baycompanion.commands.changes import read_faultless
from baycompanion.exits import Exit
from baycompanion.mishaps import Chosen
from baycompanion.out import data
from baycompanion.procedure.model import Procedure
from baycompanion.store.page_file import write_page
from baycompanion.store.typed_path import typed_path
from baycompanion.views.procedure.map_lines import map_lines


def draw_map(chosen: Chosen, name: str, html: str | None, svg: str | None) -> int:
    """Print the map of a procedure in lines, or write it where `html` and `svg` say.

    Raises:
        StoreTrouble: The procedure cannot be read, or a file cannot be written.
        BadFile: The procedure has an error.
    """
    procedure = read_faultless(chosen, name)
    if html is None and svg is None:
        for line in map_lines(procedure):
            data(line)
        return Exit.DONE
    from baycompanion.sheets.procedure_map import (
        map_drawing,
        map_page,
    )  # templates, for these alone

    outs = [realpath(typed_path(out)) for out in (html, svg) if out is not None]
    if len(outs) > len(set(outs)):
        raise click.UsageError("--html and --svg name one file. Give each its own.")
    for out, make in ((html, map_page), (svg, map_drawing)):
        if out is not None:
            data(str(_write(out, make, procedure)))
    return Exit.DONE


def _write(out: str, make: Callable[[Procedure], str], procedure: Procedure) -> Path:
    path = typed_path(out)
    if not path.name:
        raise click.UsageError(f"{path} is no file. Give the name of one.")
    write_page(path, make(procedure).encode())
    return path
