"""Line by line, a trainee hears less of a step that was right before, and all of it on `why`."""

import contextlib
from collections import deque
from datetime import timedelta
from pathlib import Path

import pytest
from listener import Clock, Typist
from trained_shop import TrainedShop

from baycompanion.job.events.moment import read_moment
from baycompanion.plain.job import walk_job

PUSH = "Push the lead in with the flat of the trim tool, hand by hand."
SEAM = "Stay 20 mm clear of the seam at the pillar."
WHY = "Why: The lead that is seen is the one that the owner brings back."
SHORT = "Shown short: done right 4 times in a row (from 3 on). All of it: why."


@pytest.fixture
def trained(tmp_path: Path) -> TrainedShop:
    return TrainedShop(tmp_path / "shop")


def listen(
    trained: TrainedShop, *typed: str, who: str = "N1", until: str = "lead-laid"
) -> list[str]:
    """Return what is heard at a job that stops before the step `until`, without its prompts."""
    played = trained.play(who=who, until=until)
    clock = Clock(read_moment(played.state.last_at) + timedelta(seconds=30))
    typist = Typist(clock, deque(typed))
    with contextlib.suppress(EOFError):
        walk_job(trained.shop, played.folder, None, typist, clock)
    return [line for line in typist.heard if line not in typist.prompts]


def test_a_step_done_right_four_times_is_read_in_its_first_words(trained: TrainedShop) -> None:
    trained.play_well(4)
    heard = listen(trained)
    at = heard.index("Tools: Trim tool")
    assert heard[at - 2 : at + 9] == [
        "WARNING: The curtain airbag lies behind the headliner. Stay in front of it.",
        "Lay the lead along the headliner.",
        "Tools: Trim tool",
        "Push the lead in…",
        SEAM,
        "Never pull at a connector.",
        "Tape it down.",
        SHORT,
        "Photo: wanted (photo)",
        "Target: 5 min",
        "Why: The lead that is…",
    ]


@pytest.mark.parametrize("word", ["why", "?why", "f8"])
def test_why_reads_all_of_it_and_then_only_why(trained: TrainedShop, word: str) -> None:
    trained.play_well(4)
    heard = listen(trained, word)
    assert heard.index(PUSH) > heard.index(SHORT)
    assert heard.count(SHORT) == 1
    assert heard.count(WHY) == 1


def test_why_once_more_says_the_why_and_again_reads_all_of_it_again(trained: TrainedShop) -> None:
    trained.play_well(4)
    heard = listen(trained, "why", "why", "again")
    assert heard.count(SHORT) == 1
    assert (heard.count(PUSH), heard.count(WHY)) == (2, 3)


def test_another_step_is_read_short_too_when_it_is_looked_at(trained: TrainedShop) -> None:
    trained.play_well(4)
    heard = listen(trained, "look 3")
    assert "Hold the black probe…" in heard
    assert [line for line in heard if line.startswith("Shown short")] == [
        SHORT,
        SHORT.replace("why.", "why 3."),
    ]
    assert "Limits: 11.5 V or more (Invented)" in heard
    assert "Read V with the ignition on." in heard


def test_why_with_a_number_reads_all_of_that_step_and_the_one_in_hand_stays(
    trained: TrainedShop,
) -> None:
    trained.play_well(4)
    heard = listen(trained, "look 3", "why 3", "again", "why 99")
    whole = "Hold the black probe on bare metal of the body."
    assert [line for line in heard if line.startswith("Hold the black probe")] == [
        "Hold the black probe…",
        whole,
    ]
    assert heard.count(SHORT) == 2
    assert any(line.startswith("Type the number of a step, from 1 to ") for line in heard)


def test_where_a_value_is_typed_why_is_read_with_its_mark(trained: TrainedShop) -> None:
    trained.play_well(4)
    heard = listen(trained, "?look 2", until="volts")
    short = [line for line in heard if line.startswith("Shown short")]
    here, looked_at = short
    assert here.endswith("All of it: ?why.")
    assert looked_at.endswith("All of it: ?why 2.")


@pytest.mark.parametrize(("jobs", "who"), [(2, "N1"), (6, "N2"), (6, "T1")])
def test_everything_is_read_to_whoever_needs_it(trained: TrainedShop, jobs: int, who: str) -> None:
    trained.play_well(jobs)
    heard = listen(trained, who=who)
    assert PUSH in heard
    assert not any(line.startswith("Shown short") for line in heard)
    assert (WHY in heard) is who.startswith("N")


def test_why_of_a_whole_card_says_the_why_alone(trained: TrainedShop) -> None:
    heard = listen(trained, "why")
    assert heard.count(WHY) == 2 and heard.count(PUSH) == 1
