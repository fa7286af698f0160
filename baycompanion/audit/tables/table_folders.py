"""Folders of exported tables: written row by row, put in place whole, and told from other folders.

Such a folder holds a file for each table, and `tables.json`, which says what the files are and of
which shops. That file tells it from any other folder.
"""

import contextlib
import json
import secrets
import shutil
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import IO, Any, Literal, get_args

from baycompanion.audit.rules.rows import JobRows, Row
from baycompanion.audit.tables.columns import TABLES, VERSION, Table
from baycompanion.store.durable import flush, flush_folder
from baycompanion.store.reading import read_text
from baycompanion.store.trouble import StoreTrouble, because
from baycompanion.text.clean import clean

Format = Literal["ndjson", "parquet"]
"""NDJSON: a JSON object a line, in UTF-8. Parquet: columns, compressed."""

MARK = "tables.json"

ROWS = ".rows"
"""Where rows lie until they are made into another format; nothing is left of it."""


@dataclass(frozen=True, slots=True)
class TablesFolder:
    """A folder of exported tables."""

    path: Path
    format: Format
    shops: tuple[str, ...]

    def file(self, table: str) -> Path:
        """Return the file of one table."""
        return self.path / f"{table}.{self.format}"


def read_tables_folder(path: Path) -> TablesFolder | None:
    """Return the tables in the folder at `path`, None where it is no folder of tables.

    Raises:
        StoreTrouble: It is one, and cannot be used: of another version, or not whole.
    """
    mark = path / MARK
    if not mark.is_file():
        return None
    try:
        told = json.loads(read_text(mark))
        version, format_, shops = told["version"], told["format"], tuple(map(str, told["shops"]))
    except (ValueError, KeyError, TypeError, RecursionError):
        raise StoreTrouble(f"{mark} does not say which tables these are. Export anew.") from None
    if version != VERSION or format_ not in get_args(Format):
        raise StoreTrouble(f"{path} holds tables of another version. Export anew.")
    folder = TablesFolder(path, format_, shops)
    for table in TABLES:
        if not folder.file(table.name).is_file():
            raise StoreTrouble(f"{folder.file(table.name)} is not there. Export anew.")
    return folder


class RowFiles:
    """The tables as NDJSON files under way: a row is written as it comes, and forgotten."""

    def __init__(self, folder: Path) -> None:
        """Begin the files in `folder`, which is there and holds none of them.

        Raises:
            StoreTrouble: They cannot be made.
        """
        self._folder = TablesFolder(folder, "ndjson", ())
        self._files: dict[str, IO[str]] = {}
        self.rows = {table.name: 0 for table in TABLES}
        """How many rows each table has."""
        self._shop = ""

    def __enter__(self) -> "RowFiles":
        """Return it, to be closed in the end."""
        with self._writing(), contextlib.ExitStack() as opened:
            for table in TABLES:
                file = self._folder.file(table.name).open("w", encoding="utf-8", newline="\n")
                self._files[table.name] = opened.enter_context(file)
            opened.pop_all()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Close the files."""
        with self._writing(), contextlib.ExitStack() as closing:
            for file in self._files.values():
                closing.enter_context(file)

    @contextlib.contextmanager
    def _writing(self) -> Iterator[None]:
        try:
            yield
        except OSError as error:
            told = f"The tables cannot be written in {self._folder.path.parent}: {because(error)}."
            raise StoreTrouble(told) from None

    def begin_shop(self, shop: str) -> None:
        """Let the rows that come belong to `shop`."""
        self._shop = clean(shop)

    def add_job(self, rows: JobRows) -> None:
        """Write the rows of one job.

        Raises:
            StoreTrouble: They cannot be written.
        """
        for table in TABLES:
            for row in rows.get(table.name, ()):
                self.add(table.name, row)

    def add(self, table: str, row: Row) -> None:
        """Write one row, given without its shop.

        Raises:
            StoreTrouble: It cannot be written.
        """
        line = json.dumps({"shop": self._shop, **row}, ensure_ascii=False)
        with self._writing():
            self._files[table].write(f"{line}\n")
        self.rows[table] += 1


def write_mark(folder: TablesFolder, rows: Mapping[str, int]) -> None:
    """Write into `folder` what its tables and columns are, and how many `rows` each table has.

    Raises:
        OSError: It cannot be written.
    """
    told = {
        "version": VERSION,
        "format": folder.format,
        "shops": list(map(clean, folder.shops)),
        "tables": {table.name: _described(table) | {"rows": rows[table.name]} for table in TABLES},
    }
    text = f"{json.dumps(told, ensure_ascii=False, indent=1)}\n"
    (folder.path / MARK).write_text(text, encoding="utf-8", newline="\n")


def _described(table: Table) -> dict[str, Any]:
    """Return what `table` and its columns say, for whoever finds the folder."""
    columns = {each.name: f"{each.kind}: {each.says}" for each in table.columns}
    return {"row": table.row, "columns": columns}


@contextlib.contextmanager
def new_folder(target: Path) -> Iterator[Path]:
    """Give a folder beside `target` to fill, and put it in its place once it is filled.

    Whatever goes wrong in between, what lay at `target` is still there, and nothing else is left.

    Raises:
        StoreTrouble: Something else lies at `target`, or it cannot be written there.
    """
    _refuse_foreign(target)
    target = target.resolve()  # what a link leads to is written, and the link stays
    half = target.with_name(f".{target.name}.part-{secrets.token_hex(4)}")
    try:
        half.mkdir(parents=True)
    except OSError as error:
        raise StoreTrouble(f"{target} cannot be made: {because(error)}.") from None
    try:
        yield half
        _refuse_foreign(target)
        _put_in_place(half, target)
    except OSError as error:
        raise StoreTrouble(f"{target} cannot be written: {because(error)}.") from None
    finally:
        shutil.rmtree(half, ignore_errors=True)


def _refuse_foreign(target: Path) -> None:
    """Refuse to write over anything but tables that were exported before.

    Raises:
        StoreTrouble: There is something else.
    """
    if not target.name:
        raise StoreTrouble(f"{target} is no name for a folder of tables. Give a new one.")
    try:
        there = {path.name for path in target.iterdir()}
    except FileNotFoundError:
        return
    except NotADirectoryError:
        raise StoreTrouble(f"{target} is a file. Give the name of a folder.") from None
    except OSError as error:
        raise StoreTrouble(f"{target} cannot be read: {because(error)}.") from None
    ours = {MARK} | {f"{table.name}.{each}" for table in TABLES for each in get_args(Format)}
    foreign = sorted(there if not _is_marked(target) else there - ours)
    if foreign:
        raise StoreTrouble(
            f"{target} holds what is no exported table ({foreign[0]}) and is not written over. "
            "Give the name of a new folder."
        )


def _is_marked(folder: Path) -> bool:
    """Return whether `folder` says of itself that it holds tables of this or another version."""
    try:
        told = json.loads(read_text(folder / MARK))
    except (StoreTrouble, ValueError, RecursionError):
        return False
    return isinstance(told, dict) and told.keys() == {"version", "format", "shops", "tables"}


def _put_in_place(half: Path, target: Path) -> None:
    """Let the folder `half` stand at `target`, and drop the one that stood there."""
    for path in half.iterdir():
        with path.open("rb+") as file:
            flush(file.fileno())
    if not target.exists():
        half.rename(target)
    else:
        old = half.with_name(half.name.replace(".part-", ".old-"))
        target.rename(old)
        try:
            half.rename(target)
        except OSError:
            old.rename(target)
            raise
        shutil.rmtree(old, ignore_errors=True)
    flush_folder(target.parent)
