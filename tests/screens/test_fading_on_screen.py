"""A trainee's job at 80 columns: short where a step was done right before, whole again by F8."""

import asyncio
from collections.abc import Awaitable, Callable
from datetime import timedelta
from pathlib import Path

import pytest
from bench import READ, job_screen, press, shown
from pictures import text_of
from syrupy.assertion import SnapshotAssertion
from test_pictures import TextFile
from textual.pilot import Pilot
from trained_shop import FAILED_FIRST, FAULT_FOUND, PROCEDURE, TrainedShop
from walker import Clock

from baycompanion.job.deciding.draft import Person
from baycompanion.job.events.moment import read_moment
from baycompanion.screens.app import BayApp
from baycompanion.screens.board.past_reading import read_done
from baycompanion.working.guidance import Guidance

N1 = Person("N1", "trainee")
PUSH = "• Push the lead in with the flat of the trim tool, hand by hand."
PUSH_SHORT = "• Push the lead in…"
SEAM = "• Stay 20 mm clear of the seam at the pillar."
WARNING = "WARNING  The curtain airbag lies behind the headliner. Stay in front of it."
WHY = "Why: The lead that is seen is the one that the owner brings back."

Drive = Callable[[Pilot[int]], Awaitable[None]]


@pytest.fixture
def trained(tmp_path: Path) -> TrainedShop:
    return TrainedShop(tmp_path / "shop")


def run(
    trained: TrainedShop,
    drive: Drive,
    *,
    who: str = "N1",
    until: str = "lead-laid",
    size: tuple[int, int] = (80, 24),
) -> None:
    """Begin a job of `who` that stops before the step `until`, and open it on a screen."""
    played = trained.play(who=who, until=until)
    clock = Clock(read_moment(played.state.last_at) + timedelta(seconds=30))
    app = BayApp(trained.shop, played.folder, trained.shop.person(who), clock)

    async def walk() -> None:
        async with app.run_test(size=size) as pilot:
            await pilot.pause()
            await drive(pilot)
            await app.action_quit()

    asyncio.run(walk())


def card(pilot: Pilot[int]) -> list[str]:
    """Return the lines of the card: its cautions, what belongs to it, and the why below."""
    parts = (shown(pilot, part) for part in ("#before", "#pieces", "#why"))
    return [line for part in parts for line in part.splitlines() if line]


def quiet(pilot: Pilot[int]) -> list[str]:
    return [line for line in card(pilot) if line.startswith("Shown short: ")]


def test_everything_is_shown_until_the_past_is_read(
    trained: TrainedShop, monkeypatch: pytest.MonkeyPatch
) -> None:
    trained.play_well(3)
    monkeypatch.setattr(Guidance, "to_read", lambda self: None)

    async def drive(pilot: Pilot[int]) -> None:
        assert PUSH in card(pilot) and WHY in card(pilot) and quiet(pilot) == []
        monkeypatch.undo()
        read_done(pilot.app.screen, job_screen(pilot)._guidance)
        await press(pilot, READ)
        assert PUSH_SHORT in card(pilot) and len(quiet(pilot)) == 1

    run(trained, drive)


@pytest.mark.parametrize(
    ("jobs", "push", "seam", "why"),
    [
        (0, [PUSH], [SEAM], [WHY]),
        (2, [PUSH], [SEAM], [WHY]),
        (3, [PUSH_SHORT], [SEAM], ["Why: The lead that is…"]),
        (6, [], [SEAM], []),
    ],
)
def test_less_is_shown_the_oftener_it_was_right_and_f8_shows_all(
    trained: TrainedShop, jobs: int, push: list[str], seam: list[str], why: list[str]
) -> None:
    trained.play_well(jobs)
    says = [f"Shown short: done right {jobs} times in a row (from 3 on). All of it: F8."]

    async def drive(pilot: Pilot[int]) -> None:
        await press(pilot, READ)
        short = card(pilot)
        assert [line for line in short if "Push" in line] == push
        assert [line for line in short if "seam" in line] == seam
        assert [line for line in short if line.startswith("Why: ")] == why
        assert short[0] == WARNING
        assert "Tools: Trim tool" in short and "Photo: wanted (F3)" in short
        assert quiet(pilot) == (says if jobs >= 3 else [])
        await press(pilot, "f8")
        if jobs >= 3:
            assert PUSH in card(pilot) and WHY in card(pilot) and quiet(pilot) == []
            await press(pilot, "f8")
            assert card(pilot) == short
        else:
            assert card(pilot) == [line for line in short if line != WHY]  # as F8 always did

    run(trained, drive)


def test_what_f8_opened_is_that_step_and_no_other(trained: TrainedShop) -> None:
    trained.play_well(4)

    async def drive(pilot: Pilot[int]) -> None:
        await press(pilot, READ, "f8")
        assert PUSH in card(pilot)
        await press(pilot, "down")
        assert "• Hold the black probe…" in card(pilot) and len(quiet(pilot)) == 1
        assert "Limits: 11.5 V or more (Invented)" in card(pilot)
        await press(pilot, "f8")
        assert "• Hold the black probe on bare metal of the body." in card(pilot)
        await press(pilot, "escape")
        assert PUSH_SHORT in card(pilot)

    run(trained, drive)


def test_an_error_in_the_job_in_hand_brings_everything_back(trained: TrainedShop) -> None:
    trained.play_well(4)

    async def drive(pilot: Pilot[int]) -> None:
        await press(pilot, READ)
        assert card(pilot) == ["• Cover the sensor behind…", *quiet(pilot)]
        await press(pilot, "2")
        assert shown(pilot, "#heading").endswith("not good yet")
        await press(pilot, "1")
        assert card(pilot) == ["• Cover the sensor behind the glass with a thumb."]

    run(trained, drive, until="dims")


@pytest.mark.parametrize("last", [{"lead-laid": FAULT_FOUND}, {"lead-laid": ["revision"]}])
def test_after_an_error_or_a_change_of_the_step_all_is_whole(
    trained: TrainedShop, last: dict[str, list[str]]
) -> None:
    trained.play_well(6)
    whole = PUSH
    if last == {"lead-laid": ["revision"]}:
        trained.put(PROCEDURE.replace("revision: 1", "revision: 2").replace("flat", "edge"))
        whole = PUSH.replace("flat", "edge")
    else:
        trained.play(**last)

    async def drive(pilot: Pilot[int]) -> None:
        await press(pilot, READ)
        assert whole in card(pilot) and WHY in card(pilot) and quiet(pilot) == []
        await press(pilot, "down")
        assert len(quiet(pilot)) == 1  # this step was neither wrong nor changed

    run(trained, drive)


def test_whoever_is_no_trainee_is_shown_everything(trained: TrainedShop) -> None:
    for _ in range(6):
        trained.play(who="T1")

    async def drive(pilot: Pilot[int]) -> None:
        await press(pilot, READ)
        assert PUSH in card(pilot) and quiet(pilot) == []

    run(trained, drive, who="T1")


def test_the_jobs_of_another_trainee_shorten_nothing(trained: TrainedShop) -> None:
    trained.play_well(6)

    async def drive(pilot: Pilot[int]) -> None:
        await press(pilot, READ)
        assert PUSH in card(pilot) and quiet(pilot) == []

    run(trained, drive, who="N2")


@pytest.mark.parametrize(
    ("shop", "own", "short"),
    [
        ("fade-after: 0", "", False),
        ("fade-after: 5", "", False),
        ("fade-after: 4", "", True),
        ("fade-after: 0", ", fade-after: 4", True),
        ("fade-after: 1", ", fade-after: 0", False),
    ],
)
def test_shop_and_supervisor_set_from_when_on(
    trained: TrainedShop, shop: str, own: str, short: bool
) -> None:
    trained.play_well(4)
    trained.set_shop(shop)
    trained.set_staff("{ id: N1, role: trainee }", f"{{ id: N1, role: trainee{own} }}")

    async def drive(pilot: Pilot[int]) -> None:
        await press(pilot, READ)
        assert bool(quiet(pilot)) is short
        assert (PUSH in card(pilot)) is not short

    run(trained, drive)


@pytest.mark.parametrize("size", [(80, 24), (120, 36)], ids=["80x24", "120x36"])
@pytest.mark.parametrize(("jobs", "keys"), [(4, ()), (6, ()), (4, ("f8",)), (4, ("down",))])
def test_the_short_card_reads_as_it_did(
    trained: TrainedShop,
    jobs: int,
    keys: tuple[str, ...],
    size: tuple[int, int],
    snapshot: SnapshotAssertion,
) -> None:
    trained.play_well(jobs)
    seen = []

    async def drive(pilot: Pilot[int]) -> None:
        await press(pilot, READ, *keys)
        seen.append(text_of(pilot.app))

    run(trained, drive, size=size)
    assert seen[0] == snapshot(extension_class=TextFile)


def test_a_failed_check_last_time_is_what_counts(trained: TrainedShop) -> None:
    trained.play_well(3)
    trained.play(dims=FAILED_FIRST)

    async def drive(pilot: Pilot[int]) -> None:
        await press(pilot, READ)
        assert card(pilot) == ["• Cover the sensor behind the glass with a thumb."]

    run(trained, drive, until="dims")
