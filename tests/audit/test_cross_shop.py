"""The questions across shops in DuckDB, against plain Python over the same rows."""

import json
import statistics
from collections import Counter, defaultdict
from itertools import groupby
from pathlib import Path
from typing import Any

import pytest
from invented_rows import ODD_NAME, invented_tables

from baycompanion.audit.rules.rows import Row
from baycompanion.audit.tables import in_spark
from baycompanion.audit.tables.answer_table import WIDTH, table_lines
from baycompanion.audit.tables.columns import TABLES
from baycompanion.audit.tables.cross_shop import Answer, queries
from baycompanion.audit.tables.in_duckdb import answers, write_parquet
from baycompanion.audit.tables.table_folders import TablesFolder
from baycompanion.store.trouble import StoreTrouble

SHOPS = ("chain/north", "chain/south", "chain/a b[1]{x}%20’s,")


@pytest.fixture(scope="module")
def tables(tmp_path_factory: pytest.TempPathFactory) -> TablesFolder:
    """Return tables of invented jobs, in a folder whose name has signs that mean something."""
    return invented_tables(tmp_path_factory.mktemp("tables") / ODD_NAME, 400, SHOPS)


@pytest.fixture(scope="module")
def told(tables: TablesFolder) -> dict[str, Answer]:
    return {answer.query.name: answer for answer in answers([tables], queries())}


def rows_in(tables: TablesFolder, table: str) -> list[Row]:
    """Return the rows of one table, read without any engine."""
    text = tables.file(table).read_text(encoding="utf-8")
    return [json.loads(line) for line in text.splitlines()]


def by(answer: Answer) -> dict[tuple[Any, ...], dict[str, Any]]:
    """Return the figures of an answer by what its rows stand for."""
    keys = len(answer.query.by)
    figures = answer.columns[keys:]
    return {row[:keys]: dict(zip(figures, row[keys:], strict=True)) for row in answer.rows}


def test_gates_come_first_and_people_last() -> None:
    names = [query.name for query in queries()]
    assert names[:2] == ["overrides_by_gate", "overrides_by_gate_and_shop"]
    assert names[-1] == "overrides_by_person"


def test_every_query_of_the_file_is_read_and_begins_with_what_it_is_by(
    told: dict[str, Answer],
) -> None:
    text = Path(__file__).parents[2] / "baycompanion" / "audit" / "tables" / "cross_shop.sql"
    assert text.read_text(encoding="utf-8").count("-- query:") == len(queries()) == len(told)
    for answer in told.values():
        assert answer.columns[: len(answer.query.by)] == answer.query.by


def test_overrides_by_gate_are_counted_as_by_hand(
    tables: TablesFolder, told: dict[str, Answer]
) -> None:
    counts: dict[tuple[Any, ...], Counter[str]] = defaultdict(Counter)
    shops: dict[tuple[Any, ...], set[str]] = defaultdict(set)
    for row in rows_in(tables, "gates"):
        key = row["procedure"], row["revision"], row["gate"]
        shops[key].add(row["shop"])
        counts[key].update(
            name for name in ("reached", "passed", "overridden", "held") if row[name]
        )
        counts[key]["not_applicable"] += not row["reached"]
    answered = by(told["overrides_by_gate"])
    assert answered.keys() == counts.keys()
    for key, row in answered.items():
        assert row.pop("shops") == len(shops[key])
        share = counts[key]["overridden"] / counts[key]["reached"]
        assert row.pop("overridden_share") == pytest.approx(share, rel=1e-12)
        assert row == {name: counts[key][name] for name in row}
    order = [key[2] for key in answered if key[:2] == ("receiver", 2)]
    assert order == ["safe", "sound", "tray-empty"]  # as they stand in the procedure


def test_overrides_by_gate_and_shop_add_up_to_those_by_gate(told: dict[str, Answer]) -> None:
    whole = by(told["overrides_by_gate"])
    added: dict[tuple[Any, ...], Counter[str]] = defaultdict(Counter)
    for key, row in by(told["overrides_by_gate_and_shop"]).items():
        added[key[:3]].update({name: row[name] for name in ("reached", "overridden")})
    assert added
    for key, row in whole.items():
        if row["overridden"]:
            assert added[key] == {name: row[name] for name in ("reached", "overridden")}
        else:
            assert key not in added


def times(tables: TablesFolder, *names: str) -> dict[tuple[Any, ...], list[int]]:
    """Return the seconds worked in closed jobs, grouped by these columns."""
    closed = {(row["shop"], row["job"]) for row in rows_in(tables, "jobs") if is_closed(row)}
    found: dict[tuple[Any, ...], list[int]] = defaultdict(list)
    for row in rows_in(tables, "phases"):
        if (row["shop"], row["job"]) in closed:
            found[tuple(row[name] for name in names)].append(row["worked_seconds"])
    return found


def is_closed(row: Row) -> bool:
    return bool(row["status"] == "closed")


QUARTER, HALF, THREE_QUARTERS, NINE_IN_TEN = 4, 9, 14, 17
"""Where these shares stand among nineteen cut points, of which each is a twentieth further."""


def test_phase_times_are_quantiles_of_the_stated_definition(
    tables: TablesFolder, told: dict[str, Answer]
) -> None:
    """Against `statistics.quantiles` of Python with `inclusive`, which is definition 7 too."""
    by_hand = times(tables, "procedure", "revision", "phase")
    answered = by(told["phase_times"])
    assert answered.keys() == by_hand.keys()
    for key, row in answered.items():
        cuts = statistics.quantiles(by_hand[key], n=20, method="inclusive")
        assert row["jobs"] == len(by_hand[key])
        assert row["quarter_seconds"] == pytest.approx(cuts[QUARTER], rel=1e-12)
        assert row["half_seconds"] == pytest.approx(cuts[HALF], rel=1e-12)
        assert row["three_quarters_seconds"] == pytest.approx(cuts[THREE_QUARTERS], rel=1e-12)
        assert row["nine_in_ten_seconds"] == pytest.approx(cuts[NINE_IN_TEN], rel=1e-12)


def test_phase_times_by_shop_are_the_same_within_each_shop(
    tables: TablesFolder, told: dict[str, Answer]
) -> None:
    by_hand = times(tables, "procedure", "revision", "phase", "shop")
    answered = by(told["phase_times_by_shop"])
    assert answered.keys() == by_hand.keys()
    for key, row in answered.items():
        cuts = statistics.quantiles(by_hand[key], n=20, method="inclusive")
        assert row["jobs"] == len(by_hand[key])
        assert row["half_seconds"] == pytest.approx(cuts[HALF], rel=1e-12)
        assert row["nine_in_ten_seconds"] == pytest.approx(cuts[NINE_IN_TEN], rel=1e-12)


def test_jobs_over_their_target_are_counted_and_those_without_one_are_not(
    tables: TablesFolder, told: dict[str, Answer]
) -> None:
    closed = {(row["shop"], row["job"]) for row in rows_in(tables, "jobs") if is_closed(row)}
    over = Counter(
        (row["procedure"], row["revision"], row["phase"])
        for row in rows_in(tables, "phases")
        if (row["shop"], row["job"]) in closed
        and row["target_seconds"] is not None
        and row["worked_seconds"] > row["target_seconds"]
    )
    assert {key: row["over_target"] for key, row in by(told["phase_times"]).items()} == over


def test_overrides_by_shop_are_counted_as_by_hand(
    tables: TablesFolder, told: dict[str, Answer]
) -> None:
    jobs = Counter(row["shop"] for row in rows_in(tables, "jobs"))
    gates = rows_in(tables, "gates")
    reached = Counter(row["shop"] for row in gates if row["reached"])
    bypassed = Counter(row["shop"] for row in gates if row["overridden"])
    with_one = Counter(
        shop for shop, _ in {(r["shop"], r["job"]) for r in gates if r["overridden"]}
    )
    answered = by(told["overrides_by_shop"])
    assert set(answered) == {(shop,) for shop in SHOPS}
    for (shop,), row in answered.items():
        assert row == {
            "jobs": jobs[shop],
            "jobs_with_one": with_one[shop],
            "gates_reached": reached[shop],
            "gates_overridden": bypassed[shop],
            "overridden_share": pytest.approx(bypassed[shop] / reached[shop], rel=1e-12),
        }


def test_overrides_by_person_are_counted_within_a_shop_as_by_hand(
    tables: TablesFolder, told: dict[str, Answer]
) -> None:
    overrides = rows_in(tables, "overrides")
    given = Counter((row["shop"], row["person"]) for row in overrides)
    jobs = Counter((row["shop"], row["person"]) for row in rows_in(tables, "hands"))
    without = Counter((row["shop"], row["person"]) for row in overrides if not row["with_pin"])
    in_jobs = {(row["shop"], row["person"], row["job"]) for row in overrides}
    at_gates = {(r["shop"], r["person"], r["procedure"], r["gate"]) for r in overrides}
    answered = by(told["overrides_by_person"])
    assert answered.keys() == given.keys()
    for key, row in answered.items():
        assert row == {
            "jobs": jobs[key],
            "jobs_with_one": sum(each[:2] == key for each in in_jobs),
            "overrides": given[key],
            "gates": sum(each[:2] == key for each in at_gates),
            "without_pin": without[key],
        }


def test_findings_stand_by_weight_with_those_about_people_last(
    tables: TablesFolder, told: dict[str, Answer]
) -> None:
    found = Counter((row["weight"], row["rule"]) for row in rows_in(tables, "findings"))
    answered = by(told["findings_by_rule"])
    assert {key: row["findings"] for key, row in answered.items()} == found
    assert next(iter(answered)) == ("serious", "gate-overridden")
    assert list(answered)[-1] == ("minor", "not-on-staff")
    weights = [weight for weight, _ in groupby(weight for weight, _ in answered)]
    assert weights == ["serious", "minor"], "each weight once, as in an audit; people last in it"
    assert answered["minor", "ledger-torn"]["jobs"] == 0


def test_parquet_gives_the_same_answers_and_several_folders_are_asked_as_one(
    tables: TablesFolder, told: dict[str, Answer], tmp_path: Path
) -> None:
    write_parquet(tables, tmp_path)
    parquet = TablesFolder(tmp_path, "parquet", tables.shops)
    assert answers([parquet], queries()) == list(told.values())
    one, other = (
        invented_tables(tmp_path / shop.rpartition("/")[2], 50, [shop], seed)
        for seed, shop in enumerate(SHOPS[:2])
    )
    (tmp_path / "p").mkdir()
    write_parquet(other, tmp_path / "p")
    together = answers([one, TablesFolder(tmp_path / "p", "parquet", other.shops)], queries())
    [shops] = [each for each in together if each.query.name == "overrides_by_shop"]
    assert [row[:2] for row in shops.rows] == [(SHOPS[0], 50), (SHOPS[1], 50)]


def test_tables_without_rows_have_answers_without_rows(tmp_path: Path) -> None:
    empty = invented_tables(tmp_path / "empty", 0, SHOPS)
    for answer in answers([empty], queries()):
        assert answer.rows == ()
        assert table_lines(answer) == [answer.query.tells.upper(), "  none"]


def test_a_table_that_is_none_is_told_in_one_sentence(tables: TablesFolder, tmp_path: Path) -> None:
    write_parquet(tables, tmp_path)
    (tmp_path / "gates.parquet").write_bytes(b"no parquet")
    with pytest.raises(StoreTrouble) as raised:
        answers([TablesFolder(tmp_path, "parquet", ())], queries())
    assert str(raised.value).startswith("The tables cannot be read or written: ")
    assert "gates.parquet" in str(raised.value)
    assert "\n" not in str(raised.value)


def test_every_answer_fits_80_columns_and_says_its_figures(told: dict[str, Answer]) -> None:
    for answer in told.values():
        lines = table_lines(answer)
        assert lines[0] == answer.query.tells.upper()
        assert max(map(len, lines)) <= WIDTH == 80
    lines = table_lines(told["overrides_by_shop"])
    assert [line.split()[0] for line in lines[3:]] == ["a", "north", "south"]
    row = by(told["overrides_by_shop"])["chain/north",]
    assert lines[4].split()[1:] == [
        *map(str, (row["jobs"], row["jobs_with_one"], row["gates_reached"])),
        str(row["gates_overridden"]),
        f"{row['overridden_share']:.0%}",
    ]


def test_a_time_within_which_jobs_stayed_is_told_as_the_charts_tell_it() -> None:
    """A median of 5 min 40 s was told as 5 min, within which half of the jobs did not stay."""
    [query] = [query for query in queries() if query.name == "phase_times"]
    times = ("quarter", "half", "three_quarters", "nine_in_ten")
    columns = (*query.by, "shops", "jobs", *(f"{each}_seconds" for each in times), "over_target")
    row = ("lamp", 2, "fit", 1, 23, 40.0, 340.0, 599.4, 3725.0, 0)
    *_, told = table_lines(Answer(query, columns, (row,)))
    said = [each.strip() for each in told.split("  ") if each.strip()]
    assert said[-5:-1] == ["40 s", "5 min 40 s", "9 min 59 s", "1 h 02 min"]


def test_a_long_name_stands_on_a_line_of_its_own_so_that_its_figures_keep_their_columns() -> None:
    [query] = [query for query in queries() if query.name == "overrides_by_gate"]
    figures = ("shops", "reached", "passed", "overridden", "held", "not_applicable")
    long, row = "gate-with-a-name-" * 4, (12, 1234, 1234, 123, 1234, 123, 0.1)
    answer = Answer(
        query,
        (*query.by, *figures, "overridden_share"),
        (("q", 1, long, *row), ("q", 1, "short", *row)),
    )
    *_, group, name, first, second = table_lines(answer)
    assert (group, name) == ("  q, revision 1", f"    {long}")
    assert first.split() == second.split()[1:]
    assert len(first) == len(second) <= WIDTH


def test_there_is_a_description_for_every_column() -> None:
    for table in TABLES:
        assert table.row
        names = [column.name for column in table.columns]
        assert len(set(names)) == len(names)
        assert all(column.says for column in table.columns)
        for column in table.columns:
            if column.name.endswith("_seconds"):
                assert column.says.startswith("s "), column


def test_spark_stays_on_this_computer_unless_it_is_led_elsewhere(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("SPARK_CONF_DIR", "PYSPARK_SUBMIT_ARGS"):
        monkeypatch.delenv(name, raising=False)
    for name in ("SPARK_LOCAL_IP", "SPARK_LOCAL_HOSTNAME"):
        monkeypatch.setenv(name, "as it was")  # and so again after this test
    here = in_spark._settings(tmp_path)
    assert here["spark.master"] == "local[*]"
    assert here["spark.driver.bindAddress"] == "127.0.0.1"
    assert here["spark.local.dir"] == str(tmp_path)
    monkeypatch.setenv("SPARK_CONF_DIR", str(tmp_path))
    there = in_spark._settings(tmp_path)
    assert not {"spark.master", "spark.driver.bindAddress", "spark.local.dir"} & there.keys()
    for settings in (here, there):
        assert settings["spark.ui.enabled"] == "false"
        assert settings["spark.sql.warehouse.dir"].startswith("file:")


def test_the_innermost_cause_of_what_spark_says_is_told() -> None:
    said = "An error.\n: a.B: no\n\tat c.D\nCaused by: e.F: first\nCaused by: g.H: last one.\n"
    assert in_spark._cause(Exception(said)) == "last one"
    assert in_spark._cause(Exception("\n[NO] Not this way.\nmore")) == "[NO] Not this way"
    assert in_spark._cause(Exception()) == "Exception"
