"""Spark: it answers the questions across shops where the tables outgrow one computer.

The library is loaded here alone, and only when it is used. Where nothing says otherwise it runs in
this computer's own cores and fetches nothing; `SPARK_CONF_DIR` or `PYSPARK_SUBMIT_ARGS` lead it to
machines of its own.
"""

import contextlib
import logging
import os
import re
import sys
import tempfile
from collections.abc import Iterator, Sequence
from functools import reduce
from pathlib import Path
from typing import Any

from baycompanion.audit.tables.columns import TABLES, Kind, Table
from baycompanion.audit.tables.cross_shop import Answer, Query
from baycompanion.audit.tables.table_folders import TablesFolder
from baycompanion.store.extras import refuse_without
from baycompanion.store.trouble import StoreTrouble

_TYPES: dict[Kind, str] = {
    "text": "STRING",
    "whole": "BIGINT",
    "moment": "TIMESTAMP",
    "truth": "BOOLEAN",
}

_LED_ELSEWHERE = ("SPARK_CONF_DIR", "PYSPARK_SUBMIT_ARGS")
"""Environment variables that say where Spark runs."""

_HERE = {
    "spark.master": "local[*]",
    "spark.driver.host": "127.0.0.1",
    "spark.driver.bindAddress": "127.0.0.1",
    "spark.sql.shuffle.partitions": str(os.cpu_count() or 1),  # its own 200 are for many machines
}

_QUIET = {
    "spark.app.name": "baycompanion",
    "spark.ui.enabled": "false",
    "spark.ui.showConsoleProgress": "false",
    "spark.sql.catalogImplementation": "in-memory",
    "spark.sql.session.timeZone": "UTC",
}


def refuse_without_library() -> None:
    """Refuse where the library is not installed.

    Raises:
        StoreTrouble: It is not; the message says what to install.
    """
    refuse_without("pyspark", "spark", "This needs one more library, and Java 17 or newer.")


def answers(folders: Sequence[TablesFolder], queries: Sequence[Query]) -> list[Answer]:
    """Return what the tables in all `folders` together answer to `queries`.

    Raises:
        StoreTrouble: They cannot be read, Spark does not start, or the library is not installed.
    """
    with _started() as spark:
        for table in TABLES:
            frames = [_read(spark, table, folder) for folder in folders]
            reduce(lambda some, more: some.unionByName(more), frames).createOrReplaceTempView(
                table.name
            )
        return [_answer(spark, query) for query in queries]


def _read(spark: Any, table: Table, folder: TablesFolder) -> Any:
    columns = ", ".join(f"{each.name} {_TYPES[each.kind]}" for each in table.columns)
    reader = spark.read.schema(columns)
    read = reader.parquet if folder.format == "parquet" else reader.json
    return read(_path(folder.file(table.name)))


def _path(path: Path) -> str:
    r"""Return `path` as Spark takes it, each sign in it meaning itself alone."""
    whole = re.sub(r"([\[\]{}*?,\\])", r"\\\1", path.resolve().as_posix())
    return f"file:/{whole.lstrip('/')}"


def _answer(spark: Any, query: Query) -> Answer:
    frame = spark.sql(query.sql)
    return Answer(query, tuple(frame.columns), tuple(map(tuple, frame.collect())))


@contextlib.contextmanager
def _started() -> Iterator[Any]:
    """Start Spark with a passing folder for all that it writes, and stop it in the end.

    Raises:
        StoreTrouble: It does not start, or cannot read what it is asked about.
    """
    refuse_without_library()
    from py4j.protocol import Py4JError
    from pyspark.errors import PySparkException
    from pyspark.sql import SparkSession

    with tempfile.TemporaryDirectory(prefix="baycompanion-", ignore_cleanup_errors=True) as passing:
        builder = SparkSession.builder
        for key, value in _settings(Path(passing)).items():
            builder = builder.config(key, value)
        log = Path(passing) / "spark.log"
        logging.getLogger("SQLQueryContextLogger").disabled = True  # it would tell errors twice
        try:
            with _said_into(log):
                spark = builder.getOrCreate()
        except Exception as error:  # of several kinds: no Java, a Java too old, no machine
            raise StoreTrouble(f"Spark does not start: {_why(log, error)}.") from None
        try:
            yield spark
        except (PySparkException, Py4JError) as error:
            raise StoreTrouble(f"Spark cannot read the tables: {_cause(error)}.") from None
        finally:
            spark.stop()


def _settings(passing: Path) -> dict[str, str]:
    own = {
        "spark.sql.warehouse.dir": (passing / "warehouse").as_uri(),
        "spark.local.dir": str(passing),
    }
    if any(name in os.environ for name in _LED_ELSEWHERE):
        return _QUIET | {"spark.sql.warehouse.dir": own["spark.sql.warehouse.dir"]}
    os.environ.setdefault("SPARK_LOCAL_IP", "127.0.0.1")  # it asks for its name before settings
    os.environ.setdefault("SPARK_LOCAL_HOSTNAME", "localhost")
    return _QUIET | own | _HERE


@contextlib.contextmanager
def _said_into(log: Path) -> Iterator[None]:
    """Let what is started meanwhile write into `log` for good, in place of the terminal.

    Spark's Java program takes over both streams when it starts, and its words are not for a person
    at a bench. This program has its own back at once.
    """
    sys.stdout.flush()
    sys.stderr.flush()
    with log.open("wb") as file:
        kept = os.dup(1), os.dup(2)
        try:
            os.dup2(file.fileno(), 1)
            os.dup2(file.fileno(), 2)
            yield
        finally:
            for stream, copy in zip((1, 2), kept, strict=True):
                os.dup2(copy, stream)
                os.close(copy)


def _cause(error: Exception) -> str:
    """Return the innermost cause that `error` tells, on one line and without its stop."""
    lines = [line.strip() for line in str(error).splitlines() if line.strip()]
    told = lines[0] if lines else type(error).__name__
    for line in lines:
        if cause := re.match(r"Caused by: [\w.$]+: (.+)", line):
            told = cause[1]
    return told.rstrip(".")


def _why(log: Path, error: Exception) -> str:
    """Return why Spark does not start: in the last words of its own, or those of `error`."""
    said = log.read_text(encoding="utf-8", errors="replace").split("\n")
    last = next((line.strip() for line in reversed(said) if line.strip()), str(error))
    return f"{last.rstrip('.')}. It needs Java 17 or newer"
