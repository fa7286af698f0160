"""How fast flat tables are written and asked, and how large they are; prints its figures.

    python tests/bench/export_tables.py [--jobs 100000] [--shops 20] [--seed 1] [--spark]
    python tests/bench/export_tables.py --shop FOLDER

Without a shop, the jobs are **invented**: their rows are made from the seed, as `invented_rows.py`
does it, so that what is timed is writing and asking and not the audit. With --shop, the shop in
FOLDER is audited into tables as `export` does it, and the same audit without tables is timed beside
it. With --spark the same questions are asked in Spark too, its start counted by itself.
"""

import argparse
import resource
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import TypeVar

sys.path.insert(0, str(Path(__file__).parents[1]))

from invented_rows import invented_tables

from baycompanion.audit.choice import Choice
from baycompanion.audit.shop import audit_shop
from baycompanion.audit.tables import in_duckdb, in_spark
from baycompanion.audit.tables.cross_shop import queries
from baycompanion.audit.tables.shop_tables import export_shops
from baycompanion.audit.tables.table_folders import TablesFolder

Result = TypeVar("Result")


def tell(line: str) -> None:
    """Print one line."""
    print(line, flush=True)  # noqa: T201


def timed(what: str, run: Callable[[], Result]) -> tuple[Result, float]:
    """Run it, print how long that took, and return what it gave with the seconds."""
    begun = time.perf_counter()
    result = run()
    took = time.perf_counter() - begun
    tell(f"  {what:44} {took:8.2f} s")
    return result, took


def size(folder: Path) -> float:
    """Return the megabytes of all files in `folder`."""
    return sum(path.stat().st_size for path in folder.iterdir()) / 1e6


def peak() -> float:
    """Return the most memory that this program has had so far, in MB."""
    used = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return used / (1e6 if sys.platform == "darwin" else 1e3)


def invented(folder: Path, jobs: int, shops: int, seed: int, spark: bool) -> None:
    """Print the figures of invented jobs."""
    tell(f"{jobs:,} invented jobs of {shops} shops, seed {seed}")
    names = [f"chain/shop-{number:02}" for number in range(1, shops + 1)]
    rows, wrote = timed(
        "make and write the rows as NDJSON",
        lambda: invented_tables(folder / "ndjson", jobs, names, seed),
    )
    tell(f"  {'jobs a second':44} {jobs / wrote:8,.0f}")
    tell(f"  {'most memory until here':44} {peak():8.0f} MB")
    (folder / "parquet").mkdir()
    timed("write them again as Parquet", lambda: in_duckdb.write_parquet(rows, folder / "parquet"))
    parquet = TablesFolder(folder / "parquet", "parquet", rows.shops)
    large, small = size(rows.path), size(parquet.path)
    tell(f"  {'NDJSON':44} {large:8.1f} MB")
    tell(f"  {'Parquet':44} {small:8.1f} MB, 1 in {large / small:.0f}")
    for tables in (rows, parquet):
        timed(
            f"all {len(queries())} questions, {tables.format}, DuckDB",
            lambda tables=tables: in_duckdb.answers([tables], queries()),
        )
    for query in queries():
        timed(f"  {query.name}", lambda query=query: in_duckdb.answers([parquet], [query]))
    tell(f"  {'most memory of all':44} {peak():8.0f} MB")
    if spark:
        timed("start of Spark, and no question", lambda: in_spark.answers([parquet], []))
        for tables in (rows, parquet):
            timed(
                f"all {len(queries())} questions, {tables.format}, Spark",
                lambda tables=tables: in_spark.answers([tables], queries()),
            )


def of_shop(folder: Path, shop: Path) -> None:
    """Print the figures of a shop."""
    now = datetime.now(UTC)
    tell(f"The shop in {shop}")
    _, plain = timed("audit without tables", lambda: list(audit_shop(shop, Choice(), now)))
    written, took = timed(
        "audit into NDJSON",
        lambda: export_shops([shop], folder / "ndjson", "ndjson", Choice(), now),
    )
    timed(
        "audit into Parquet",
        lambda: export_shops([shop], folder / "parquet", "parquet", Choice(), now),
    )
    tell(f"  {'jobs':44} {written.jobs:8,}")
    tell(f"  {'into NDJSON against without tables':44} {took / plain:8.2f} times as long")


def main() -> None:
    """Read the command line and print the figures."""
    reading = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    reading.add_argument("--jobs", type=int, default=100_000)
    reading.add_argument("--shops", type=int, default=20)
    reading.add_argument("--seed", type=int, default=1)
    reading.add_argument("--spark", action="store_true")
    reading.add_argument("--shop", type=Path)
    typed = reading.parse_args()
    with tempfile.TemporaryDirectory() as passing:
        if typed.shop is not None:
            of_shop(Path(passing), typed.shop)
        else:
            invented(Path(passing), typed.jobs, typed.shops, typed.seed, typed.spark)


if __name__ == "__main__":
    main()
