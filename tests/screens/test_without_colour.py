"""With NO_COLOR no colour is sent, and what matters still stands out: by reverse, sign and word."""

import pytest
from bay import SMALL
from bench import Bench, Move, Typed, press
from rich.segment import Segment
from scenes import SCENES
from syrupy.assertion import SnapshotAssertion
from test_pictures import TextFile
from textual.app import App
from textual.pilot import Pilot
from textual.widgets import OptionList

from baycompanion.job.actions import Answer

NUMBER = SMALL.number
PLACES: dict[str, tuple[str, tuple[tuple[Move, ...], ...]]] = {
    "cards, forms and lists": ("before", ((), ("f2",), ("escape", "f9"), ("escape", "f1"))),
    "caution and palette": ("disconnect", ((), ("ctrl+p",))),
    "gate, override and board": ("route", ((), ("8",), ("escape", "f9", "1"))),
}


def segments(app: App[int]) -> list[Segment]:
    """Return every piece of text that `app` shows, with its style."""
    return [segment for strip in app.screen._compositor.render_strips() for segment in strip]


@pytest.fixture
def no_colour(monkeypatch: pytest.MonkeyPatch) -> None:
    """Wish for no colour, as the convention spells it."""
    monkeypatch.setenv("NO_COLOR", "1")


@pytest.mark.parametrize("place", PLACES)
def test_no_colour_is_sent_anywhere(bench: Bench, place: str, no_colour: None) -> None:
    step, all_moves = PLACES[place]
    folder = bench.job(to=step, sound=[Answer(answer="sound", outcome="not fitted")])

    async def walk(pilot: Pilot[int]) -> None:
        for moves in all_moves:
            await press(pilot, *moves)
            for segment in segments(pilot.app):
                if segment.style is not None:
                    for colour in (segment.style.color, segment.style.bgcolor):
                        assert colour is None or colour.is_default, segment

    bench.run(walk, folder)


def reversed_in(app: App[int], widget: str) -> str:
    """Return the text that is shown reversed within the widget of this name."""
    region = app.screen.query_one(widget).region
    strips = app.screen._compositor.render_strips()[region.y : region.bottom]
    return "".join(
        segment.text
        for strip in strips
        for segment in strip.crop(region.x, region.right)
        if segment.style is not None and segment.style.reverse
    ).strip()


def test_the_row_in_hand_is_reversed_and_no_other(bench: Bench, no_colour: None) -> None:
    folder = bench.job(to="before")

    async def walk(pilot: Pilot[int]) -> None:
        assert reversed_in(pilot.app, "#rows") == "· Horn"
        await press(pilot, "down")
        assert reversed_in(pilot.app, "#rows") == "· Lamps: Low beam"
        await press(pilot, "f9", "down")
        assert reversed_in(pilot.app, "#menu-list") == "2  Hand the job over…"
        await press(pilot, "escape", "f5", Typed("a crack"), "enter")
        assert reversed_in(pilot.app, "#field-cause") == "vehicle"
        await press(pilot, "escape", "f9", "1")
        assert reversed_in(pilot.app, "#jobs").startswith("WO 7 · Blue van")

    bench.run(walk, folder)


def test_the_step_looked_at_and_the_button_in_hand_are_reversed(
    bench: Bench, no_colour: None
) -> None:
    folder = bench.job(to="joins-hold")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "down")
        assert "Somebody" in reversed_in(pilot.app, "#sequence")
        await press(pilot, "escape", "tab", "tab")
        assert pilot.app.focused is pilot.app.screen.query_one("#key-0")
        assert "Passed" in reversed_in(pilot.app, "#key-0")
        assert reversed_in(pilot.app, "#key-1") == ""

    bench.run(walk, folder)


def test_the_field_in_hand_shows_its_cursor(bench: Bench, no_colour: None) -> None:
    folder = bench.job(to="gauges")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, *"18", "left")
        assert reversed_in(pilot.app, "#entry") == "8"

    bench.run(walk, folder)


def test_an_empty_wish_is_none(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    """The convention: present and not empty. The library by itself takes an empty one too."""
    monkeypatch.setenv("NO_COLOR", "")
    folder = bench.job(to="gauges")

    async def walk(pilot: Pilot[int]) -> None:
        assert any(segment.style and segment.style.color for segment in segments(pilot.app))

    bench.run(walk, folder)


def test_every_mark_of_the_sequence_has_a_sign_and_a_word(bench: Bench, no_colour: None) -> None:
    folder = bench.job(
        sound=[Answer(answer="sound", outcome="not fitted")],
    )

    async def walk(pilot: Pilot[int]) -> None:
        options = pilot.app.screen.query_one("#sequence", OptionList).options
        listed = [str(option.prompt) for option in options]
        assert f"! {NUMBER['sound']} dev Every speaker sounds." in listed
        assert f"– {NUMBER['picture']} n/a The camera shows a picture." in listed
        assert f"■ {NUMBER['route']} held Route the leads." in listed
        assert f"✓ {NUMBER['reconnect']} done Reconnect the battery." in listed
        assert "■ gate shut: sound-before-refit" in listed

    bench.run(walk, folder)


SHOWN = ("board", "danger", "sheet-faulty", "gate", "outside", "outline", "timeline", "form")
"""Scenes in which a colour says something, each as it reads without any."""


def text_and_reverse(app: App[int]) -> str:
    """Return what `app` shows, with what is reversed in brackets: all that is left of a style."""
    lines = []
    for strip in app.screen._compositor.render_strips():
        line = ""
        for segment in strip:
            turned = segment.style is not None and segment.style.reverse
            words = any(sign.isalnum() for sign in segment.text)  # borders are drawn so, too
            line += f"⟦{segment.text}⟧" if turned and words else segment.text
        lines.append(line.replace("⟧⟦", "").rstrip())
    return "\n".join(lines) + "\n"


@pytest.mark.parametrize("scene", SHOWN)
def test_the_scene_reads_without_colour_as_it_did(
    bench: Bench, scene: str, no_colour: None, snapshot: SnapshotAssertion
) -> None:
    folder, moves = SCENES["note" if scene == "form" else scene](bench)
    seen: list[str] = []

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, *moves)
        await pilot.app.workers.wait_for_complete()
        await pilot.pause()
        seen.append(text_and_reverse(pilot.app))

    bench.run(walk, folder)
    assert seen[0] == snapshot(extension_class=TextFile)
