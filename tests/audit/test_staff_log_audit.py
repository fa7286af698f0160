"""The log of the staff under audit: what was done to it is named, and nothing else."""

import json
from datetime import timedelta
from pathlib import Path

import pytest
from bay import START

from baycompanion.audit.choice import Choice
from baycompanion.audit.findings import Finding
from baycompanion.audit.shop import audit_shop
from baycompanion.job.events.chain import canonical, hash_event
from baycompanion.store.staff.staff_log import (
    NAME,
    Added,
    GuidanceSet,
    PinGiven,
    Retired,
    log_change,
)
from baycompanion.store.trouble import StoreTrouble


@pytest.fixture
def log(shop: Path) -> Path:
    """Return a log of four changes."""
    changes = (
        Added(who="S1", role="supervisor"),
        Added(who="T1", role="trainee"),
        PinGiven(who="T1"),
        Retired(who="T1"),
    )
    for hour, change in enumerate(changes):
        log_change(shop / NAME, change, "S1", START + timedelta(hours=hour))
    return shop / NAME


def audited(shop: Path) -> tuple[list[Finding], list[str]]:
    found = list(audit_shop(shop, Choice()))
    return (
        [each for each in found if isinstance(each, Finding)],
        [str(each) for each in found if isinstance(each, StoreTrouble)],
    )


def test_a_log_that_holds_and_a_shop_without_one_are_told_nothing(shop: Path, log: Path) -> None:
    assert audited(shop) == ([], [])
    log.unlink()
    assert audited(shop) == ([], [])


def test_guidance_that_was_set_is_a_change_like_any_other(shop: Path, log: Path) -> None:
    log_change(log, GuidanceSet(who="T1", times=0), "S1", START + timedelta(hours=5))
    log_change(log, GuidanceSet(who="T1"), "S1", START + timedelta(hours=6))
    assert audited(shop) == ([], [])
    lines = log.read_bytes()
    log.write_bytes(lines.replace(b'"times":0', b'"times":9'))
    [found], _ = audited(shop)
    assert found.rule.id == "staff-log-changed" and "line 5" in found.sentence


@pytest.mark.parametrize(
    ("order", "rule", "said"),
    [
        ([0, 2, 3], "staff-log-missing", "Line 2 is missing"),
        ([1, 2, 3], "staff-log-missing", "Line 1 is missing"),
        ([0, 2, 1, 3], "staff-log-reordered", "Lines 2, 3 stand in another order"),
        ([0, 1, 1, 2, 3], "staff-log-extra", "Line 2 stands there once too often"),
    ],
)
def test_lines_that_are_not_as_they_were_are_named(
    shop: Path, log: Path, order: list[int], rule: str, said: str
) -> None:
    lines = log.read_bytes().splitlines(keepends=True)
    log.write_bytes(b"".join(lines[number] for number in order))
    [found], unread = audited(shop)
    assert unread == []
    assert (found.rule.id, found.rule.weight, found.job) == (rule, "grave", "")
    assert found.sentence.startswith(said)
    assert f"({NAME}, line " in found.sentence


@pytest.mark.parametrize("at", range(4))
def test_a_changed_line_is_named(shop: Path, log: Path, at: int) -> None:
    lines = log.read_bytes().splitlines(keepends=True)
    lines[at] = lines[at].replace(b'"by":"S1"', b'"by":"S2"')
    log.write_bytes(b"".join(lines))
    [found], _ = audited(shop)
    assert found.rule.id == "staff-log-changed"
    assert found.sentence.startswith(f"Line {at + 1} was changed ({NAME}, line {at + 1}): its hash")


def test_a_line_written_anew_with_its_hash_shows_by_the_next_one(shop: Path, log: Path) -> None:
    lines = log.read_bytes().splitlines(keepends=True)
    raw = {**json.loads(lines[1]), "by": "S2"}
    lines[1] = canonical({**raw, "hash": hash_event(raw)}) + b"\n"
    log.write_bytes(b"".join(lines))
    [found], _ = audited(shop)
    assert found.rule.id == "staff-log-changed"
    assert found.sentence.startswith("Lines 2, 3 do not hold together")


def test_a_torn_end_is_told_as_what_a_crash_leaves(shop: Path, log: Path) -> None:
    with log.open("ab") as file:
        file.write(b'{"at":')
    [found], unread = audited(shop)
    assert unread == []
    assert (found.rule.id, found.rule.weight) == ("staff-log-torn", "minor")
    assert found.sentence.startswith(f"{NAME} ends with 6 bytes that are no whole line.")


def test_a_log_that_cannot_be_read_is_named_and_the_rest_audited(shop: Path, log: Path) -> None:
    log.unlink()
    log.mkdir()
    (shop / "jobs" / "20260302-a" / "record.json").unlink()
    found, [told] = audited(shop)
    assert NAME in told
    assert [each.rule.id for each in found] == ["record-gone"]


def test_a_chain_that_holds_and_says_what_no_program_writes_is_named(shop: Path, log: Path) -> None:
    raw = {**json.loads(log.read_bytes().splitlines()[0]), "kind": "joined"}
    log.write_bytes(canonical({**raw, "hash": hash_event(raw)}) + b"\n")
    found, [told] = audited(shop)
    assert found == []
    assert f"{NAME}:1:" in told
