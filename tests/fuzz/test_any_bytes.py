"""Whatever bytes a parser is fed with, it reads them or refuses in a sentence.

This is the short form: every input that once failed, every seed, every monster, and some changed
at random from a fixed seed. The long one, guided by what it reaches, is `tests/bench/fuzz.py`.
"""

from pathlib import Path
from random import Random

import pytest
from ground import Ground
from monsters import MONSTERS
from mutations import mutated
from refusals import outcome_of
from targets import TARGETS, Target

CORPUS = Path(__file__).parent / "corpus"
CHANGED = 12
"""Inputs changed at random for each share of a target: some 500 in all, in six seconds."""

every_target = pytest.mark.parametrize("target", TARGETS.values(), ids=TARGETS)


@every_target
def test_what_is_whole_is_read(ground: Ground, target: Target) -> None:
    """Else the seeds would be refused at the door, and nothing behind it ever be reached."""
    outcomes = [
        outcome_of(lambda each: target.read(ground, each), seed) for seed in _seeds(ground, target)
    ]
    assert outcomes.count("read") >= len(outcomes) / 4


@every_target
def test_what_once_failed_is_read_or_refused(ground: Ground, target: Target) -> None:
    folder = CORPUS / target.name
    for path in sorted(folder.iterdir()) if folder.is_dir() else ():
        outcome_of(lambda each: target.read(ground, each), path.read_bytes())


@every_target
def test_monsters_are_read_or_refused(ground: Ground, target: Target) -> None:
    for make in MONSTERS.values():
        outcome_of(lambda each: target.read(ground, each), make())


@every_target
def test_what_is_changed_at_random_is_read_or_refused(ground: Ground, target: Target) -> None:
    random, seeds = Random(20260302), _seeds(ground, target)
    outcomes = set()
    for _ in range(CHANGED * target.share):
        content = mutated(random, target.kind, random.choice(seeds), seeds)
        outcomes.add(outcome_of(lambda each: target.read(ground, each), content))
    assert outcomes


def test_the_corpus_is_small_and_each_folder_is_that_of_a_target() -> None:
    folders = [path for path in CORPUS.iterdir() if path.is_dir()]
    assert {folder.name for folder in folders} <= TARGETS.keys()
    assert sum(path.stat().st_size for folder in folders for path in folder.iterdir()) < 300_000


def test_the_same_seed_gives_the_same_inputs(ground: Ground) -> None:
    target = TARGETS["journal"]
    seeds = target.seeds(ground)

    def drawn() -> list[bytes]:
        random = Random(7)
        return [mutated(random, target.kind, seeds[0], seeds) for _ in range(20)]

    assert drawn() == drawn()


def _seeds(ground: Ground, target: Target) -> list[bytes]:
    return list(target.seeds(ground))
