"""What happens more and more, against a table, a reference library, and orders counted."""

from itertools import combinations, product
from random import Random

import pytest
from scipy.stats import mannwhitneyu

from baycompanion.spread.rising import FEWEST, MOST, Rising, orders, rising
from baycompanion.spread.silence import Silence


def test_few_cases_by_the_published_table() -> None:
    """Mann and Whitney (1947), table I: the chance of U or less; values from memory."""
    table = {
        (1, 3): [0.250, 0.500],
        (2, 3): [0.100, 0.200, 0.400, 0.600],
        (3, 3): [0.050, 0.100, 0.200, 0.350, 0.500, 0.650],
        (4, 4): [0.014, 0.029, 0.057, 0.100, 0.171, 0.243, 0.343, 0.443, 0.557],
    }
    for (ones, others), chances in table.items():
        ways = orders(ones, others)
        below = [sum(ways[: u + 1]) / sum(ways) for u in range(len(chances))]
        assert below == pytest.approx(chances, abs=0.0006)


@pytest.mark.parametrize(("ones", "others"), [*product(range(1, 5), range(1, 5))])
def test_orders_are_those_that_can_be_counted_one_by_one(ones: int, others: int) -> None:
    counted = [0] * (ones * others + 1)
    for places in combinations(range(ones + others), ones):
        counted[sum(place - before for before, place in enumerate(places))] += 1
    assert orders(ones, others) == counted


@pytest.mark.parametrize("seed", range(30))
def test_the_chance_is_that_of_the_reference_library(seed: int) -> None:
    """scipy.stats.mannwhitneyu, exact, on the places in the order."""
    chance = Random(seed)
    happened = [chance.random() < 0.1 + 0.02 * seed for _ in range(chance.randint(FEWEST, 60))]
    found = rising(happened)
    if isinstance(found, Silence):
        assert len(set(happened)) == 1
        return
    late = [place for place, each in enumerate(happened) if each]
    rest = [place for place, each in enumerate(happened) if not each]
    reference = mannwhitneyu(late, rest, alternative="greater", method="exact").pvalue
    assert found.chance == pytest.approx(reference, rel=1e-9)


def test_the_halves_are_counted_and_only_the_newest_are_looked_at() -> None:
    happened = [True] * 500 + [False] * 75 + [True] * 25
    found = rising(happened)
    assert isinstance(found, Rising)
    assert (found.older, found.older_of, found.newer, found.newer_of) == (0, 50, 25, 50)
    assert found == rising(happened[-MOST:])
    assert found.chance < 1e-20


def test_too_few_and_all_alike_say_nothing() -> None:
    assert rising([False] * (FEWEST - 2) + [True]) == Silence("too few", FEWEST - 1, FEWEST)
    for alike in (True, False):
        assert rising([alike] * 30) == Silence("all alike", 30, FEWEST)


def test_what_becomes_rarer_is_no_rise() -> None:
    found = rising([True] * 10 + [False] * 20)
    assert isinstance(found, Rising)
    assert found.chance == 1.0
