"""A finding is known again by its key: in the next audit, and after the shop has moved."""

import shutil
from pathlib import Path

from asked import asked, closed, played, times
from test_gates_first import overridden

from baycompanion.audit.choice import Choice
from baycompanion.audit.findings import Finding, Rule
from baycompanion.audit.shop import audit_shop
from baycompanion.store.staff.staff import Member

RULE = Rule("odd", "minor")


def found_in(folder: Path) -> list[Finding]:
    return [each for each in audit_shop(folder, Choice()) if isinstance(each, Finding)]


def damaged(shop: Path) -> Path:
    """Return `shop` with something to find in every job, and in its ledger."""
    for number, job in enumerate(sorted((shop / "jobs").iterdir())):
        record = job / "record.json"
        if number == 0:
            record.unlink()
        elif number == 1:
            record.write_bytes(record.read_bytes().replace(b'"b"', b'"x"', 1))
        else:
            shutil.copytree(job, job.with_name(f"{job.name}-again"))
    with (shop / "ledger.jsonl").open("ab") as ledger:
        ledger.write(b"torn")
    return shop


def test_each_finding_of_a_rich_shop_has_a_key_of_its_own(shop: Path) -> None:
    keys = [finding.key for finding in found_in(damaged(shop))]
    assert len(keys) > 5
    assert len(set(keys)) == len(keys)


def test_each_question_about_the_work_has_a_key_of_its_own() -> None:
    jobs = [*times(12, overridden()), played(closed(), "job-100")]
    found = asked(jobs, members={"S9": Member(id="S9", role="supervisor")})
    assert {"gate-overridden", "gate-often-overridden"} <= {each.rule.id for each in found}
    assert len({each.key for each in found}) == len(found)


def test_keys_are_the_same_in_the_next_audit_and_after_the_folder_moved(
    shop: Path, tmp_path: Path
) -> None:
    first = [finding.key for finding in found_in(damaged(shop))]
    assert [finding.key for finding in found_in(shop)] == first
    moved = shop.rename(tmp_path / "elsewhere")
    assert [finding.key for finding in found_in(moved)] == first


def test_the_key_says_what_was_found_and_not_how_it_was_told() -> None:
    finding = Finding(RULE, "Twice in 10 jobs.", "job", (3,), about="the lamp")
    told_later = Finding(RULE, "Twice in 11 jobs.", "job", (3,), shop="here", about="the lamp")
    assert finding.key == told_later.key
    others = [
        Finding(Rule("other", "minor"), "", "job", (3,), about="the lamp"),
        Finding(RULE, "", "another job", (3,), about="the lamp"),
        Finding(RULE, "", "job", (3, 4), about="the lamp"),
        Finding(RULE, "", "job", (), (3,), about="the lamp"),
        Finding(RULE, "", "job", (3,), about="the mirror"),
    ]
    assert len({finding.key, *(other.key for other in others)}) == 6
    assert finding.key == "b9ac45e9808606d8"  # a key kept in a shop's journal must never change
