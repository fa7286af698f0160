"""With NO_COLOR no colour is sent, and what matters still stands out: by reverse, sign and word."""

import pytest
from bench import Bench, Move, press
from rich.segment import Segment
from textual.app import App
from textual.pilot import Pilot
from textual.widgets import OptionList

from baycompanion.job.actions import Answer

PLACES: dict[str, tuple[str | None, tuple[Move, ...]]] = {
    "list": ("before", ()),
    "measure": ("rest-voltage", (*"11",)),
    "caution": ("disconnect", ()),
    "note": ("gauges", ("f2",)),
    "override": ("route", ("8",)),
    "menu": ("gauges", ("f9",)),
    "help": ("gauges", ("f1",)),
    "palette": ("gauges", ("ctrl+p",)),
    "board": (None, ()),
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
    step, moves = PLACES[place]
    folder = bench.job(to=step, sound=[Answer(answer="sound", outcome="not fitted")])

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, *moves)
        for segment in segments(pilot.app):
            if segment.style is not None:
                assert segment.style.color is None, segment
                assert segment.style.bgcolor is None, segment

    bench.run(walk, folder if step else None)


def test_the_row_in_hand_is_reversed_and_no_other(bench: Bench, no_colour: None) -> None:
    folder = bench.job(to="before")

    async def walk(pilot: Pilot[int]) -> None:
        for number, name in ((0, "Horn"), (1, "Low beam")):
            rows = pilot.app.screen.query_one("#rows", OptionList)
            assert rows.highlighted == number
            reversed_text = [
                segment.text
                for segment in segments(pilot.app)
                if segment.style is not None and segment.style.reverse
            ]
            assert name in "".join(reversed_text)
            assert "High beam" not in "".join(reversed_text)
            await press(pilot, "down")

    bench.run(walk, folder)


def test_the_field_in_hand_shows_its_cursor(bench: Bench, no_colour: None) -> None:
    folder = bench.job(to="gauges")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, *"18")
        field = pilot.app.screen.query_one("#entry").region
        strip = pilot.app.screen._compositor.render_strips()[field.y]
        cells = [segment for segment in strip if segment.style and segment.style.reverse]
        assert cells, "the cursor cannot be seen"

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
        assert "! 24 dev Every speaker sounds." in listed
        assert "– 25 n/a The camera shows a picture." in listed
        assert "■ 28 held Route the leads." in listed
        assert "✓ 23 done Reconnect the battery." in listed
        assert "■ gate shut: sound-before-refit" in listed

    bench.run(walk, folder)
