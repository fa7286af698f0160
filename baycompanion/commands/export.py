"""`export`: jobs, phases, gates, overrides and findings as flat tables for any query engine."""

from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

import click

from baycompanion.audit.choice import Choice
from baycompanion.audit.tables.shop_tables import export_shops
from baycompanion.audit.tables.table_folders import Format
from baycompanion.commands.audit import read_day
from baycompanion.commands.opening import shop_paths
from baycompanion.exits import Exit
from baycompanion.mishaps import Chosen
from baycompanion.out import data, talk
from baycompanion.store.shop_place import why_no_shop
from baycompanion.store.typed_path import typed_path
from baycompanion.text.counted import counted


def export_tables(
    chosen: Chosen,
    folders: Sequence[str],
    ndjson: str | None,
    parquet: str | None,
    since: str | None,
    by: str | None,
    procedure: str | None,
    now: datetime,
) -> int:
    """Write the tables of the shops in `folders`, and say where they lie; return 0 or 2.

    Raises:
        StoreTrouble: They cannot be written there, or the library for Parquet is not installed.
    """
    if (ndjson is None) == (parquet is None):
        raise click.UsageError("Give one of --ndjson FOLDER and --parquet FOLDER")
    format_: Format = "ndjson" if ndjson is not None else "parquet"
    target = typed_path(ndjson or parquet or "")
    choice = Choice(read_day(since), by or "", procedure or "")
    shops = shop_paths(chosen, folders)
    for shop in shops:
        if not is_shop(shop):
            raise click.UsageError(why_no_shop(shop))
    written = export_shops(shops, target, format_, choice, now)
    for trouble in written.unread:
        talk(trouble)
    data(str(target))
    told = ", ".join(f"{rows:,} {table}" for table, rows in written.rows.items())
    unread = f" Not read: {len(written.unread)}." if written.unread else ""
    looked = f"{counted(written.jobs, 'job')} in {counted(len(shops), 'shop')}"
    none_fits = "" if written.jobs or written.unread or not choice.words else f" {choice.fits_none}"
    talk(f"Rows: {told}. Looked at: {looked}.{unread}{none_fits}")
    return Exit.UNUSABLE if written.unread else Exit.DONE


def is_shop(folder: Path) -> bool:
    """Return whether `folder` has jobs; one that is closed to us says so when it is read."""
    try:
        return (folder / "jobs").is_dir()
    except PermissionError:
        return True
