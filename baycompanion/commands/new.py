"""`new`: asks what a procedure is about, and writes a commented first draft of its file."""

from datetime import date
from pathlib import Path

import click

from baycompanion.commands.opening import opened, shop_folder, typed_again
from baycompanion.exits import Exit
from baycompanion.mishaps import Chosen
from baycompanion.out import data, talk
from baycompanion.plain.new_procedure import ask_for, ask_title
from baycompanion.plain.terminal import Terminal
from baycompanion.procedure.check import check
from baycompanion.procedure.checks.language import check_language
from baycompanion.procedure.copying import copied, marked_lines
from baycompanion.procedure.fields import LONGEST_ID
from baycompanion.procedure.skeleton import skeleton
from baycompanion.store.durable import write_new
from baycompanion.store.job.folder import refuse_errors
from baycompanion.store.reading import read_text
from baycompanion.store.shelf import find_procedure, list_procedures, read_procedure
from baycompanion.store.trouble import StoreTrouble
from baycompanion.store.typed_path import typed_path
from baycompanion.text.entries import check_name
from baycompanion.trade.catalogue import SUMS


def write_procedure(chosen: Chosen, name: str, folder: str | None, like: str | None) -> int:
    """Ask for the procedure called `name`, and write its file where there is none.

    Without `folder` it goes among the procedures of the shop. `like` is the procedure whose file
    it is copied from; without it, the draft is empty.

    Raises:
        StoreTrouble: There is one of this name, or it cannot be written.
    """
    try:
        check_name(name, LONGEST_ID, "a procedure")
    except ValueError as error:
        raise click.UsageError(f"{error}.") from None
    path = _place(chosen, name, folder)
    pattern = _pattern(chosen, like)
    try:
        text = _copy(name, *pattern) if pattern is not None else skeleton(ask_for(name, Terminal()))
    except EOFError:
        talk("The answers came to their end before the last question. Nothing was written.")
        return Exit.REFUSED
    write_new(path, text.encode())
    data(str(path))
    loaded = read_procedure(path)
    for problem in sorted([*check(loaded, SUMS), *check_language(loaded)]):
        talk(str(problem))
    if lines := marked_lines(text):
        talk(f"Change what these lines say, they bear the mark COPY: {', '.join(map(str, lines))}.")
    talk(f"Next: {typed_again(f'preview {path}', chosen)}")
    return Exit.DONE


def _pattern(chosen: Chosen, like: str | None) -> tuple[str, str] | None:
    """Return title and text of the procedure to be copied; None where it is begun anew.

    Raises:
        StoreTrouble: There is none of that name, or it cannot be read.
        BadFile: It has errors, which a copy would have as well.
    """
    if like is None:
        return None
    path = find_procedure(like, shop_folder(chosen) / "procedures")
    loaded = read_procedure(path)
    refuse_errors(loaded)
    return loaded.procedure.title, read_text(path)


def _copy(name: str, title: str, text: str) -> str:
    """Return the file of the procedure `name`, copied from another one whose title is `title`.

    Raises:
        EOFError: The answer did not come.
    """
    return copied(text, name, ask_title(name, title, Terminal()), f"{date.today():%Y-%m-%d}")


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
        if own.exists() and not own.is_dir():
            raise StoreTrouble(f"{own} is a file, and no folder. Name the folder that it lies in.")
        if not own.is_dir():
            raise StoreTrouble(f"There is no folder {own}. Make it first.")
    path = own / f"{name}.yaml"
    there = path if path.exists() else taken
    if there is not None:
        raise StoreTrouble(f"{there} is there already. Choose another name.")
    return path
