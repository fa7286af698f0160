"""Every scene as text, at the smallest good size and at a larger one: golden files.

The larger one shows more; there every text has its contrast measured, too, in both themes.
"""

import asyncio
from dataclasses import dataclass, field

import pytest
from bay import T1
from bench import Bench, press
from contrast import LEAST, palest_text
from pictures import text_of
from scenes import SCENES
from syrupy.assertion import SnapshotAssertion
from syrupy.extensions.single_file import SingleFileSnapshotExtension, WriteMode

LARGE = (120, 36)
THEMES = ("bay-light", "bay-dark")


class TextFile(SingleFileSnapshotExtension):
    """One text file for each picture."""

    _write_mode = WriteMode.TEXT
    file_extension = "txt"


@dataclass(slots=True)
class Seen:
    """What one scene shows: its text, and by theme the least contrast with the text that has it."""

    text: str
    palest: dict[str, tuple[float, str]] = field(default_factory=dict)


async def look_at(bench: Bench, scene: str, size: tuple[int, int]) -> Seen:
    folder, moves = SCENES[scene](bench)
    app = bench.app(folder, T1)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        await press(pilot, *moves)
        await pilot.pause()
        seen = Seen(text_of(app))
        for theme in THEMES if size == LARGE else ():
            app.theme = theme
            await pilot.pause()
            seen.palest[theme] = palest_text(app)
        await pilot.press("ctrl+q")
    return seen


@pytest.mark.parametrize("size", [(80, 24), LARGE], ids=["80x24", "120x36"])
@pytest.mark.parametrize("scene", SCENES)
def test_the_scene_reads_as_it_did(
    bench: Bench, scene: str, size: tuple[int, int], snapshot: SnapshotAssertion
) -> None:
    seen = asyncio.run(look_at(bench, scene, size))
    lines = seen.text.splitlines()
    assert len(lines) == size[1]
    assert all(len(line) <= size[0] for line in lines)
    assert seen.text == snapshot(extension_class=TextFile)
    for theme, (ratio, text) in seen.palest.items():
        assert ratio >= LEAST, f"in {theme} “{text}” has {ratio:.2f}:1"
