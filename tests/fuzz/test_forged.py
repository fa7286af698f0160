"""Files that hold together line by line and say what cannot be: somebody knew how they are tied."""

import json
from typing import Any

import pytest
from ground import NOW, Ground
from mutations import resealed

from baycompanion.audit.choice import Choice
from baycompanion.audit.one_job.files import JobFiles
from baycompanion.audit.one_job.gathering import facts_of
from baycompanion.audit.shop import ShopSeen, audit_shop
from baycompanion.store.job import journal
from baycompanion.store.job.folder import RECORD, read_job
from baycompanion.store.ledger import ledger
from baycompanion.store.recalls import due_counts
from baycompanion.store.trouble import StoreTrouble


def lines_of(content: bytes) -> list[dict[str, Any]]:
    return [json.loads(line) for line in content.splitlines()]


def forged(ground: Ground, lines: list[dict[str, Any]]) -> str:
    """Put `lines` in place of the journal, each tied to the one before; return the refusal."""
    (ground.job / journal.NAME).write_bytes(resealed(lines))
    with pytest.raises(StoreTrouble) as caught:
        read_job(ground.job)
    return str(caught.value)


def test_a_step_in_hand_that_no_procedure_has_is_told(ground: Ground) -> None:
    lines = lines_of(ground.journals[0])
    last = max(n for n, line in enumerate(lines) if line["kind"] == "begun")
    lines[last]["data"]["step"] = "no-such-step"
    told = forged(ground, lines[: last + 1])
    assert "the step in hand, “no-such-step”, is none of its procedure" in told
    assert str(ground.job / journal.NAME) in told


def test_a_phase_in_hand_that_no_procedure_has_is_told(ground: Ground) -> None:
    """The board, which names the phase, could not be shown at all."""
    lines = lines_of(ground.journals[0])
    last = max(n for n, line in enumerate(lines) if line["kind"] == "begun")
    lines[last]["data"]["phase"] = "no-such-phase"
    told = forged(ground, lines[: last + 1])
    assert "the phase in hand, “no-such-phase”, is none of its procedure" in told


def test_a_step_that_is_finished_without_an_answer_is_told(ground: Ground) -> None:
    lines = lines_of(ground.journals[1])
    settled = next(n for n, line in enumerate(lines) if line["kind"] == "settled")
    step = lines[settled]["data"]["step"]
    kept = [line for line in lines if line["kind"] != "answered" or line["data"]["step"] != step]
    assert f"the step “{step}” is finished without an answer" in forged(ground, kept)


def test_a_forged_journal_is_told_by_an_audit_too(ground: Ground) -> None:
    lines = lines_of(ground.journals[0])
    lines[1]["data"] = {"step": "no-such-step", "phase": "no-such-phase"}
    lines[1]["kind"] = "begun"
    (ground.job / journal.NAME).write_bytes(resealed(lines[:2]))
    facts = facts_of(JobFiles(ground.job), [], False)
    assert facts.unread or facts.findings


def test_a_field_of_a_record_with_a_name_without_end_is_told_in_a_sentence(ground: Ground) -> None:
    (ground.job / journal.NAME).write_bytes(ground.journals[-1])
    record = json.loads(ground.record)
    record["A" * 100_000] = 1
    (ground.job / RECORD).write_text(json.dumps(record))
    [told] = [
        finding.sentence
        for finding in facts_of(JobFiles(ground.job), [], False).findings
        if finding.rule.id == "record-differs"
    ]
    assert "is nothing that the events give" in told
    assert len(told) < 300


def test_an_answer_of_a_drill_that_is_no_answer_is_passed_over_in_the_list(ground: Ground) -> None:
    lines = lines_of(ground.recalls)
    lines[1]["data"]["face"] = [{}]
    ground.recalls_path.write_bytes(resealed(lines))
    due_counts(ground.shop.folder, NOW)


def test_a_line_that_was_seen_as_nothing_known_is_told(ground: Ground) -> None:
    lines = lines_of(ground.journals[-1])
    seen = [line for line in lines if line["kind"] == "ticked"]
    last = max(n for n, line in enumerate(seen) if line["data"]["step"] == "panels-after")
    seen[last]["data"]["outcome"] = "take-in"
    told = forged(ground, lines)
    assert "the step “panels-after” has a line that was seen as “take-in”" in told


@pytest.mark.parametrize(
    "forged_as", [{"by": 7}, {"by": None}, {"by": ["S1"]}, {"data": {"record": None}}]
)
def test_a_forged_entry_of_the_ledger_ends_no_audit(
    ground: Ground, forged_as: dict[str, Any]
) -> None:
    first, entered = lines_of(ground.ledger)
    entered["data"] |= forged_as.get("data", {})
    entered |= {name: value for name, value in forged_as.items() if name != "data"}
    (ground.bare / ledger.NAME).write_bytes(resealed([first, entered]))
    *_, seen = audit_shop(ground.bare, Choice(), NOW)
    assert isinstance(seen, ShopSeen)
    with (
        pytest.raises(StoreTrouble, match="does not fit"),
        ledger.held_ledger(ground.bare),
    ):
        pass
