"""Shops audited into tables: what is found and what each job gives goes to files as it comes."""

import json
import shutil
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path

from baycompanion.audit.choice import Choice
from baycompanion.audit.findings import Finding
from baycompanion.audit.reading.all_jobs import Way
from baycompanion.audit.reading.readers import Readers
from baycompanion.audit.rules.rows import row_of_finding
from baycompanion.audit.rules.work_facts import WorkFacts
from baycompanion.audit.shop import ShopSeen, audit_shop
from baycompanion.audit.tables.in_duckdb import refuse_without_library, write_parquet
from baycompanion.audit.tables.table_folders import (
    ROWS,
    Format,
    RowFiles,
    TablesFolder,
    new_folder,
    write_mark,
)
from baycompanion.store.trouble import StoreTrouble


@dataclass
class Written:
    """What came of auditing shops into tables."""

    folder: TablesFolder
    rows: Mapping[str, int]
    """How many rows each table has."""
    jobs: int = 0
    """Jobs that were looked at, with rows or without."""
    unread: list[str] = field(default_factory=list)
    """What could not be read."""


def export_shops(
    shops: Sequence[Path], target: Path, format_: Format, choice: Choice, now: datetime
) -> Written:
    """Audit `shops` into a folder of tables at `target`, which is new or holds older tables.

    Raises:
        StoreTrouble: It cannot be written there, or the library for this format is not installed.
    """
    if format_ == "parquet":
        refuse_without_library()
    _refuse_inside(shops, target)
    with new_folder(target) as folder:
        if format_ == "ndjson":
            written = write_rows(shops, folder, choice, now)
        else:
            passing = folder / ROWS
            passing.mkdir()
            written = write_rows(shops, passing, choice, now)
            write_parquet(written.folder, folder)
            shutil.rmtree(passing)
        write_mark(TablesFolder(folder, format_, written.folder.shops), written.rows)
    return replace(written, folder=TablesFolder(target, format_, written.folder.shops))


def _refuse_inside(shops: Sequence[Path], target: Path) -> None:
    """Refuse a place inside a shop, which holds records and no copies.

    Raises:
        StoreTrouble: It is one.
    """
    for shop in shops:
        if target.resolve().is_relative_to(shop.resolve()):
            raise StoreTrouble(
                f"{target} lies in the shop folder {shop}, which holds records and no "
                "copies. Give the name of a folder elsewhere."
            )


def write_rows(shops: Sequence[Path], folder: Path, choice: Choice, now: datetime) -> Written:
    """Audit `shops` into NDJSON files in `folder`; what cannot be read is named, the rest goes in.

    A job whose chain is broken, or whose procedure cannot be read, gives findings and no rows.

    Raises:
        StoreTrouble: They cannot be written.
    """
    with RowFiles(folder) as files, Readers() as readers:
        way = Way(readers, trust="stamps")
        written = Written(TablesFolder(folder, "ndjson", tuple(map(str, shops))), files.rows)

        def keep(work: WorkFacts) -> None:
            files.add_job(json.loads(work.rows))

        for shop in shops:
            files.begin_shop(str(shop))
            for found in audit_shop(shop, choice, now, way, keep=keep):
                if isinstance(found, Finding):
                    files.add("findings", row_of_finding(found))
                elif isinstance(found, ShopSeen):
                    written.jobs += found.jobs
                else:
                    written.unread.append(str(found))
    return written
