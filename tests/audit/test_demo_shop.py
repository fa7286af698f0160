"""The demo shop under audit: what its closed jobs are known to hold is found, and no more."""

import shutil
from collections import Counter
from datetime import UTC, datetime
from pathlib import Path

import pytest

from baycompanion.audit.choice import Choice
from baycompanion.audit.findings import Finding
from baycompanion.audit.shop import ShopSeen, audit_shop
from baycompanion.commands.demo import fill
from baycompanion.store.shop import Shop, open_shop

NOW = datetime(2026, 3, 6, 15, 0, tzinfo=UTC)


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Shop:
    """Return the demo shop as the command makes it."""
    folder = tmp_path_factory.mktemp("demo") / "shop"
    shutil.copytree(Path(__file__).parents[2] / "demo" / "shop", folder)
    shop = open_shop(folder)
    fill(shop, NOW)
    return shop


def audited(shop: Shop, **only: str) -> tuple[list[Finding], ShopSeen]:
    """Return findings and what was seen; everything could be read."""
    *found, seen = audit_shop(shop.folder, Choice(**only), NOW)
    assert isinstance(seen, ShopSeen)
    findings = [each for each in found if isinstance(each, Finding)]
    assert len(findings) == len(found)
    return findings, seen


def job_of(shop: Shop, order: str) -> str:
    """Return the name of the one closed job of a work order."""
    closed = [each for each in shop.jobs.glob(f"*-{order}") if (each / "record.json").exists()]
    [folder] = closed
    return folder.name


def rules(found: list[Finding], job: str) -> Counter[str]:
    return Counter(each.rule.id for each in found if each.job == job)


def test_the_day_of_the_claim_has_four_overrides_and_left_worse_than_it_came(demo: Shop) -> None:
    found, _ = audited(demo)
    assert rules(found, job_of(demo, "d-2231")) == {
        "gate-overridden": 4,
        "closed-worse-than-before": 1,
        "closed-with-open-fault": 1,
    }


def test_what_came_back_for_our_work_is_told_with_the_gates_that_were_opened(demo: Shop) -> None:
    found, _ = audited(demo)
    [told] = [each for each in found if each.rule.id == "came-back-for-our-work"]
    assert told.job == job_of(demo, "d-2248")
    assert told.about == job_of(demo, "d-2231")
    assert "Rear right speaker: worked when it left" in told.sentence
    assert "Right front door" not in told.sentence
    gates = "sound-before-dash, tray-empty, functions-as-before, no-new-mark"
    assert f"with 4 gates opened with authority: {gates}." in told.sentence


def test_an_audit_of_the_demo_finds_nothing_else_serious(demo: Shop) -> None:
    found, seen = audited(demo)
    assert seen.jobs == 7
    serious = [each for each in found if each.rule.weight != "minor"]
    assert Counter(each.rule.id for each in serious) == {
        "gate-overridden": 5,
        "closed-worse-than-before": 1,
        "closed-with-open-fault": 1,
        "came-back-for-our-work": 1,
    }
    assert {each.rule.id for each in found} - {each.rule.id for each in serious} <= {
        "answered-too-fast"
    }


def test_gates_are_counted_over_the_jobs_that_reached_them(demo: Shop) -> None:
    _, seen = audited(demo)
    gates = {(each.procedure, each.gate): each for each in seen.gates}
    tray = gates["receiver-swap", "tray-empty"]
    assert (tray.reached, tray.passed, tray.overridden, tray.held) == (3, 2, 1, 1)
    assert tray.reasons == {"owner agreed to take the vehicle as it is": 1}


@pytest.mark.parametrize(
    ("only", "jobs", "overrides"),
    [
        ({"procedure": "dash-camera-hardwire"}, 1, 0),
        ({"procedure": "receiver-swap"}, 4, 5),
        ({"by": "S-02"}, 5, 5),
        ({"since": "2999-01-01"}, 0, 0),
    ],
)
def test_what_narrows_an_audit_narrows_gates_and_questions_too(
    demo: Shop, only: dict[str, str], jobs: int, overrides: int
) -> None:
    found, seen = audited(demo, **only)
    assert seen.jobs == jobs
    assert sum(each.rule.id == "gate-overridden" for each in found) == overrides
    assert sum(gate.overridden for gate in seen.gates) == overrides
    named = {gate.procedure for gate in seen.gates}
    assert "procedure" not in only or named == {only["procedure"]}


def test_every_finding_of_the_work_is_a_question_with_evidence(demo: Shop) -> None:
    found, _ = audited(demo)
    assert found
    for each in found:
        assert each.sentence.endswith("?")
        assert each.events
