"""Every scene as text, at the smallest good size and at a larger one: golden files."""

import asyncio

import pytest
from bay import T1
from bench import Bench, press
from pictures import text_of
from scenes import SCENES
from syrupy.assertion import SnapshotAssertion
from syrupy.extensions.single_file import SingleFileSnapshotExtension, WriteMode


class TextFile(SingleFileSnapshotExtension):
    """One text file for each picture."""

    _write_mode = WriteMode.TEXT
    file_extension = "txt"


async def picture(bench: Bench, scene: str, size: tuple[int, int]) -> str:
    folder, moves = SCENES[scene](bench)
    app = bench.app(folder, T1)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        await press(pilot, *moves)
        await pilot.pause()
        text = text_of(app)
        await pilot.press("ctrl+q")
    return text


@pytest.mark.parametrize("size", [(80, 24), (120, 36)], ids=["80x24", "120x36"])
@pytest.mark.parametrize("scene", SCENES)
def test_the_scene_reads_as_it_did(
    bench: Bench, scene: str, size: tuple[int, int], snapshot: SnapshotAssertion
) -> None:
    text = asyncio.run(picture(bench, scene, size))
    lines = text.splitlines()
    assert len(lines) == size[1]
    assert all(len(line) <= size[0] for line in lines)
    assert text == snapshot(extension_class=TextFile)
