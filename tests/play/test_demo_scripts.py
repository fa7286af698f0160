"""The scripts of the demo, played whole, and the records that they leave."""

import hashlib
import json
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
import rfc8785
from demo_days import play_day
from jsonschema import Draft202012Validator

from baycompanion.commands.schema import record_schema
from baycompanion.play.run import Played
from baycompanion.play.script import read_script
from baycompanion.store.job.folder import read_job, record_bytes, record_of
from baycompanion.store.shelf import shipped
from baycompanion.text.problem import BadFile, Problem

DEMO = shipped("demo")
CLOSED = ("good-day", "bad-day", "claim-day", "comeback", "dash-camera", "draw-hunt")
ALL = (*CLOSED, "half-way")


def play_demo(name: str, folder: Path) -> Played:
    """Play one script of the demo into a new shop in `folder`."""
    return play_day(DEMO / f"{name}.yaml", folder)


def record_in(played: Played) -> Any:
    """Return the record of a job as a program would read it."""
    return json.loads(record_bytes(record_of(read_job(played.folder))))


@pytest.fixture(scope="module")
def records(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """Return the record of each script of the demo."""
    root = tmp_path_factory.mktemp("demo")
    return {name: record_in(play_demo(name, root / name)) for name in ALL}


def test_every_script_of_the_demo_is_played_here() -> None:
    assert {path.stem for path in DEMO.glob("*.yaml")} == set(ALL)


def test_the_readme_of_the_demo_names_all_that_lies_there() -> None:
    told = (DEMO / "README.md").read_text(encoding="utf-8")
    for path in DEMO.iterdir():
        assert path.name == "README.md" or f"`{path.name}" in told


@pytest.mark.parametrize("name", CLOSED)
def test_a_finished_day_is_closed_with_no_step_left(name: str, records: dict[str, Any]) -> None:
    record = records[name]
    assert record["status"] == "closed"
    assert set(record["totals"]) <= {"done", "done with deviation", "not applicable", "overridden"}
    assert sum(record["totals"].values()) == len(record["steps"])


def test_the_half_way_job_is_under_way_with_its_step_in_hand(records: dict[str, Any]) -> None:
    record = records["half-way"]
    assert record["status"] == "provisional"
    assert record["clean"] is None
    assert [step["phase"] for step in record["steps"] if step["state"] == "in progress"] == [
        "bench-wiring"
    ]


@pytest.mark.parametrize("name", ALL)
def test_a_record_fits_its_schema_by_an_independent_validator(
    name: str, records: dict[str, Any]
) -> None:
    schema = record_schema()
    Draft202012Validator.check_schema(schema)
    errors = [error.message for error in Draft202012Validator(schema).iter_errors(records[name])]
    assert errors == []


@pytest.mark.parametrize("name", ALL)
def test_the_events_of_a_record_are_a_chain_by_the_rfc_library(
    name: str, records: dict[str, Any]
) -> None:
    """Canonical form by the reference library for RFC 8785, SHA-256 by hashlib."""
    record, prev = records[name], "0" * 64
    for event in record["events"]:
        assert event["prev"] == prev
        bare = {key: value for key, value in event.items() if key != "hash"}
        prev = hashlib.sha256(rfc8785.dumps(bare)).hexdigest()
        assert event["hash"] == prev
    assert record["last_hash"] == prev
    assert record["fingerprint"].replace("-", "") == prev[:16]


@pytest.mark.parametrize("name", CLOSED)
def test_the_time_of_the_phases_is_the_time_of_the_job(name: str, records: dict[str, Any]) -> None:
    """Worked and paused add up to the span from the first step to the end, by the wall clock."""
    record = records[name]
    begun = min(phase["begun_at"] for phase in record["phases"] if phase["begun_at"])
    span = datetime.fromisoformat(record["ended_at"]) - datetime.fromisoformat(begun)
    told = sum(phase["worked_seconds"] + phase["paused_seconds"] for phase in record["phases"])
    assert told == span.total_seconds()
    paused = sum(
        (
            datetime.fromisoformat(pause["ended_at"]) - datetime.fromisoformat(pause["at"])
        ).total_seconds()
        for pause in record["pauses"]
    )
    assert sum(phase["paused_seconds"] for phase in record["phases"]) == paused


@pytest.mark.parametrize("name", ["good-day", "dash-camera", "draw-hunt"])
def test_a_good_day_is_clean(name: str, records: dict[str, Any]) -> None:
    record = records[name]
    assert record["clean"] is True
    assert set(record["totals"]) <= {"done", "not applicable"}
    assert (record["faults"], record["overrides"], record["gaps"]) == ([], [], [])
    came_to = {gate["came_to"] for gate in record["gates"]}
    assert came_to <= {"opened by its condition", "not applicable"}


def outcomes(record: Any, step: str) -> list[str]:
    """Return the outcomes of every answer to a step, in order."""
    [found] = [each for each in record["steps"] if each["id"] == step]
    return [attempt["outcome"] for attempt in found["attempts"]]


def test_the_bad_day_keeps_the_failed_check_beside_the_passed_one(records: dict[str, Any]) -> None:
    assert outcomes(records["bad-day"], "rear-left") == ["failed", "passed"]


def test_the_bad_day_keeps_the_first_reading_beside_the_second(records: dict[str, Any]) -> None:
    assert outcomes(records["bad-day"], "short-to-ground") == ["outside", "inside"]


def test_the_bad_day_shows_who_opened_which_gate_without_its_condition(
    records: dict[str, Any],
) -> None:
    record = records["bad-day"]
    assert record["clean"] is False
    [override] = record["overrides"]
    assert (override["gate"], override["by"], override["role"]) == (
        "owner-agreed",
        "S-02",
        "supervisor",
    )
    assert override["reason"] and override["words"] and override["instead"] and override["missing"]
    [gate] = [gate for gate in record["gates"] if gate["came_to"] == "overridden"]
    assert gate["id"] == "owner-agreed"


def test_the_bad_day_pauses_and_changes_hands(records: dict[str, Any]) -> None:
    pauses = records["bad-day"]["pauses"]
    assert [pause["handed_to"] for pause in pauses] == [None, "T-11"]
    assert all(pause["loose"] and pause["first"] and pause["ended_at"] for pause in pauses)
    assert records["bad-day"]["technician"] == "T-11"


def test_the_bad_day_reopens_a_step_with_its_reason(records: dict[str, Any]) -> None:
    reopened = [step for step in records["bad-day"]["steps"] if step["reopened"]]
    assert [step["id"] for step in reopened] == ["adapter-voltage", "rear-left", "marks-after"]
    assert outcomes(records["bad-day"], "adapter-voltage-right") == ["failed", "passed"]
    assert outcomes(records["bad-day"], "rear-left") == ["failed", "passed"]


def test_the_bad_day_has_a_fault_of_the_vehicle_and_mended_ones_of_the_work(
    records: dict[str, Any],
) -> None:
    faults = [(fault["cause"], fault["open"]) for fault in records["bad-day"]["faults"]]
    assert faults == [("vehicle", True), ("work", False), ("work", False)]
    assert all(fault["cleared_words"] for fault in records["bad-day"]["faults"][1:])


def test_the_bad_day_finds_a_new_mark_where_it_is_and_settles_it(records: dict[str, Any]) -> None:
    found = [fault for fault in records["bad-day"]["faults"] if fault["mark"]]
    assert [(fault["item"], fault["mark"]["mark"]) for fault in found] == [
        ("dash-centre", "scratch")
    ]
    assert outcomes(records["bad-day"], "marks-after") == ["worse", "matching"]


def marks_told(record: Any) -> dict[str, list[str]]:
    """Return how the marks of each marked panel compare."""
    return {
        panel["item"]: [mark["word"] for mark in panel["marks"]]
        for panel in record["panels"]
        if panel["marks"]
    }


def test_a_good_day_gives_the_vehicle_back_with_the_marks_it_came_with(
    records: dict[str, Any],
) -> None:
    """Two readings of one mark with a rule differ a little, and are one mark all the same."""
    assert marks_told(records["good-day"]) == {
        "front-bumper": ["unchanged", "unchanged"],
        "left-front-seat": ["unchanged"],
    }
    [seat] = [each for each in records["good-day"]["panels"] if each["item"] == "left-front-seat"]
    assert [(each["before"]["size_mm"], each["after"]["size_mm"]) for each in seat["marks"]] == [
        (120, 115)
    ]


def test_the_good_day_lays_out_a_panel_nobody_foresaw_and_states_one_exchange(
    records: dict[str, Any],
) -> None:
    tray = records["good-day"]["tray"]
    assert [(line["panel"], line["added"]) for line in tray][-1] == ("Ashtray", True)
    assert all(line["left"] == 0 and line["size"] and line["slot"] for line in tray)
    [exchanged] = [line for line in tray if line["exchanged"]]
    assert exchanged["exchanged_for"] and exchanged["exchanged_why"]


def test_the_bad_day_has_one_screw_left_over_that_is_found_again(records: dict[str, Any]) -> None:
    record = records["bad-day"]
    assert outcomes(record, "tray-back") == ["not matching", "matching"]
    [step] = [each for each in record["steps"] if each["id"] == "tray-back"]
    assert step["attempts"][0]["details"] == {
        "receiver-screws": "Receiver: screws of the receiver, M5 × 12: "
        "4 off, 3 back, 1 left over, slot A3"
    }
    assert all(line["left"] == 0 for line in record["tray"])


def test_the_reasons_given_are_reasons_of_the_shop() -> None:
    shop = (DEMO / "shop" / "shop.yaml").read_text(encoding="utf-8")
    for path in DEMO.glob("*.yaml"):
        for move in read_script(path.read_text(encoding="utf-8"), path.name).moves:
            if hasattr(move.act, "override"):
                assert f"- {move.act.reason}\n" in shop


@pytest.mark.parametrize("name", ["bad-day", "half-way"])
def test_a_script_played_twice_gives_the_same_bytes(name: str, tmp_path: Path) -> None:
    first, second = (play_demo(name, tmp_path / at).folder for at in ("first", "second"))
    for file in ("journal.jsonl", "procedure.yaml", "record.json"):
        if (first / file).exists() or (second / file).exists():
            assert (first / file).read_bytes() == (second / file).read_bytes()


def test_the_demo_is_played_with_the_shipped_procedures_alone(tmp_path: Path) -> None:
    def problems() -> list[Problem]:
        try:
            play_demo("dash-camera", tmp_path / "shop")
        except BadFile as bad:
            return list(bad.problems)
        return []

    assert problems() == []
