"""`sheet`: the paper form of a procedure or of a job, to go on by hand."""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

import click

from baycompanion.commands.opening import in_terminal, shop_folder
from baycompanion.exits import Exit
from baycompanion.mishaps import Chosen
from baycompanion.out import data, data_bytes, talk
from baycompanion.procedure.check import check
from baycompanion.procedure.load import hash_of
from baycompanion.sheets.form import Form
from baycompanion.sheets.page import draw
from baycompanion.sheets.paper import form_of_job, form_of_procedure
from baycompanion.store.job.finding import find_job
from baycompanion.store.job.folder import read_job
from baycompanion.store.page_file import write_page
from baycompanion.store.shelf import find_procedure, read_procedure
from baycompanion.store.trouble import StoreTrouble
from baycompanion.store.typed_path import typed_path
from baycompanion.text.problem import BadFile
from baycompanion.trade.catalogue import SUMS


@dataclass(frozen=True, slots=True)
class _Sheet:
    """A form, and what its file is called where nobody says."""

    name: str
    form: Form


def print_sheet(chosen: Chosen, name: str, to: str | None, when: datetime) -> int:
    """Write the paper form of `name` to a file, or print it where no terminal would show it.

    `when` carries the zone in which times are printed.

    Raises:
        StoreTrouble: Nothing is called so, it cannot be read, or the file cannot be written.
        BadFile: The procedure has errors.
    """
    path = typed_path(to) if to is not None else None
    if path is not None and not path.name:
        raise click.UsageError("--to names no file. Type the path of one, ending in .html.")
    sheet = _sheet(shop_folder(chosen), name, when)
    page = draw(sheet.form).encode()
    if path is None and not in_terminal():
        data_bytes(page)
        return Exit.DONE
    path = path or Path(f"{sheet.name}-sheet.html")
    write_page(path, page)
    data(str(path))
    talk("Open it in a browser, and print it from there.")
    return Exit.DONE


def _sheet(shop: Path, name: str, when: datetime) -> _Sheet:
    """Return the form of the procedure or, where none is called `name`, of the job."""
    try:
        path = find_procedure(name, shop / "procedures")
    except StoreTrouble as no_procedure:
        return _of_job(shop, name, when, no_procedure)
    return _of_procedure(path, when)


def _of_procedure(path: Path, when: datetime) -> _Sheet:
    loaded = read_procedure(path)
    errors = [problem for problem in check(loaded, SUMS) if problem.weight == "error"]
    if errors:
        raise BadFile(errors)
    form = form_of_procedure(loaded.procedure, hash_of(loaded.pinned_text), when)
    return _Sheet(loaded.procedure.procedure, form)


def _of_job(shop: Path, name: str, when: datetime, no_procedure: StoreTrouble) -> _Sheet:
    try:
        folder = find_job(shop / "jobs", name)
    except StoreTrouble as no_job:
        raise StoreTrouble(f"{no_job} {no_procedure}") from None
    job = read_job(folder)
    if job.torn:
        talk("The last line of its journal is torn, and is not on the sheet.")
    return _Sheet(folder.name, form_of_job(job.procedure, job.state, when))
