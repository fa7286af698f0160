"""On the smallest usual window, 80 by 24, a form keeps in sight what it was told, and its no."""

import asyncio
from datetime import timedelta

import pytest
from bench import Bench, More, Typed, press
from panels import PANELS_TEXT
from pictures import text_of
from scenes import PAUSE
from textual.pilot import Pilot
from textual.widgets import Input

from baycompanion.screens.form.form import MORE_ABOVE, ask
from baycompanion.views.card.card import Field, Form, Piece


def test_kind_and_size_of_a_mark_stay_in_sight_to_the_last_question(bench: Bench) -> None:
    bench.use(PANELS_TEXT)
    moves = ("2", "down", "down", "enter", *"12", "enter", "enter", *"by hand", "enter")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, *moves, *"none.png", "enter")
        text = text_of(pilot.app)
        for said in ("chip", "12", "middle", "by hand", "none.png", "There is no file none.png."):
            assert f"│ {said}" in text
        assert "scratch" not in text  # a list that is not in hand shows its answer alone

    bench.run(walk, bench.job("panels"))


def test_the_places_of_a_panel_are_all_in_sight_below_kind_and_size(bench: Bench) -> None:
    bench.use(PANELS_TEXT)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "2", "enter", *"12", "enter")
        text = text_of(pilot.app)
        for said in ("scratch", "12", "front left", "middle", "rear right"):
            assert f"│ {said}" in text

    bench.run(walk, bench.job("panels"))


def test_what_a_return_waits_for_is_said_in_full(bench: Bench) -> None:
    folder = bench.job("out")
    bench.act(folder, PAUSE)
    bench.clock.at += timedelta(hours=14)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "1", "enter", "enter", "enter")
        text = text_of(pilot.app)
        assert "What opened the gate reserve-before-dash" in text
        assert "Enter  Go on" in text

    bench.run(walk, folder)


@pytest.mark.parametrize("choices", [(), ("by hand", "by machine")])
def test_what_stands_above_the_first_question_is_told_of_and_reached_by_a_key(
    bench: Bench, choices: tuple[str, ...]
) -> None:
    """The first lines, as of a gate that got weaker, were scrolled away, and nothing said so."""
    lead = tuple(Piece("plain", f"What is told in line {number}.") for number in range(1, 31))
    form = Form("How", (Field("how", "How", choices), Field("why", "Why")), dict, lead)

    async def walk(pilot: Pilot[int]) -> None:
        ask(pilot.app, form, lambda made: None, lambda: None)
        await pilot.pause()
        assert MORE_ABOVE in text_of(pilot.app)
        assert "line 30." in text_of(pilot.app) and "line 1." not in text_of(pilot.app)
        await press(pilot, "pageup", "pageup")
        assert "line 1." in text_of(pilot.app)
        assert MORE_ABOVE not in text_of(pilot.app)
        await press(pilot, *"by", "enter")
        assert MORE_ABOVE not in text_of(pilot.app), "it was gone past"

    bench.run(walk, bench.job())


CIRCUIT = (More("A circuit is borrowed"), Typed("radio feed"), "enter", "enter", Typed("left"))


def test_the_question_in_hand_stays_in_sight_when_the_form_is_refused(bench: Bench) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, *CIRCUIT, "enter", Typed("ten"), "enter", Typed("1.2"), "enter")
        text = text_of(pilot.app)
        assert "“ten” is no number." in text
        assert "│ 1.2" in text

    bench.run(walk, bench.job())


def test_what_is_asked_stands_above_the_field_that_is_empty_still(bench: Bench) -> None:
    """Whoever scrolled to the end by touch is led back to the field, and to what it is."""

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "n", "enter", "enter")
        pilot.app.screen.query_one("#form-fields").scroll_end(animate=False)
        await pilot.pause()
        assert "│ Work order" not in text_of(pilot.app)
        await pilot.click("#form-accept")
        await pilot.pause()
        text = text_of(pilot.app)
        assert "│ Work order: nothing is entered yet." in text
        assert "│ Work order  " in text

    bench.run(walk)


def test_the_question_in_hand_stays_in_sight_in_a_window_made_lower(bench: Bench) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await pilot.resize_terminal(80, 40)
        await press(pilot, *CIRCUIT, "enter", Typed("10"), "enter", Typed("1.2"))
        await pilot.resize_terminal(80, 24)
        await pilot.pause()
        assert "│ 1.2" in text_of(pilot.app)

    bench.run(walk, bench.job())


def test_a_touch_on_what_is_asked_takes_its_field_in_hand(bench: Bench) -> None:
    """It did nothing, and what was typed next stood in the field before."""

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, *CIRCUIT[:2])
        label = pilot.app.screen.query(".form-label")[2]
        assert await pilot.click(label, offset=(2, 0))
        await press(pilot, Typed("left"))
        assert pilot.app.focused is pilot.app.screen.query_one("#field-place")

    bench.run(walk, bench.job())


def test_a_question_reached_while_the_form_still_scrolls_is_in_sight(bench: Bench) -> None:
    """What is asked stood there alone, and whoever has the job was chosen unseen."""

    async def walk(pilot: Pilot[int]) -> None:
        await pilot.resize_terminal(80, 21)
        await press(pilot, "n", "enter")
        screen = pilot.app.screen
        screen.query_one("#form-fields").scroll_end(duration=5, immediate=True)
        await asyncio.sleep(0.05)
        parts = screen.query_one("#field-parts", Input)
        parts.value = "order.yaml"
        screen.set_focus(parts, scroll_visible=False)
        await pilot.pause()
        text = text_of(pilot.app)
        assert "│ Order of the parts" in text
        assert "│ order.yaml" in text

    bench.run(walk)
