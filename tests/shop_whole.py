"""Whether the ledger and the index of a shop are whole, whatever was done to the shop at once.

The ledger is read without any code of the program: its lines as JSON, the canonical form by the
library rfc8785, the hash by the standard library, the index by the standard library's own check of
a database.
"""

import hashlib
import json
import sqlite3
from collections import Counter
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

import rfc8785

from baycompanion.audit.chains import integrity
from baycompanion.audit.choice import Choice
from baycompanion.audit.findings import Finding
from baycompanion.audit.reading.all_jobs import Way
from baycompanion.audit.shop import ShopSeen, audit_shop
from baycompanion.store.ledger.entering import enter_missing
from baycompanion.store.trouble import StoreTrouble

AFTERWARDS = {integrity.ENROLLED.id, integrity.ENTERED_LATE.id}
"""What an audit tells of entries that were made later, which is no loss."""


def what_is_wrong(shop: Path, now: datetime) -> list[str]:
    """Return what is wrong with the shop in `shop` once what was left out is entered, in words.

    Entering is what the board does when it opens; it is done twice, and the second time must add
    nothing.
    """
    enter_missing(shop, now)
    once = _content(shop / "ledger.jsonl")
    enter_missing(shop, now)
    wrong = [] if _content(shop / "ledger.jsonl") == once else ["entering twice adds entries"]
    wrong += _ledger_against_jobs(shop)
    wrong += _audited(shop, Way())
    return wrong


def audited_alike(shop: Path) -> list[str]:
    """Return how an audit by the index, as it was left, differs from one without any."""
    base = sqlite3.connect(shop / "audit-index.sqlite")
    [said] = base.execute("PRAGMA integrity_check").fetchone()
    base.close()
    wrong = [] if said == "ok" else [f"the index: {said}"]
    if _audited(shop, Way(trust="stamps"), all_rules=True) != _audited(shop, Way(), all_rules=True):
        wrong.append("an audit by the index finds something else than one without it")
    return wrong


def _content(path: Path) -> bytes:
    return path.read_bytes() if path.exists() else b""


def ledger_entries(shop: Path) -> Iterator[dict[str, Any]]:
    """Yield the entries of the ledger of `shop`; an assertion fails where its chain breaks."""
    prev = "0" * 64
    content = _content(shop / "ledger.jsonl")
    assert content.endswith(b"\n") or not content, "the last entry is torn"
    for number, line in enumerate(content.splitlines(), 1):
        entry = json.loads(line)
        bare = {name: value for name, value in entry.items() if name != "hash"}
        assert (entry["seq"], entry["prev"]) == (number, prev), f"entry {number} is tied to another"
        assert entry["hash"] == hashlib.sha256(rfc8785.dumps(bare)).hexdigest(), f"entry {number}"
        prev = entry["hash"]
        yield entry


def _ledger_against_jobs(shop: Path) -> list[str]:
    """Return which ended jobs are not entered exactly once as they ended, or that a chain broke."""
    try:
        entries = list(ledger_entries(shop))
    except (AssertionError, ValueError, KeyError) as error:
        return [f"the ledger is not whole: {error!r}"]
    entered = Counter((each["data"].get("job"), each["data"].get("head")) for each in entries)
    wrong = [f"{job} is entered {many} times" for (job, _), many in entered.items() if many > 1]
    for journal in sorted((shop / "jobs").glob("*/journal.jsonl")):
        events = [json.loads(line) for line in journal.read_bytes().splitlines()]
        ended = any(each["kind"] in ("closed", "abandoned") for each in events)
        if ended and not entered[journal.parent.name, events[-1]["hash"]]:
            wrong.append(f"{journal.parent.name} has ended and is not in the ledger")
    return wrong


def _audited(shop: Path, way: Way, all_rules: bool = False) -> list[str]:
    """Return what an audit finds of files and chains; with `all_rules`, whatever it finds."""
    found = []
    for each in audit_shop(shop, Choice(), None, way):
        if isinstance(each, StoreTrouble):
            found.append(f"audit: {each}")
        elif isinstance(each, Finding) and (all_rules or _is_damage(each)):
            found.append(f"audit: {each.rule.id} {each.job} {each.sentence}")
        elif isinstance(each, ShopSeen) and all_rules:
            found.append(f"{each.jobs} jobs")
    return found


def _is_damage(found: Finding) -> bool:
    rules = {each.id for each in vars(integrity).values() if isinstance(each, integrity.Rule)}
    of_chains = {
        each.id
        for rules in (integrity.BROKEN_EVENTS, integrity.BROKEN_LEDGER, integrity.PHOTO)
        for each in rules.values()
    }
    return found.rule.id in (rules | of_chains) - AFTERWARDS
