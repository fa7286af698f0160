"""Whose past shortens a job, when it is read, and what happens when the job changes hands."""

from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from trained_shop import TrainedShop

from baycompanion.job.deciding.draft import Refused
from baycompanion.job.events.moment import read_moment
from baycompanion.job.hands_actions import HandOver, Resume
from baycompanion.store.job.done_right import Past
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.practice import make_practice, open_practice
from baycompanion.store.shelf import find_procedure, read_procedure
from baycompanion.views.card.card import Card
from baycompanion.views.card.cards import look_card
from baycompanion.working.guidance import Guidance


@pytest.fixture
def trained(tmp_path: Path) -> TrainedShop:
    return TrainedShop(tmp_path / "shop")


class Bench:
    """A job under way of N1, and the guidance of whoever has it."""

    def __init__(self, trained: TrainedShop, jobs: int) -> None:
        trained.play_well(jobs)
        played = trained.under_way("volts")
        self.shop = trained.shop
        self.now: datetime = read_moment(played.state.last_at) + timedelta(seconds=30)
        self.job = OpenJob(played.folder, self.shop.lists, self.shop.person("N1"), self.now)
        self.guidance = Guidance(self.shop, self.job)

    def read(self) -> tuple[str, Past] | None:
        to_read = self.guidance.to_read()
        return (to_read[0], to_read[1](lambda: False)) if to_read else None

    def card(self) -> Card:
        procedure = self.job.procedure
        return look_card(procedure, self.job.state, procedure.steps["volts"], self.now)

    @property
    def short(self) -> bool:
        return self.guidance.shown(self.card(), with_why=True).short

    def hand_to(self, who: str, mentor: str | None = None) -> None:
        had = self.job.state.technician
        given = HandOver(
            hand_over=who, words="lead is in", loose="nothing", first="volts", mentor=mentor
        )
        taken = Resume(resume="lead is in", gate_checked=True)
        for action, by in ((given, had), (taken, who)):
            done = self.job.act(action, self.shop.person(by), self.now)
            assert not isinstance(done, Refused), done


@pytest.fixture
def bench(trained: TrainedShop) -> Iterator[Bench]:
    made = Bench(trained, 4)
    yield made
    made.job.leave()


def test_the_past_of_whoever_has_the_job_is_read_once(bench: Bench) -> None:
    assert not bench.short
    read = bench.read()
    assert read is not None and read[0] == "N1" and len(read[1]) == 4
    bench.guidance.know(*read)
    assert bench.short
    assert bench.read() is None


def test_a_technician_who_takes_the_job_is_shown_all(bench: Bench) -> None:
    read = bench.read()
    assert read is not None
    bench.guidance.know(*read)
    bench.hand_to("T1")
    assert not bench.short and bench.read() is None


def test_another_trainee_is_held_to_their_own_past(bench: Bench) -> None:
    late = bench.read()
    bench.hand_to("N2", mentor="S1")
    assert not bench.short
    read = bench.read()
    assert read == ("N2", ())
    bench.guidance.know(*read)
    assert late is not None
    bench.guidance.know(*late)  # read for N1, and ready only now
    assert not bench.short


def test_turning_is_for_cards_that_are_short(bench: Bench) -> None:
    assert not bench.guidance.turn(bench.card(), with_why=True)
    read = bench.read()
    assert read is not None
    bench.guidance.know(*read)
    assert bench.guidance.turn(bench.card(), with_why=True) and not bench.short
    assert bench.guidance.shown(bench.card(), with_why=False).why == (
        "A lead without power looks like a dead mirror."
    )
    assert bench.guidance.turn(bench.card(), with_why=True) and bench.short


def test_where_nothing_fades_nothing_is_read(trained: TrainedShop) -> None:
    trained.set_shop("fade-after: 0")
    made = Bench(trained, 1)
    assert made.read() is None
    made.job.leave()


def test_practice_shows_all_of_every_step_and_reads_no_past(trained: TrainedShop) -> None:
    trained.play_well(6)
    shop, who = trained.shop, trained.shop.person("N1")
    now = read_moment(trained.under_way().state.last_at)
    loaded = read_procedure(find_procedure("mirror", shop.procedures))
    job = open_practice(make_practice(shop, loaded, who, now, 1, 0), who, now)
    guidance = Guidance(shop, job)
    card = look_card(job.procedure, job.state, job.procedure.steps["volts"], now)
    assert guidance.to_read() is None
    assert guidance.opens_why
    assert not guidance.shown(card, with_why=True).short
    job.leave()
