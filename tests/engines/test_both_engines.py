"""The same SQL over the same tables in DuckDB and in Spark, in its local mode: the same answers.

Spark takes half a minute, and Java 17: this is no part of the quick test command.
"""

import math
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from invented_rows import ODD_NAME, invented_tables

from baycompanion.audit.tables import in_duckdb, in_spark
from baycompanion.audit.tables.columns import TABLES
from baycompanion.audit.tables.cross_shop import queries
from baycompanion.audit.tables.in_duckdb import write_parquet
from baycompanion.audit.tables.table_folders import TablesFolder, write_mark
from baycompanion.store.trouble import StoreTrouble

SHOPS = ("chain/north", "chain/south", "chain/a b[1]{x}%20’s,")
ROOT = Path(__file__).parents[2]


@pytest.fixture(autouse=True)
def elsewhere(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Work in an empty folder, which is empty after it."""
    empty = tmp_path / "empty"
    empty.mkdir()
    monkeypatch.chdir(empty)
    yield
    assert list(empty.iterdir()) == []


@pytest.fixture(scope="module")
def ndjson(tmp_path_factory: pytest.TempPathFactory) -> TablesFolder:
    return invented_tables(tmp_path_factory.mktemp("ndjson") / ODD_NAME, 1000, SHOPS)


@pytest.fixture(scope="module")
def parquet(ndjson: TablesFolder, tmp_path_factory: pytest.TempPathFactory) -> TablesFolder:
    folder = tmp_path_factory.mktemp("parquet") / ODD_NAME
    folder.mkdir()
    write_parquet(ndjson, folder)
    tables = TablesFolder(folder, "parquet", ndjson.shops)
    write_mark(tables, {table.name: 0 for table in TABLES})
    return tables


def test_both_give_the_same_rows_in_the_same_order(
    ndjson: TablesFolder, parquet: TablesFolder, tmp_path: Path
) -> None:
    """Of NDJSON, of Parquet, and of both with an empty one beside them."""
    none = invented_tables(tmp_path / "none", 0, ["chain/none"])
    for folders in ([ndjson], [parquet], [ndjson, parquet, none]):
        here = in_duckdb.answers(folders, queries())
        there = in_spark.answers(folders, queries())
        assert [answer.query.name for answer in here] == [query.name for query in queries()]
        for one, other in zip(here, there, strict=True):
            assert one.query == other.query
            assert one.columns == other.columns
            assert one.rows, one.query.name
            assert len(one.rows) == len(other.rows)
            for row, same in zip(one.rows, other.rows, strict=True):
                assert all(map(alike, row, same)), (one.query.name, row, same)


def alike(one: object, other: object) -> bool:
    """Return whether two values are one; the last digit of a float may differ."""
    if isinstance(one, float) and isinstance(other, float):
        return math.isclose(one, other, rel_tol=1e-12)
    return type(one) is type(other) and one == other


def test_the_comparison_sees_a_difference() -> None:
    assert alike(0.3, 0.1 + 0.2)
    assert not alike(0.3, 0.3001)
    assert not alike(3, 4)
    assert not alike(3, "3")


def test_a_table_that_is_none_is_told_in_one_sentence(
    parquet: TablesFolder, tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    folder = shutil.copytree(parquet.path, tmp_path / "broken")
    (folder / "gates.parquet").write_bytes(b"no parquet at all")
    with pytest.raises(StoreTrouble, match=r"^Spark cannot read the tables: ") as raised:
        in_spark.answers([TablesFolder(folder, "parquet", ())], queries())
    assert "\n" not in str(raised.value)
    assert "gates.parquet" in str(raised.value)
    assert capfd.readouterr() == ("", "")


def test_the_command_says_its_answers_and_nothing_of_sparks_own(parquet: TablesFolder) -> None:
    done = audit(parquet.path, "spark")
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout == audit(parquet.path, "duckdb").stdout
    assert done.stdout.startswith("GATES, IN JOBS OF ALL SHOPS\n")


def test_a_machine_without_java_is_told_in_one_sentence(parquet: TablesFolder) -> None:
    done = audit(parquet.path, "spark", PATH="", JAVA_HOME="")
    assert (done.returncode, done.stdout) == (3, "")
    assert done.stderr.startswith("Spark does not start: ")
    assert done.stderr.endswith("It needs Java 17 or newer.\n")
    assert done.stderr.count("\n") == 1


def audit(folder: Path, engine: str, **environment: str) -> subprocess.CompletedProcess[str]:
    """Run the command as somebody at a terminal does."""
    words = ["-m", "baycompanion", "audit", "--engine", engine, str(folder)]
    return subprocess.run(
        [sys.executable, *words],
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=300,
        check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "utf-8", **environment},
    )
