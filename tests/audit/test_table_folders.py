"""Folders of tables: put in place whole, nothing foreign written over, and told from others."""

import json
from datetime import UTC, datetime
from pathlib import Path

import pytest
from invented_rows import invented_tables

from baycompanion.audit.choice import Choice
from baycompanion.audit.tables import shop_tables, table_folders
from baycompanion.audit.tables.columns import TABLES, VERSION
from baycompanion.audit.tables.shop_tables import Written, export_shops
from baycompanion.audit.tables.table_folders import (
    MARK,
    Format,
    TablesFolder,
    new_folder,
    read_tables_folder,
)
from baycompanion.store.trouble import StoreTrouble

NOW = datetime(2026, 3, 3, tzinfo=UTC)
FORMATS: tuple[Format, ...] = ("ndjson", "parquet")


def export(shop: Path, target: Path, format_: Format = "ndjson") -> Written:
    return export_shops([shop], target, format_, Choice(), NOW)


def names(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


@pytest.mark.parametrize("format_", FORMATS)
def test_a_folder_holds_a_file_for_each_table_and_what_they_are(
    shop: Path, tmp_path: Path, format_: Format
) -> None:
    target = tmp_path / "deep" / "tables"
    written = export(shop, target, format_)
    assert names(target) == {MARK, *(f"{table.name}.{format_}" for table in TABLES)}
    assert (
        written.folder == read_tables_folder(target) == TablesFolder(target, format_, (str(shop),))
    )
    assert (written.jobs, written.unread, written.rows["jobs"]) == (4, [], 4)
    told = json.loads((target / MARK).read_text("utf-8"))["tables"]
    assert {name: table["rows"] for name, table in told.items()} == written.rows
    assert told["phases"]["columns"]["worked_seconds"] == "whole: s worked in it"
    assert names(target.parent) == {"tables"}


def test_ndjson_is_a_json_object_a_line_with_the_columns_in_their_order(
    shop: Path, tmp_path: Path
) -> None:
    export(shop, tmp_path / "tables")
    for table in TABLES:
        lines = (tmp_path / "tables" / f"{table.name}.ndjson").read_bytes().splitlines()
        for line in lines:
            row = json.loads(line)
            assert list(row) == [column.name for column in table.columns]
            assert row["shop"] == str(shop)


def test_the_same_shop_gives_the_same_bytes(shop: Path, tmp_path: Path) -> None:
    for name in ("a", "b"):
        export(shop, tmp_path / name)
    for path in (tmp_path / "a").iterdir():
        assert path.read_bytes() == (tmp_path / "b" / path.name).read_bytes()


@pytest.mark.parametrize("before", FORMATS)
@pytest.mark.parametrize("after", FORMATS)
def test_older_tables_are_replaced_whole(
    shop: Path, tmp_path: Path, before: Format, after: Format
) -> None:
    target = tmp_path / "tables"
    export(shop, target, before)
    (target / f"jobs.{before}").write_bytes(b"older")
    export(shop, target, after)
    assert names(target) == {MARK, *(f"{table.name}.{after}" for table in TABLES)}
    assert (target / f"jobs.{after}").read_bytes() != b"older"
    assert names(tmp_path) >= {"tables"}
    assert not [name for name in names(tmp_path) if name.startswith(".")]


def test_an_empty_folder_is_filled(shop: Path, tmp_path: Path) -> None:
    (tmp_path / "tables").mkdir()
    assert export(shop, tmp_path / "tables").jobs == 4


@pytest.mark.parametrize("name", ["letter.txt", "jobs.csv", "jobs.ndjson", "tables.json"])
def test_a_folder_that_holds_something_else_is_not_written_over(
    shop: Path, tmp_path: Path, name: str
) -> None:
    """A file that is only called like one of ours is foreign too."""
    (tmp_path / "tables").mkdir()
    (tmp_path / "tables" / name).write_text("mine")
    with pytest.raises(StoreTrouble, match=rf"holds what is no exported table \({name}\)"):
        export(shop, tmp_path / "tables")
    assert (tmp_path / "tables" / name).read_text() == "mine"
    assert names(tmp_path / "tables") == {name}


def test_tables_with_something_else_beside_them_are_not_written_over(
    shop: Path, tmp_path: Path
) -> None:
    export(shop, tmp_path / "tables")
    (tmp_path / "tables" / "letter.txt").write_text("mine")
    with pytest.raises(StoreTrouble, match=r"\(letter\.txt\) and is not written over"):
        export(shop, tmp_path / "tables")
    assert (tmp_path / "tables" / "letter.txt").read_text() == "mine"


def test_a_link_leads_to_where_the_tables_are_written(shop: Path, tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    (tmp_path / "link").symlink_to(tmp_path / "real", target_is_directory=True)
    for _ in range(2):
        export(shop, tmp_path / "link")
        assert (tmp_path / "link").is_symlink()
        assert read_tables_folder(tmp_path / "real") is not None


def test_a_file_is_no_folder(shop: Path, tmp_path: Path) -> None:
    (tmp_path / "tables").write_text("mine")
    with pytest.raises(StoreTrouble, match=r"is a file\. Give the name of a folder"):
        export(shop, tmp_path / "tables")


def test_nothing_is_written_inside_a_shop(shop: Path) -> None:
    before = names(shop)
    for target in (shop, shop / "tables", shop / "jobs" / "tables"):
        with pytest.raises(StoreTrouble, match="lies in the shop folder"):
            export(shop, target)
    assert names(shop) == before


def test_what_goes_wrong_on_the_way_leaves_the_older_tables_and_nothing_else(
    shop: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "tables"
    export(shop, target)
    before = {path.name: path.read_bytes() for path in target.iterdir()}
    around = names(tmp_path)

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(shop_tables, "write_mark", full)
    with pytest.raises(StoreTrouble, match="cannot be written: no space left on device"):
        export(shop, target)
    assert {path.name: path.read_bytes() for path in target.iterdir()} == before
    assert names(tmp_path) == around


def test_a_full_disk_ends_the_export_and_is_no_job_that_cannot_be_read(
    shop: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Full:
        def write(self, _: str) -> None:
            raise OSError(28, "No space left on device")

        def __enter__(self) -> "Full":
            return self

        def __exit__(self, *_: object) -> None:
            pass

    entered = table_folders.RowFiles.__enter__

    def full(files: table_folders.RowFiles) -> table_folders.RowFiles:
        entered(files)
        files._files["jobs"].close()
        files._files["jobs"] = Full()  # type: ignore[assignment]
        return files

    monkeypatch.setattr(table_folders.RowFiles, "__enter__", full)
    with pytest.raises(StoreTrouble, match=r"The tables cannot be written in .*: no space left"):
        export(shop, tmp_path / "tables")
    assert not (tmp_path / "tables").exists()


def test_two_folders_are_changed_for_one_another_or_not_at_all(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the new one cannot be renamed, the old one stands again."""
    target = tmp_path / "tables"
    invented_tables(target, 3, ["one"])
    renamed = Path.rename

    def refused(path: Path, to: Path) -> Path:
        if ".part-" in path.name:
            raise OSError(13, "Permission denied")
        return renamed(path, to)

    monkeypatch.setattr(Path, "rename", refused)
    with pytest.raises(StoreTrouble, match="permission denied"), new_folder(target) as half:
        (half / "new").write_text("new")
    assert read_tables_folder(target) == TablesFolder(target, "ndjson", ("one",))
    assert names(tmp_path) == {"tables"}


def test_a_folder_without_the_mark_is_none_of_tables(shop: Path) -> None:
    assert read_tables_folder(shop) is None


@pytest.mark.parametrize(
    ("mark", "told"),
    [
        ("{", "does not say which tables these are"),
        ("[]", "does not say which tables these are"),
        ('{"version": 1, "format": "ndjson"}', "does not say which tables these are"),
        (json.dumps({"version": VERSION + 1, "format": "ndjson", "shops": []}), "another version"),
        (json.dumps({"version": VERSION, "format": "csv", "shops": []}), "another version"),
        (json.dumps({"version": VERSION, "format": "parquet", "shops": []}), "is not there"),
    ],
)
def test_tables_that_cannot_be_used_are_told_with_what_to_do(
    tmp_path: Path, mark: str, told: str
) -> None:
    tables = invented_tables(tmp_path / "tables", 3, ["one"])
    (tables.path / MARK).write_text(mark)
    with pytest.raises(StoreTrouble, match=told) as raised:
        read_tables_folder(tables.path)
    assert str(raised.value).endswith("Export anew.")
