"""The whole chain: what is planted where, every shop played, and the truth written beside them."""

import importlib.util
import tempfile
from collections import deque
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from random import Random

from baycompanion.demo_chain.ledger_plants import LEDGER, SEALED
from baycompanion.demo_chain.log_plants import LOGS
from baycompanion.demo_chain.plan import ALL_RULES, KINDS, NEVER_PLANTED, WHOLE_SHOP, ShopPlan
from baycompanion.demo_chain.shop import play_shop
from baycompanion.demo_chain.truth import Truth
from baycompanion.store.durable import made_again_at_will
from baycompanion.store.trouble import StoreTrouble, because

MOST_SHOPS = 999
MOST_JOBS = 100_000
"""Jobs of one shop: three days at the pace at which they are made."""

EVERY = 3
"""One job in so many carries a plant, so that honest work is the most of a chain."""

FEWEST_FOR_LEDGER = 8
"""Jobs of a shop in whose ledger something is planted."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What chain is asked for."""

    shops: int
    jobs: int
    """Closed jobs of each shop."""
    seed: int
    honest: bool = False
    """Whether nothing is planted."""
    every: int = EVERY
    """One job in so many carries a plant, 1 or more."""

    def __post_init__(self) -> None:
        """Refuse numbers that make no chain.

        Raises:
            StoreTrouble: There are too few or too many.
        """
        for name, number, most in (
            ("shops", self.shops, MOST_SHOPS),
            ("jobs in each shop", self.jobs, MOST_JOBS),
        ):
            if not 1 <= number <= most:
                raise StoreTrouble(f"A chain of {number} {name} cannot be made: 1 to {most:,}.")


def make_chain(
    folder: Path, asked: Asked, tell: Callable[[str], None] = lambda told: None
) -> Truth:
    """Make the chain in `folder`, which is new or empty, and return what was planted.

    The same numbers give the same bytes. `tell` is called with the name of each shop as it begins.

    Raises:
        StoreTrouble: There is something in the folder, or it cannot be made or written.
    """
    _make(folder)
    plans = list(_plans(asked))
    until = max(plan.until for plan in plans)
    truth = Truth(not_planted=dict(NEVER_PLANTED))
    with tempfile.TemporaryDirectory(prefix="baycompanion-chain-") as scratch, made_again_at_will():
        for plan in plans:
            tell(plan.name)
            truth.planted += play_shop(folder / plan.name, plan, Path(scratch), until)
    if asked.honest:
        truth.settle(ALL_RULES, "nothing is planted in an honest chain")
    if not _can_seal():
        truth.settle(SEALED, "the library for seals is not installed")
    truth.settle(ALL_RULES, "so few shops and jobs have no room for it")
    truth.write(folder, asked.seed, [plan.name for plan in plans], until)
    return truth


def _make(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
        if any(folder.iterdir()):
            raise StoreTrouble(f"{folder} is not empty. Name a folder that is new or empty.")
    except (OSError, ValueError) as error:  # a NUL in the name is a ValueError
        why = because(error) if isinstance(error, OSError) else "it is no file name"
        raise StoreTrouble(f"The chain cannot be made in {folder}: {why}.") from None


def _plans(asked: Asked) -> Iterator[ShopPlan]:
    """Yield the plan of each shop: every kind of plant gets its turn, shop after shop."""
    chance = Random(f"{asked.seed}/plans")
    kinds = chance.sample(KINDS, len(KINDS))
    ledgers = [each for each in LEDGER if each not in SEALED or _can_seal()]
    ledgers = chance.sample(ledgers, len(ledgers))
    logs = chance.sample(tuple(LOGS), len(LOGS))
    roomy = asked.every > 1  # there are jobs that carry nothing else
    habits = [each for each, fewest in WHOLE_SHOP.items() if roomy and asked.jobs >= fewest]
    each = -(-asked.jobs // asked.every)
    for number in range(asked.shops):
        turned = deque(kinds)
        turned.rotate(-number * each)
        plan = ShopPlan(number, asked.jobs, asked.seed, asked.every, turned, honest=asked.honest)
        if not asked.honest and roomy and asked.jobs >= FEWEST_FOR_LEDGER:
            plan.ledger = ledgers[number % len(ledgers)]
            plan.log = logs[number % len(logs)]
        if not asked.honest and habits:
            turn, place = divmod(number, len(habits) + 1)
            plan.habit = [*habits, ""][place]
            plan.faint = turn % 2 == 1
        yield plan


def _can_seal() -> bool:
    return importlib.util.find_spec("cryptography") is not None
