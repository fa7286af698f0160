"""The screens that only practice has, as text: golden files at the smallest good size."""

import pytest
from bench import Bench, More, Move, Typed, press
from pictures import text_of
from practice_screens import Walk, practice_screen, run, say_next, to_first_step
from practised import seed_with
from syrupy.assertion import SnapshotAssertion
from test_pictures import TextFile
from textual.pilot import Pilot


async def _asked(pilot: Pilot[int]) -> None:
    await press(pilot, "1")


async def _wrong(pilot: Pilot[int]) -> None:
    await _asked(pilot)
    await say_next(pilot, "rest-voltage")


async def _not_looked(pilot: Pilot[int]) -> None:
    await to_first_step(pilot)


async def _looked(pilot: Pilot[int]) -> None:
    await to_first_step(pilot)
    await press(pilot, "f12")


async def _out_of_order(pilot: Pilot[int]) -> None:
    await to_first_step(pilot)
    while practice_screen(pilot).card.step != "rest-voltage":
        await press(pilot, "down")


async def _ended(pilot: Pilot[int]) -> None:
    await _wrong(pilot)
    moves: list[Move] = [More("Give the practice up"), Typed("enough"), "enter"]
    await press(pilot, *moves)


SCENES: dict[str, Walk] = {
    "asked": _asked,
    "wrong": _wrong,
    "not looked": _not_looked,
    "looked": _looked,
    "out of order": _out_of_order,
    "ended": _ended,
}


@pytest.mark.parametrize("scene", SCENES)
def test_the_scene_reads_as_it_did(bench: Bench, scene: str, snapshot: SnapshotAssertion) -> None:
    seen: list[str] = []

    async def walk(pilot: Pilot[int]) -> None:
        await SCENES[scene](pilot)
        await pilot.pause()
        seen.append(text_of(pilot.app))  # type: ignore[arg-type]

    run(bench, walk, faults="1", seed=str(seed_with("sound")))
    assert len(seen[0].splitlines()) == 24
    assert seen[0] == snapshot(extension_class=TextFile)
