"""`handover`: the sheet that the owner goes home with, as one HTML page."""

from datetime import datetime

import click

from baycompanion.commands.opening import found_shop, read_one
from baycompanion.exits import Exit
from baycompanion.mishaps import Chosen
from baycompanion.out import data, talk
from baycompanion.store.durable import write_whole
from baycompanion.store.job.folder import RECORD, JobRead, record_of
from baycompanion.store.job.record_ahead import is_ahead
from baycompanion.store.page_file import write_page
from baycompanion.store.trouble import StoreTrouble
from baycompanion.store.typed_path import typed_path
from baycompanion.working.hand_over import SHEET, hand_over_page


def write_sheet(chosen: Chosen, name: str, out: str | None, when: datetime) -> int:
    """Write the hand-over sheet of the job called `name`; say so if it is provisional.

    `when` carries the zone in which times are written.

    Raises:
        StoreTrouble: No job is called so, it cannot be read, the file cannot be written, or it
            would take the place of a sheet that tells what the journal has lost.
        BadFile: The pinned procedure cannot be read any more.
    """
    path = typed_path(out) if out is not None else None
    if path is not None and not path.name:
        raise click.UsageError("--out names no file. Type the path of one, ending in .html.")
    shop = found_shop(chosen)
    job = read_one(shop, name)
    if path is None:
        path, put = job.folder / SHEET, write_whole
        _refuse_lost(job)
    else:
        put = write_page
    put(path, hand_over_page(shop, job, when))
    data(str(path))
    if job.state.ended_at is None:
        talk(f"{job.state.opened.job} is still under way, so this sheet is provisional.")
    if job.torn:
        talk("The last line of its journal is torn, and is not on the sheet.")
    talk("Open it in a browser, and print it from there.")
    return Exit.DONE


def _refuse_lost(job: JobRead) -> None:
    record = job.folder / RECORD
    if is_ahead(record, record_of(job)):
        raise StoreTrouble(
            f"{record} holds events that the journal beside it has lost, and a new sheet would not "
            "tell them. Write it elsewhere with --out."
        )
