"""Photos are listed with their steps, and looked at where the terminal can draw them."""

from pathlib import Path

import pytest
from bench import Bench, More, Typed, press, shown
from PIL import Image
from textual.pilot import Pilot
from textual.widgets import OptionList, Static

from baycompanion.screens.job import photos, pictures
from baycompanion.screens.job.photos import PhotoList, PhotoPage
from baycompanion.screens.key_strip import KeyStrip


@pytest.fixture
def photographed(bench: Bench, tmp_path: Path) -> Path:
    """Return the folder of a job with one photo, taken at the step of the gauges."""
    picture = tmp_path / "the dash.png"
    Image.new("RGB", (60, 40), "navy").save(picture)
    folder = bench.job(to="gauges")
    bench.press(folder, "f3", Typed(f"'{picture}'"), "enter")
    return folder


def looked_at(bench: Bench, folder: Path) -> list[str]:
    """Look at the only photo, and return the words that stand there."""
    said: list[str] = []

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, More("Look at the photos…"))
        assert isinstance(pilot.app.screen, PhotoList)
        [line] = [str(each.prompt) for each in pilot.app.screen.query_one(OptionList).options]
        assert "the dash.png" in line
        assert "Write the gauges" in line
        await press(pilot, "1")
        assert isinstance(pilot.app.screen, PhotoPage)
        said.extend(str(each.render()) for each in pilot.app.screen.query(Static))
        said.extend(type(each).__module__ for each in pilot.app.screen.query("#photo > *"))
        await press(pilot, "escape", "escape")
        assert shown(pilot, "#title")

    bench.run(walk, folder)
    return said


# The library's own use of Pillow, which warns of Pillow 14.
@pytest.mark.filterwarnings("ignore:Image.Image.getdata:DeprecationWarning")
def test_a_photo_is_listed_with_its_step_and_drawn(bench: Bench, photographed: Path) -> None:
    said = looked_at(bench, photographed)
    assert any(name.startswith(pictures.DRAWS) for name in said)


def test_without_the_library_its_place_is_named(
    bench: Bench, photographed: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pictures, "find_spec", lambda name: None)
    said = " ".join(looked_at(bench, photographed))
    assert "It lies at" in said
    assert "baycompanion[pictures]" in said


@pytest.mark.parametrize("library", ["there", "not there"])
@pytest.mark.parametrize("harm", ["changed", "missing"])
def test_a_photo_that_is_not_there_any_more_is_not_said_to_lie_anywhere(
    bench: Bench, photographed: Path, monkeypatch: pytest.MonkeyPatch, library: str, harm: str
) -> None:
    if library == "not there":
        monkeypatch.setattr(pictures, "find_spec", lambda name: None)
    [copy] = (photographed / "photos").iterdir()
    if harm == "changed":
        copy.write_bytes(b"no picture any more")
    else:
        copy.unlink()
    said = " ".join(looked_at(bench, photographed))
    why = "is missing" if harm == "missing" else "was changed after it was copied into the job"
    assert f"It cannot be shown: the file {why}." in said
    assert f"It was copied to {copy}" in said
    assert "It lies at" not in said
    assert "baycompanion[pictures]" not in said, "which would not show it either"


def test_the_last_of_many_photos_stands_above_the_keys(
    bench: Bench, photographed: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(photos, "photos_of", lambda state: state.photos * 30)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, More("Look at the photos…"), "end")
        listed = pilot.app.screen.query_one(OptionList)
        keys = pilot.app.screen.query_one(KeyStrip)
        assert listed.scroll_offset.y + listed.size.height == 30
        lines = [str(each.prompt) for each in listed.options]
        assert [line[:3] for line in lines[8:11]] == ["9  ", "0  ", "   "]
        assert listed.region.bottom == keys.region.y

    bench.run(walk, photographed)


def test_a_job_without_photos_offers_none(bench: Bench) -> None:
    folder = bench.job(to="gauges")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f9")
        options = pilot.app.screen.query_one(OptionList).options
        assert not any("photos" in str(each.prompt) for each in options)

    bench.run(walk, folder)
