"""`audit --engine`: the questions across shops, answered by a query engine from flat tables."""

import tempfile
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from typing import Literal

import click

from baycompanion.audit.choice import Choice
from baycompanion.audit.tables import in_duckdb, in_spark
from baycompanion.audit.tables.answer_table import table_lines
from baycompanion.audit.tables.cross_shop import Answer, queries
from baycompanion.audit.tables.shop_tables import write_rows
from baycompanion.audit.tables.table_folders import TablesFolder, read_tables_folder
from baycompanion.commands.audit import read_day
from baycompanion.commands.export import is_shop
from baycompanion.commands.opening import shop_paths
from baycompanion.exits import Exit
from baycompanion.mishaps import Chosen
from baycompanion.out import data, data_json, talk

Engine = Literal["duckdb", "spark"]

_ENGINES = {"duckdb": in_duckdb, "spark": in_spark}


def answer_across(
    chosen: Chosen,
    folders: Sequence[str],
    engine: Engine,
    as_json: bool,
    since: str | None,
    by: str | None,
    procedure: str | None,
    now: datetime,
) -> int:
    """Print what `engine` answers about all `folders` together; return 0, or 2 with some unread.

    A folder that holds `tables.json` is one of exported tables, and is asked as it is; one with
    jobs is a shop, which is audited into passing tables first.

    Raises:
        StoreTrouble: The engine is not installed, does not start or cannot read the tables.
    """
    chosen_engine = _ENGINES[engine]
    chosen_engine.refuse_without_library()
    choice = Choice(read_day(since), by or "", procedure or "")
    exported, shops = _sorted_out(shop_paths(chosen, folders))
    if exported and choice != Choice():
        raise click.UsageError(
            f"{exported[0].path} holds tables that are exported already: --since, --by and "
            "--procedure come with export"
        )
    _refuse_twice(exported, shops)
    unread: list[str] = []
    with tempfile.TemporaryDirectory(prefix="baycompanion-") as passing:
        asked = list(exported)
        if shops:
            written = write_rows(shops, Path(passing), choice, now)
            asked.append(written.folder)
            unread = written.unread
        answers = chosen_engine.answers(asked, queries())
    for trouble in unread:
        talk(trouble)
    _print(answers, engine, as_json, unread)
    return Exit.UNUSABLE if unread else Exit.DONE


def _sorted_out(paths: Sequence[Path]) -> tuple[list[TablesFolder], list[Path]]:
    """Return which of `paths` are exported tables, and which are shops.

    Raises:
        UsageError: One is neither.
        StoreTrouble: Tables cannot be used.
    """
    exported, shops = [], []
    for path in paths:
        tables = read_tables_folder(path)
        if tables is not None:
            exported.append(tables)
        elif is_shop(path):
            shops.append(path)
        else:
            raise click.UsageError(
                f"{path} is neither a shop folder, with jobs, nor one of tables that export wrote"
            )
    return exported, shops


def _refuse_twice(exported: Sequence[TablesFolder], shops: Sequence[Path]) -> None:
    """Refuse a shop that would count twice.

    Raises:
        UsageError: There is one.
    """
    seen: dict[str, Path] = {str(shop): shop for shop in shops}
    for tables in exported:
        for shop in tables.shops:
            if shop in seen:
                raise click.UsageError(
                    f"The shop {shop} is in {tables.path} and in {seen[shop]}, and would count "
                    "twice. Give one of them; two shops of one name are exported in one go, each "
                    "by its own path"
                )
            seen[shop] = tables.path


def _print(answers: Sequence[Answer], engine: Engine, as_json: bool, unread: list[str]) -> None:
    if as_json:
        told = {answer.query.name: answer.as_dict() for answer in answers}
        data_json({"engine": engine, "answers": told, "unread": unread})
        return
    for number, answer in enumerate(answers):
        if number:
            data("")
        for line in table_lines(answer):
            data(line)
