"""Orders of parts on the command line: at `start`, in a script, under `check` and `schema`."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import Result
from jsonschema import Draft202012Validator
from ordered import ORDER_TEXT
from yaml import safe_load

from baycompanion.exits import Exit

Run = Callable[..., Result]
START = ("start", "lamp", "--work-order", "WO 1042", "--vehicle", "van", "--by", "T1", "--order")
DEMO = Path(__file__).parents[2] / "demo"


@pytest.fixture
def order(tmp_path: Path) -> Path:
    path = tmp_path / "order.yaml"
    path.write_text(ORDER_TEXT, encoding="utf-8")
    return path


def test_a_job_starts_with_its_order_pinned_in_the_first_event(
    run: Run, shop_folder: Path, order: Path
) -> None:
    result = run(*START, str(order), "--json")
    assert result.exit_code == Exit.DONE, result.stderr
    journal = Path(json.loads(result.stdout)["folder"]) / "journal.jsonl"
    pinned = json.loads(journal.read_text(encoding="utf-8"))["data"]["order"]
    assert pinned["order"] == "O-77"
    assert pinned["parts"][1] == {
        "name": "Caps in a bag",
        "part": "cap",
        "code": "0815",
        "count": 3,
    }


def test_a_bad_order_starts_no_job_and_is_told_with_its_line(
    run: Run, shop_folder: Path, order: Path
) -> None:
    order.write_text(ORDER_TEXT.replace("count: 3", "count: three"), encoding="utf-8")
    result = run(*START, str(order))
    assert result.exit_code != Exit.DONE
    assert result.stderr.startswith(f"{order}:4:59: “count” cannot be “three”. Write a whole numb")
    assert list((shop_folder / "jobs").iterdir()) == []


def test_an_order_that_is_not_there_is_told(run: Run, shop_folder: Path, tmp_path: Path) -> None:
    result = run(*START, str(tmp_path / "none.yaml"))
    assert result.exit_code == Exit.TROUBLE
    assert "none.yaml" in result.stderr and result.stderr.count("\n") == 1


@pytest.mark.parametrize("typed", ["'{path}'", "{escaped}", "{url}"])
def test_the_path_of_an_order_is_read_as_a_dropped_one(
    run: Run, shop_folder: Path, tmp_path: Path, typed: str
) -> None:
    path = tmp_path / "order (van).yaml"
    path.write_text(ORDER_TEXT, encoding="utf-8")
    escaped = str(path).replace(" ", "\\ ").replace("(", "\\(").replace(")", "\\)")
    result = run(*START, typed.format(path=path, escaped=escaped, url=path.as_uri()))
    assert result.exit_code == Exit.DONE, result.stderr


def test_half_a_url_for_an_order_is_told_in_one_sentence(run: Run, shop_folder: Path) -> None:
    result = run(*START, "file://[2001")
    assert result.exit_code == Exit.TROUBLE
    assert "leads to no file" in result.stderr and result.stderr.count("\n") == 1


def test_check_reads_an_order(run: Run, shop_folder: Path, order: Path) -> None:
    assert run("check", str(order)).exit_code == Exit.DONE
    order.write_text(ORDER_TEXT.replace("part: cap", "part: receiver"), encoding="utf-8")
    result = run("check", str(order))
    assert result.exit_code == Exit.REFUSED
    assert f"{order}:4:12: The part “receiver” stands on this order twice" in result.stdout


def test_the_schema_of_an_order_takes_what_is_read_and_no_more(run: Run) -> None:
    schema = json.loads(run("schema", "order").stdout)
    Draft202012Validator.check_schema(schema)
    validator = Draft202012Validator(schema)
    for path in (DEMO / "orders").glob("*.yaml"):
        assert list(validator.iter_errors(safe_load(path.read_text(encoding="utf-8")))) == []
    assert list(validator.iter_errors({"order": "x", "parts": [{"nme": "x"}]})) != []
