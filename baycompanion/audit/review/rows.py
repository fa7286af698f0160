"""What a review shows: a row for each gate, then for each finding, and one of them large."""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from baycompanion.audit.findings import Finding
from baycompanion.audit.review.finding_events import evidence
from baycompanion.audit.review.histories import finding_line, gate_counts_line
from baycompanion.audit.review.reviewing import GateSeen, Reviewing, asks_for_decision
from baycompanion.views.card.card import Piece

LOOKED, DECIDED, WAITS = "✓ looked at", "✓ decided", "· open"
"""How a finding stands, by sign and word."""


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a review; a heading where it leads nowhere."""

    text: str
    of: GateSeen | Finding | None = None


@dataclass(frozen=True, slots=True)
class Shown:
    """What of a review is shown."""

    all_gates: bool = False
    """Whether also those that always opened by their condition, and at once."""
    all_findings: bool = True
    """Whether also those that somebody has looked at."""


def rows(reviewing: Reviewing, how: Shown) -> Iterator[Row]:
    """Yield the gates first, then the findings by weight, people last."""
    yield from _gate_rows(reviewing, how)
    shown = reviewing.findings if how.all_findings else reviewing.waiting
    for weight, findings in groupby(shown, key=lambda each: each.rule.weight):
        yield Row(weight.upper())
        for finding in findings:
            shop = f" · {finding.shop}" if reviewing.many else ""
            yield Row(f"{standing(reviewing, finding)}  {finding_line(finding)}{shop}", finding)
    if not shown:
        none = "NOTHING THAT NOBODY HAS LOOKED AT" if reviewing.findings else "NO FINDINGS"
        yield Row(f"{none} IN WHAT WAS READ" if reviewing.unread else none)


def _is_quiet(gate: GateSeen) -> bool:
    """Return whether a gate held nobody up, and nobody overrode it or decided about it."""
    return not (gate.count.held or gate.count.overridden or gate.decisions)


def _gate_rows(reviewing: Reviewing, how: Shown) -> Iterator[Row]:
    every = list(reviewing.gates())
    gates = [gate for gate in every if how.all_gates or not _is_quiet(gate)]
    wide = min(26, max((len(gate.count.gate) for gate in gates), default=0))
    for (shop, procedure, revision), counted in groupby(
        gates, key=lambda gate: (gate.shop, gate.count.procedure, gate.count.revision)
    ):
        where = f" · {shop}" if reviewing.many else ""
        yield Row(f"GATES OF {procedure}, revision {revision}: in how many jobs{where}")
        for gate in counted:
            count = gate.count
            told = (
                f"{count.gate:{wide}} {count.overridden} of {count.reached} overridden, "
                f"{count.held} held"
            )
            yield Row(f"{told}{' ✓ decided' if gate.decisions else ''}", gate)
    if len(gates) < len(every):
        more = "more " if gates else ""
        left = len(every) - len(gates)
        yield Row(f"{left} {more}GATE{'S' * (left > 1)}: open by the condition, and held nobody up")


def standing(reviewing: Reviewing, finding: Finding) -> str:
    """Return how a finding stands, by sign and word."""
    if finding.looked_at is not None:
        return LOOKED
    return DECIDED if reviewing.decided(finding) is not None else WAITS


def large(reviewing: Reviewing, of: GateSeen | Finding) -> Iterator[Piece]:
    """Yield one gate or one finding, to read: the question, its evidence, the words for it."""
    if isinstance(of, GateSeen):
        yield from _large_gate(of)
        return
    where = (of.rule.weight, of.rule.id, of.job or "the whole shop", of.evidence)
    yield Piece("label", " · ".join(part for part in where if part))
    yield Piece("plain", of.sentence)
    yield from (Piece("good", told) for told in of.told_words)
    decided = reviewing.decided(of)
    if decided is not None:
        yield Piece("good", decided.told)
        yield Piece("quiet", "The next audit heeds it.")
    elif asks_for_decision(of):
        yield Piece("notice", "It asks for a decision about the gate.")
    events = list(evidence(of))
    if events:
        yield Piece("label", "Its events (UTC):")
        yield from events


def _large_gate(gate: GateSeen) -> Iterator[Piece]:
    yield Piece("label", f"gate · {gate.count.names}")
    yield Piece("plain", f"In how many jobs: {gate_counts_line(gate)}.")
    for why, often in gate.count.reasons.most_common():
        yield Piece("plain", f"overridden: {why} ({often})")
    for cause, often in gate.count.waited_for.most_common():
        yield Piece("plain", f"held by: {cause} ({often})")
    for decision in gate.decisions:
        yield Piece("good", decision.told)
