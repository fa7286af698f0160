"""What an audit found as one HTML page to print, with room for an answer below each question."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import groupby
from typing import Any

from baycompanion.audit.choice import Choice
from baycompanion.audit.findings import Finding
from baycompanion.audit.rules.gate_counts import GateCount
from baycompanion.audit.rules.lots import Drawn
from baycompanion.audit.shop import ShopSeen
from baycompanion.sheets.page import fill


@dataclass(frozen=True, slots=True)
class AuditTold:
    """All that an audit of some shops came to."""

    shops: Sequence[ShopSeen]
    findings: Sequence[Finding]
    """By weight, the gravest first."""
    unread: Sequence[str]
    counts: str
    """How much was found, and in how many jobs it was looked for, in a sentence."""
    drawn: Sequence[Drawn] = ()
    """Jobs to look at on the vehicle."""


def audit_page(told: AuditTold, choice: Choice, when: datetime) -> str:
    """Return the page; no script, nothing fetched, and every text in it is shown as text."""
    form = {
        "when": f"Made {when:%Y-%m-%d %H:%M} UTC",
        "counts": told.counts,
        "only": choice.words,
        "shops": [_shop(shop) for shop in told.shops],
        "weights": [
            (weight.capitalize(), [_finding(each) for each in findings])
            for weight, findings in groupby(told.findings, key=lambda each: each.rule.weight)
        ],
        "drawn": [
            (" · ".join((each.shop, each.job, each.vehicle, each.why)), each.asks)
            for each in told.drawn
        ],
        "unread": told.unread,
    }
    return fill("audit.html", form, f"Audit, {when:%Y-%m-%d}")


def _shop(shop: ShopSeen) -> dict[str, Any]:
    revisions = groupby(shop.gates, key=lambda gate: (gate.procedure, gate.revision))
    return {
        "shop": str(shop.shop),
        "seal": shop.seal,
        "revisions": [(named, [_gate(gate) for gate in gates]) for named, gates in revisions],
    }


def _gate(gate: GateCount) -> dict[str, Any]:
    return gate.as_dict()


def _finding(finding: Finding) -> dict[str, Any]:
    where = (finding.rule.id, finding.shop, finding.job or "the whole shop", finding.evidence)
    return {
        "sentence": finding.sentence,
        "where": " · ".join(part for part in where if part),
        "words": finding.told_words,
    }
