"""How what an audit found of a chain of demo shops compares with what was planted there.

What counts as a match: the same rule in the same shop and the same job. Where a plant concerns a
whole shop, the same rule in the same shop, with the person, step or gate named in the sentence.
Findings of one rule in one job count once. Precision is the share of what was found that was
planted, or follows from a plant; recall is the share of what was planted that was found.
"""

import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from baycompanion.audit.choice import Choice
from baycompanion.audit.findings import Finding
from baycompanion.audit.shop import ShopSeen, audit_shop
from baycompanion.demo_chain.truth import NAME, Planted
from baycompanion.job.events.moment import read_moment


@dataclass(slots=True)
class Score:
    """What came of one rule."""

    planted: int = 0
    found: int = 0
    """Of what was planted."""
    faint: int = 0
    """Planted so that little shows it."""
    faint_found: int = 0
    brought: int = 0
    """Consequences of other plants, as the truth has them."""
    brought_found: int = 0
    false: list[Finding] = field(default_factory=list)
    missed: list[Planted] = field(default_factory=list)

    @property
    def precision(self) -> float | None:
        """The share of what was found that is there, None where nothing was found."""
        true = self.found + self.faint_found + self.brought_found
        return true / (true + len(self.false)) if true + len(self.false) else None

    @property
    def recall(self) -> float | None:
        """The share of what was planted that was found, None where nothing was planted."""
        return self.found / self.planted if self.planted else None


def read_truth(chain: Path) -> tuple[list[Planted], dict[str, object]]:
    """Return what was planted in a chain, and the whole of its file."""
    told = json.loads((chain / NAME).read_text(encoding="utf-8"))
    planted = [Planted(**{**each, "events": tuple(each["events"])}) for each in told["planted"]]
    return planted, told


def audited(chain: Path, told: dict[str, object]) -> Iterator[Finding | str]:
    """Yield what an audit of the chain finds, and what it could not read."""
    shops, until = told["shops"], read_moment(str(told["until"]))
    assert isinstance(shops, list)
    for shop in shops:
        for found in audit_shop(chain / shop, Choice(), until):
            if isinstance(found, Finding):
                yield found
            elif not isinstance(found, ShopSeen):
                yield str(found)


def matches(planted: Planted, found: Finding) -> bool:
    """Return whether `found` is what was `planted`."""
    same = planted.rule == found.rule.id and planted.shop == Path(found.shop).name
    if not planted.job:
        return same and planted.about in found.sentence
    return same and planted.job == found.job


def scores(planted: Sequence[Planted], found: Iterable[Finding]) -> dict[str, Score]:
    """Return what came of each rule."""
    by_rule: dict[str, Score] = {}
    left = {}
    for each in found:
        left.setdefault((each.rule.id, each.shop, each.job or each.sentence), each)
    findings = list(left.values())
    true: set[int] = set()
    for plant in planted:
        score = by_rule.setdefault(plant.rule, Score())
        hits = [n for n, each in enumerate(findings) if matches(plant, each)]
        true.update(hits)
        if plant.follows_from:
            score.brought += 1
            score.brought_found += bool(hits)
        elif plant.faint:
            score.faint += 1
            score.faint_found += bool(hits)
        else:
            score.planted += 1
            score.found += bool(hits)
        if not hits and not plant.faint:
            score.missed.append(plant)
    for number, each in enumerate(findings):
        if number not in true:
            by_rule.setdefault(each.rule.id, Score()).false.append(each)
    return by_rule
