"""Connector files read into the splice plan of a job."""

import hashlib
from pathlib import Path

import pytest

from baycompanion.store.connectors import find_connectors, list_connectors, read_plan
from baycompanion.store.shelf import shipped
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.problem import BadFile

FOLDER = shipped("demo") / "connectors"
ISO = [FOLDER / f"{name}.yaml" for name in ("iso-10487-a", "iso-10487-b", "receiver")]


def test_a_plan_names_each_join_each_left_over_lead_and_the_files_it_came_from() -> None:
    """The joins of ISO 10487 with a receiver; the pins are checked where the wiring is."""
    plan = read_plan(ISO, ("grey 1500-6500",))
    joins = {line.item: line.name for line in plan.splice_plan}
    assert joins["constant-feed"].startswith("constant-feed: iso-a A4 yellow with receiver 9")
    assert {line.item for line in plan.splice_plan} >= {"constant-feed", "switched-feed", "ground"}
    assert len({line.item for line in (*plan.splice_plan, *plan.left_over)}) == len(
        plan.splice_plan
    ) + len(plan.left_over)
    assert [each.file for each in plan.files] == [path.name for path in ISO]
    assert plan.files[2].sha256 == hashlib.sha256(ISO[2].read_bytes()).hexdigest()


def test_a_lead_whose_function_is_not_known_is_never_planned_for() -> None:
    with pytest.raises(StoreTrouble, match=r"vehicle\.yaml:18:5: The function of vehicle/12"):
        read_plan([FOLDER / "vehicle.yaml", FOLDER / "receiver.yaml"], ())


def test_a_file_that_is_gone_or_says_something_else_is_told(tmp_path: Path) -> None:
    with pytest.raises(StoreTrouble, match=r"gone\.yaml"):
        read_plan([tmp_path / "gone.yaml", ISO[0]], ())
    path = tmp_path / "bad.yaml"
    path.write_text("connector: x\npins: 3\n", encoding="utf-8")
    with pytest.raises(BadFile):
        read_plan([path, ISO[0]], ())


def test_connectors_are_found_by_name_in_the_shop_or_by_path(tmp_path: Path) -> None:
    (tmp_path / "grey-van.yaml").write_text("connector: grey-van\n", encoding="utf-8")
    assert list(list_connectors(tmp_path)) == ["grey-van"]
    found = find_connectors(["grey-van", "somewhere/else.yaml"], tmp_path)
    assert found == [tmp_path / "grey-van.yaml", Path("somewhere/else.yaml")]
    with pytest.raises(StoreTrouble, match=r"no connector “grey-vam”\. Did you mean grey-van"):
        find_connectors(["grey-vam"], tmp_path)


def test_where_the_shop_has_no_connectors_a_path_is_asked_for(tmp_path: Path) -> None:
    with pytest.raises(StoreTrouble) as refused:
        find_connectors(["vehicle"], tmp_path)
    assert str(refused.value) == (
        "There is no connector “vehicle”. Type the path of its file, which ends in .yaml."
    )
