"""A chain of demo shops: one seed gives the same bytes, and an audit finds what was planted."""

import hashlib
import json
import re
from pathlib import Path

import pytest
from chain_scores import audited, read_truth, scores

import baycompanion.audit
from baycompanion.audit.findings import Finding
from baycompanion.demo_chain.chain import MOST_SHOPS, Asked, make_chain
from baycompanion.demo_chain.plan import ALL_RULES, KINDS, NEVER_PLANTED
from baycompanion.procedure.check import check
from baycompanion.store.job.folder import list_jobs
from baycompanion.store.ledger.ledger import read_readable
from baycompanion.store.shelf import read_procedure, shipped
from baycompanion.store.shop import open_shop
from baycompanion.store.trouble import StoreTrouble
from baycompanion.trade.catalogue import SUMS

SMALL = Asked(shops=2, jobs=6, seed=7)
DENSE = Asked(shops=2, jobs=30, seed=1, every=1)
"""A plant in every job: together they hold every kind."""


@pytest.fixture(scope="module")
def chain(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a chain full of plants; nobody writes in it."""
    folder = tmp_path_factory.mktemp("chain") / "chain"
    make_chain(folder, DENSE)
    return folder


def bytes_of(folder: Path) -> dict[str, str]:
    """Return the hash of every file below a folder, by its path there."""
    return {
        str(path.relative_to(folder)): hashlib.sha256(path.read_bytes()).hexdigest()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def findings(chain: Path) -> list[Finding]:
    """Return what an audit finds; everything could be read."""
    _, told = read_truth(chain)
    found = list(audited(chain, told))
    assert [each for each in found if isinstance(each, str)] == []
    return [each for each in found if isinstance(each, Finding)]


def test_the_same_seed_gives_the_same_bytes_and_another_one_others(tmp_path: Path) -> None:
    make_chain(tmp_path / "first", SMALL)
    make_chain(tmp_path / "again", SMALL)
    make_chain(tmp_path / "other", Asked(SMALL.shops, SMALL.jobs, SMALL.seed + 1))
    first, again, other = (bytes_of(tmp_path / name) for name in ("first", "again", "other"))
    assert len(first) > SMALL.shops * SMALL.jobs * 4
    assert again == first
    assert other != first


def test_every_plant_is_found_and_so_is_what_follows_from_it(chain: Path) -> None:
    planted, _ = read_truth(chain)
    kinds = {each.rule for each in planted if not each.follows_from}
    assert kinds >= set(KINDS)
    by_rule = scores(planted, findings(chain))
    assert [missed for score in by_rule.values() for missed in score.missed] == []


def test_what_was_planted_stands_at_the_events_that_are_named(chain: Path) -> None:
    planted, _ = read_truth(chain)
    found = findings(chain)
    with_events = [each for each in planted if each.events]
    assert with_events
    for plant in with_events:
        own = [each for each in found if (each.rule.id, each.job) == (plant.rule, plant.job)]
        assert any(set(plant.events) <= set(each.events) for each in own), (plant, own)


def test_every_rule_is_planted_or_named_with_the_reason_why_not(chain: Path) -> None:
    planted, told = read_truth(chain)
    not_planted = told["not_planted"]
    assert isinstance(not_planted, list)
    there = {each.rule for each in planted if not each.follows_from}
    assert there | {each["rule"] for each in not_planted} == {*ALL_RULES, *NEVER_PLANTED}
    assert all(each["why"] for each in not_planted)
    assert there.isdisjoint(each["rule"] for each in not_planted)


def test_every_rule_of_the_audit_is_planted_or_named_as_never_planted() -> None:
    audit = Path(baycompanion.audit.__file__).parent
    texts = (module.read_text(encoding="utf-8") for module in audit.rglob("*.py"))
    rules = {name for text in texts for name in re.findall(r'\bRule\(\s*"([a-z-]+)"', text)}
    assert rules == {*ALL_RULES, *NEVER_PLANTED}


def test_an_honest_chain_has_no_finding_of_files_people_or_ledger(tmp_path: Path) -> None:
    make_chain(tmp_path / "honest", Asked(2, 8, 3, honest=True))
    planted, told = read_truth(tmp_path / "honest")
    assert planted == []
    assert findings(tmp_path / "honest") == []
    assert told["shops"] == ["001-behind-the-mill", "002-behind-the-ferry"]


def test_the_procedures_of_the_chain_have_no_problem() -> None:
    procedures = sorted((shipped("demo") / "chain").glob("*.yaml"))
    assert procedures
    for path in procedures:
        assert check(read_procedure(path), SUMS) == []


def test_a_shop_of_the_chain_opens_like_any_other(tmp_path: Path) -> None:
    make_chain(tmp_path / "chain", Asked(1, 3, 1, honest=True))
    shop = open_shop(tmp_path / "chain" / "001-behind-the-mill")
    assert shop.name == "The bay behind the mill"
    listed = [each for each in list_jobs(shop.jobs) if not isinstance(each, StoreTrouble)]
    assert sorted(each.status for each in listed) == ["closed"] * 3 + ["under way"]
    assert all(member.pin for member in shop.members.values())


@pytest.mark.parametrize(
    ("shops", "jobs"), [(0, 1), (-1, 1), (MOST_SHOPS + 1, 1), (1, 0), (1, 10**6)]
)
def test_numbers_that_make_no_chain_are_refused_in_one_sentence(shops: int, jobs: int) -> None:
    with pytest.raises(StoreTrouble, match=r"^A chain of -?\d+ .* cannot be made: 1 to [\d,]+\.$"):
        Asked(shops, jobs, 1)


def test_a_folder_with_something_in_it_is_refused_and_left_alone(tmp_path: Path) -> None:
    (tmp_path / "kept.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(StoreTrouble, match="is not empty"):
        make_chain(tmp_path, Asked(1, 1, 1))
    assert [path.name for path in tmp_path.iterdir()] == ["kept.txt"]


def test_the_truth_names_when_the_chain_is_to_be_looked_at(chain: Path) -> None:
    told = json.loads((chain / "planted.json").read_text(encoding="utf-8"))
    assert told["seed"] == DENSE.seed
    ledgers = chain.rglob("ledger.jsonl")
    newest = max(entry.at for path in ledgers for entry in read_readable(path))
    assert newest <= told["until"]
