"""The command line of writing procedures: `new`, `preview`, `map` and `changes`."""

import click

from baycompanion.mishaps import Chosen
from baycompanion.options import json_option, plain_option, shop_option


@click.command()
@click.argument("old")
@click.argument("new")
@json_option("the changes")
@shop_option
def changes(shop: Chosen, old: str, new: str, as_json: bool) -> int:
    """Say what a technician must know between the procedure files OLD and NEW.

    Steps, gates, hazards, choices, tools and parts that are new, gone, moved or changed, and in
    what. A gate that is easier to get past than before is told first. OLD and NEW are paths of
    files, or names of procedures, like receiver-swap. The exit code is 0 where no gate is weaker,
    1 where one is, and 2 if a file cannot be used.
    """
    from baycompanion.commands.changes import tell_changes

    return tell_changes(shop, old, new, as_json)


@click.command("map")
@click.argument("file")
@click.option("--html", metavar="OUT", help="Write it as a page, with every gate in words below.")
@click.option("--svg", metavar="OUT", help="Write it as a drawing.")
@shop_option
def map_(shop: Chosen, file: str, html: str | None, svg: str | None) -> int:
    """Draw the phases and gates of the procedure in FILE, and what holds what.

    Without --html and --svg it is drawn in lines of text. FILE is a path, or the name of a
    procedure, like receiver-swap. An older map at OUT is replaced.
    """
    from baycompanion.commands.map import draw_map

    return draw_map(shop, file, html, svg)


@click.command()
@click.argument("name")
@click.option("--folder", metavar="FOLDER", help="Where to write it, in place of the shop.")
@click.option("--like", metavar="PROCEDURE", help="Copy this one, in place of an empty draft.")
@shop_option
def new(shop: Chosen, name: str, folder: str | None, like: str | None) -> int:
    """Ask what the procedure NAME is about, and write a commented first draft of its file.

    The questions are lines, answered by typing, or from a pipe. NAME is of small letters, digits
    and hyphens. A file that is there is never touched. What is written passes `check`.

    With --like every line of PROCEDURE is copied, under the new name and as its first revision;
    the lines that bear the mark COPY are told, since they are to be changed.
    """
    from baycompanion.commands.new import write_procedure

    return write_procedure(shop, name, folder, like)


@click.command()
@click.argument("file")
@plain_option
@shop_option
def preview(shop: Chosen, file: str) -> int:
    """Show the screens of the procedure in FILE as a job would, and make no job.

    The arrows lead from screen to screen, and F2 and F3 from phase to phase. The file is read anew
    whenever it is saved; while it has errors they stand there, and the screens stay as they were.
    FILE is a path, or the name of a procedure, like receiver-swap.
    """
    from baycompanion.commands.preview import show_preview

    return show_preview(shop, file)
