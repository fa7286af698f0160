"""Every scene as text, at the smallest good size and at a larger one: golden files.

Each scene is gone to once, in a window of the smallest size, which is then made larger. There,
where more is shown, every text has its contrast measured in both themes.
"""

import asyncio
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from bay import T1
from bench import Bench, press
from contrast import LEAST, palest_text
from pictures import text_of
from scenes import SCENES
from syrupy.assertion import SnapshotAssertion
from syrupy.extensions.single_file import SingleFileSnapshotExtension, WriteMode

SMALL, LARGE = (80, 24), (120, 36)
THEMES = ("bay-dark", "bay-light")  # the one it begins with first: it is not changed to
AFRESH = {"mark"}
"""Scenes with a form in front of a sequence, which finds its middle again once the form has gone;
so a window of each size is opened."""


class TextFile(SingleFileSnapshotExtension):
    """One text file for each picture."""

    _write_mode = WriteMode.TEXT
    file_extension = "txt"

    @classmethod
    def get_snapshot_name(cls, **where: Any) -> str:
        """Return `test[scene-size]`, also where one test looks at a scene in both sizes."""
        return super().get_snapshot_name(**where).replace("][", "-")


@dataclass(slots=True)
class Seen:
    """What one scene shows: its text by size, and by theme the least contrast and what has it."""

    texts: dict[tuple[int, int], str] = field(default_factory=dict)
    palest: dict[str, tuple[float, str]] = field(default_factory=dict)


async def look_at(bench: Bench, scene: str, seen: Seen, *sizes: tuple[int, int]) -> None:
    """Go to `scene` in a window of the first size, and note what is seen at each."""
    folder, moves = SCENES[scene](bench)
    app = bench.app(folder, T1)
    async with app.run_test(size=sizes[0]) as pilot:
        await pilot.pause()
        await press(pilot, *moves)
        await pilot.pause()
        for size in sizes:
            await pilot.resize_terminal(*size)
            await pilot.pause()
            seen.texts[size] = text_of(app)
        for theme in THEMES if LARGE in sizes else ():
            app.theme = theme
            await pilot.pause()
            seen.palest[theme] = palest_text(app)
        await pilot.press("ctrl+q")


@pytest.mark.parametrize("scene", SCENES)
def test_the_scene_reads_as_it_did(
    bench: Bench, scene: str, snapshot: SnapshotAssertion, tmp_path: Path
) -> None:
    seen = Seen()
    if scene in AFRESH:
        (tmp_path / "again").mkdir()
        asyncio.run(look_at(bench, scene, seen, SMALL))
        asyncio.run(look_at(Bench(tmp_path / "again" / "shop"), scene, seen, LARGE))
    else:
        asyncio.run(look_at(bench, scene, seen, SMALL, LARGE))
    for size, text in seen.texts.items():
        lines = text.splitlines()
        assert len(lines) == size[1]
        assert all(len(line) <= size[0] for line in lines)
        assert text == snapshot(name="{}x{}".format(*size), extension_class=TextFile)
    assert set(seen.palest) == set(THEMES)
    for theme, (ratio, text) in seen.palest.items():
        assert ratio >= LEAST, f"in {theme} “{text}” has {ratio:.2f}:1"
