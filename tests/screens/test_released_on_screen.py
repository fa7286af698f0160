"""A trainee at the keys: alone while a release is in force, and why not where it is not."""

from datetime import timedelta

import pytest
from bay import START
from bench import Bench, More, Move, Typed, job_screen, press, shown
from textual.pilot import Pilot
from textual.widgets import OptionList

from baycompanion.store.shelf import list_procedures, read_procedure
from baycompanion.store.shop import open_shop
from baycompanion.store.staff.pins import hash_pin
from baycompanion.views.forms.signing import NOBODY

KEYS: tuple[Move, ...] = (
    *("n", "enter", Typed("WO 9"), "enter", Typed("red car"), "enter"),
    *("enter", "enter", "enter", *"N", "enter"),
)


def release(bench: Bench, procedure: str, revision: int, days: int = 30) -> None:
    """Let a release of N1 stand in the staff file, for so many days from the bench's clock."""
    until = (START + timedelta(days=days)).date()
    (bench.folder / "staff.yaml").write_text(
        "staff:\n"
        "  - {id: T1, role: technician}\n"
        "  - id: N1\n"
        "    role: trainee\n"
        "    releases:\n"
        f"      - {{procedure: {procedure}, revision: {revision}, by: S1, "
        f"job: j, until: {until}}}\n"
        "  - {id: S1, role: supervisor}\n",
        encoding="utf-8",
    )


def first_on_the_shelf(bench: Bench) -> tuple[str, int]:
    name, path = next(iter(list_procedures(bench.shop.procedures).items()))
    return name, read_procedure(path).procedure.revision


def choices(pilot: Pilot[int]) -> list[str]:
    return [str(each.prompt) for each in pilot.app.screen.query_one(OptionList).options]


@pytest.mark.parametrize(("key", "mentor"), [("n", None), ("S", "S1")])
def test_a_released_trainee_starts_alone_or_beside_a_mentor_all_the_same(
    bench: Bench, key: str, mentor: str | None
) -> None:
    procedure, revision = first_on_the_shelf(bench)
    release(bench, procedure, revision)
    bench.shop = open_shop(bench.folder)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, *KEYS)
        assert shown(pilot, "#form-lead").startswith("N1 is a trainee, and released for this.")
        assert choices(pilot) == [NOBODY, "T1", "S1"]
        await press(pilot, *key, "enter")
        state = job_screen(pilot).job.state
        assert (state.technician, state.mentor) == ("N1", mentor)

    bench.run(walk)


def test_whoever_chose_to_work_alone_is_asked_again_where_the_release_is_taken_back_meanwhile(
    bench: Bench,
) -> None:
    procedure, revision = first_on_the_shelf(bench)
    release(bench, procedure, revision)
    path = bench.folder / "staff.yaml"
    kept = f"    pin: {hash_pin('4826')}\n    releases:\n"
    path.write_text(path.read_text("utf-8").replace("    releases:\n", kept), encoding="utf-8")
    bench.shop = open_shop(bench.folder)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, *KEYS, "n", "enter")
        assert shown(pilot, "#form-title") == "N1 signs"
        release(bench, procedure, revision + 1)
        await press(pilot, "escape", "enter")
        assert "works beside a mentor" in shown(pilot, "#form-lead")
        assert choices(pilot) == ["T1", "S1"]

    bench.run(walk)


@pytest.mark.parametrize(
    ("newer", "days", "why"),
    [
        (0, -1, "lapsed: its last day was 2026-03-01."),
        (1, 30, "and this is revision"),
    ],
)
def test_a_release_that_is_not_in_force_asks_for_a_mentor_and_says_why(
    bench: Bench, newer: int, days: int, why: str
) -> None:
    procedure, revision = first_on_the_shelf(bench)
    release(bench, procedure, revision + newer, days)
    bench.shop = open_shop(bench.folder)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, *KEYS)
        lead = shown(pilot, "#form-lead")
        assert lead.startswith("N1 is a trainee, and works beside a mentor.") and why in lead
        assert choices(pilot) == ["T1", "S1"]

    bench.run(walk)


def test_a_job_passes_to_a_trainee_alone_once_they_are_released_meanwhile(bench: Bench) -> None:
    folder = bench.job(to="rest-voltage")

    async def walk(pilot: Pilot[int]) -> None:
        procedure = bench.loaded.procedure
        release(bench, procedure.procedure, procedure.revision)  # at another terminal
        await press(pilot, More("Hand the job over"), *"N", "enter")
        for words in ("the meter is on loan", "nothing", "read the battery"):
            await press(pilot, Typed(words), "enter")
        assert choices(pilot)[0] == NOBODY
        await press(pilot, "enter")
        state = job_screen(pilot).job.state
        assert (state.technician, state.mentor) == ("N1", None)

    bench.run(walk, folder)
    assert "mentor" not in bench.last(folder, "handed-over")["data"]
