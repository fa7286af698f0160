"""How much of what was planted in a chain of demo shops an audit finds, rule by rule.

    python tests/bench/audit_rules.py [--shops 12] [--jobs 60] [--seed 1] [--chain FOLDER]

A chain is made, or one that `baycompanion demo --chain` made is taken; it is audited through
`audit_shop`, at the moment that its `planted.json` names. Its shops, jobs and people are invented.

What counts as a match stands in chain_scores.py. What follows from a plant (a job whose folder was
renamed has no entry under its new name) is planted in no count, stands in a column of its own, and
is no false positive. Nor is what is planted faint, which means that so little shows it that a test
which keeps its false-alarm rate may stay silent: how much of that was found is told apart, and is
no part of the recall.

A false positive of a rule that tests chance can be honest work far out; each is printed.
"""

import argparse
import sys
import tempfile
import time
from collections.abc import Iterable, Iterator
from pathlib import Path

from baycompanion.audit.findings import Finding
from baycompanion.demo_chain.chain import Asked, make_chain

sys.path.insert(0, str(Path(__file__).parents[1]))
from chain_scores import Score, audited, read_truth, scores


def _share(share: float | None) -> str:
    return "     -" if share is None else f"{share:6.3f}"


def _row(rule: str, score: Score) -> str:
    faint = f"{score.faint_found} of {score.faint}"
    brought = f"{score.brought_found} of {score.brought}"
    return (
        f"{rule:<31} {score.planted:8} {score.found:6} {faint:>9} {brought:>9} "
        f"{len(score.false):6}     {_share(score.precision)} {_share(score.recall)}"
    )


def report(chain: Path) -> Iterator[str]:
    """Yield precision and recall of each rule on the chain, line by line."""
    planted, told = read_truth(chain)
    began = time.perf_counter()
    everything = list(audited(chain, told))
    took = time.perf_counter() - began
    by_rule = scores(planted, [each for each in everything if isinstance(each, Finding)])
    yield f"{len(planted)} plants and consequences, audited in {took:.1f} s."
    head = f"{'rule':<31} {'planted':>8} {'found':>6} {'faint':>9} {'brought':>9} {'false':>6}"
    yield f"{head}  precision recall"
    for rule, score in sorted(by_rule.items()):
        yield _row(rule, score)
    yield _row("all", _sum(by_rule.values()))
    for score in by_rule.values():
        yield from (f"missed: {missed}" for missed in score.missed)
        for each in score.false:
            yield f"false: {each.rule.id} · {Path(each.shop).name} · {each.job}: {each.sentence}"
    yield from (f"unread: {each}" for each in everything if isinstance(each, str))
    not_planted = told["not_planted"]
    assert isinstance(not_planted, list)
    yield from (f"not planted: {each['rule']}: {each['why']}" for each in not_planted)


def _sum(parts: Iterable[Score]) -> Score:
    """Return what came of all rules together."""
    whole = Score()
    for part in parts:
        whole.planted += part.planted
        whole.found += part.found
        whole.faint += part.faint
        whole.faint_found += part.faint_found
        whole.brought += part.brought
        whole.brought_found += part.brought_found
        whole.false += part.false
    return whole


def lines(asked: argparse.Namespace) -> Iterator[str]:
    """Yield what is printed: of a chain that is there, or of one that is made for this."""
    if asked.chain:
        yield from report(asked.chain)
        return
    with tempfile.TemporaryDirectory(prefix="baycompanion-bench-") as folder:
        began = time.perf_counter()
        make_chain(Path(folder), Asked(asked.shops, asked.jobs, asked.seed))
        took = time.perf_counter() - began
        jobs = asked.shops * asked.jobs
        yield f"{jobs} jobs played in {took:.1f} s: {60 * jobs / took:.0f} a minute."
        yield from report(Path(folder))


def main() -> None:
    """Make or take a chain, and print how its audit did."""
    told = argparse.ArgumentParser(description="Precision and recall of every rule of the audit.")
    told.add_argument("--shops", type=int, default=12)
    told.add_argument("--jobs", type=int, default=60, help="closed jobs of each shop")
    told.add_argument("--seed", type=int, default=1)
    told.add_argument("--chain", type=Path, help="a chain that is there already")
    for line in lines(told.parse_args()):
        print(line)  # noqa: T201


if __name__ == "__main__":
    main()
