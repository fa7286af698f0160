"""`new`: asks what a procedure is about, and writes a commented first draft of its file."""

from pathlib import Path

import click

from baycompanion.commands.opening import opened, typed_again
from baycompanion.exits import Exit
from baycompanion.mishaps import Chosen
from baycompanion.out import data, talk
from baycompanion.plain.new_procedure import ask_for
from baycompanion.plain.terminal import Terminal
from baycompanion.procedure.check import check
from baycompanion.procedure.fields import LONGEST_ID
from baycompanion.procedure.language import check_language
from baycompanion.procedure.skeleton import skeleton
from baycompanion.store.durable import write_new
from baycompanion.store.shelf import list_procedures, read_procedure
from baycompanion.store.trouble import StoreTrouble
from baycompanion.store.typed_path import typed_path
from baycompanion.text.entries import check_name
from baycompanion.trade.catalogue import SUMS


def write_procedure(chosen: Chosen, name: str, folder: str | None) -> int:
    """Ask for the procedure called `name`, and write its file where there is none.

    Without `folder` it goes among the procedures of the shop.

    Raises:
        StoreTrouble: There is one of this name, or it cannot be written.
    """
    try:
        check_name(name, LONGEST_ID, "a procedure")
    except ValueError as error:
        raise click.UsageError(f"{error}.") from None
    path = _place(chosen, name, folder)
    try:
        text = skeleton(ask_for(name, Terminal()))
    except EOFError:
        talk("The answers came to their end before the last question. Nothing was written.")
        return Exit.REFUSED
    write_new(path, text.encode())
    data(str(path))
    loaded = read_procedure(path)
    for problem in sorted([*check(loaded, SUMS), *check_language(loaded)]):
        talk(str(problem))
    talk(f"Next: {typed_again(f'preview {path}', chosen)}")
    return Exit.DONE


def _place(chosen: Chosen, name: str, folder: str | None) -> Path:
    """Return where the file goes; refused where something of this name is there.

    Raises:
        StoreTrouble: There is a file or a procedure of this name, or no such folder.
    """
    if folder is None:
        own = opened(chosen).procedures
        taken = list_procedures(own).get(name)
    else:
        own = typed_path(folder)
        taken = None
        if not own.is_dir():
            raise StoreTrouble(f"There is no folder {own}. Make it first.")
    path = own / f"{name}.yaml"
    there = path if path.exists() else taken
    if there is not None:
        raise StoreTrouble(f"{there} is there already. Choose another name.")
    return path
