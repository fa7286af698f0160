"""DuckDB: it makes Parquet files of rows, and answers the questions across shops on this computer.

The library is loaded here alone, and only when it is used. It fetches nothing.
"""

import contextlib
import glob
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

from baycompanion.audit.tables.columns import TABLES, Kind, Table
from baycompanion.audit.tables.cross_shop import Answer, Query
from baycompanion.audit.tables.table_folders import TablesFolder
from baycompanion.store.extras import refuse_without
from baycompanion.store.trouble import StoreTrouble

_TYPES: dict[Kind, str] = {
    "text": "VARCHAR",
    "whole": "BIGINT",
    "moment": "TIMESTAMPTZ",
    "truth": "BOOLEAN",
}


def refuse_without_library() -> None:
    """Refuse where the library is not installed.

    Raises:
        StoreTrouble: It is not; the message says what to install.
    """
    refuse_without("duckdb", "duckdb", "This needs one more library.")


def write_parquet(rows: TablesFolder, folder: Path) -> None:
    """Write the tables in `rows` into `folder` as Parquet files.

    Raises:
        StoreTrouble: They cannot be written, or the library is not installed.
    """
    with _opened() as base:
        for table in TABLES:
            to = _text(str(TablesFolder(folder, "parquet", ()).file(table.name)))
            base.execute(
                f"COPY ({_select(table, [rows])}) TO {to} (FORMAT parquet, COMPRESSION zstd)"
            )


def answers(folders: Sequence[TablesFolder], queries: Sequence[Query]) -> list[Answer]:
    """Return what the tables in all `folders` together answer to `queries`.

    Raises:
        StoreTrouble: They cannot be read, or the library is not installed.
    """
    with _opened() as base:
        for table in TABLES:
            base.execute(f"CREATE VIEW {table.name} AS {_select(table, folders)}")
        return [_answer(base, query) for query in queries]


def _answer(base: Any, query: Query) -> Answer:
    result = base.execute(query.sql)
    columns = tuple(column[0] for column in result.description)
    return Answer(query, columns, tuple(map(tuple, result.fetchall())))


@contextlib.contextmanager
def _opened() -> Iterator[Any]:
    """Open a passing database; what does not fit into memory goes to a passing folder."""
    refuse_without_library()
    import duckdb

    with tempfile.TemporaryDirectory(prefix="baycompanion-") as passing:
        config = {"temp_directory": passing, "autoinstall_known_extensions": "false"}
        base = duckdb.connect(":memory:", config=config)
        try:
            base.execute("SET TimeZone = 'UTC'")
            yield base
        except duckdb.Error as error:
            told = str(error).splitlines()[0].rstrip(".")
            raise StoreTrouble(f"The tables cannot be read or written: {told}.") from None
        finally:
            base.close()


def _select(table: Table, folders: Sequence[TablesFolder]) -> str:
    """Return the SQL that reads one table in all `folders`, whatever their formats."""
    columns = ", ".join(column.name for column in table.columns)
    return " UNION ALL ".join(
        f"SELECT {columns} FROM {_reading(table, folder)}" for folder in folders
    )


def _reading(table: Table, folder: TablesFolder) -> str:
    path = _text(glob.escape(str(folder.file(table.name))))
    if folder.format == "parquet":
        return f"read_parquet({path})"
    columns = ", ".join(f"{each.name}: '{_TYPES[each.kind]}'" for each in table.columns)
    return f"read_json({path}, format = 'newline_delimited', columns = {{{columns}}})"


def _text(words: str) -> str:
    """Return `words` as SQL writes them."""
    quoted = words.replace("'", "''")
    return f"'{quoted}'"
