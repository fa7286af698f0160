"""A form by touch alone: a finger chooses what it went down on, and saves only where it says so."""

from bench import Bench, Click, More, Typed, press, touch
from panels import PANELS_TEXT
from pictures import text_of
from textual.pilot import Pilot
from textual.widgets import OptionList

from baycompanion.screens.form.form import ask
from baycompanion.views.drill import phase_form

MARK = ("2",)
"""Asks of what kind the mark is, in a list that is open, and where it is, in one that is folded."""


def answer(pilot: Pilot[int], field: str) -> str:
    """Return the answer that is in hand in the list called `field`."""
    listed = pilot.app.screen.query_one(field, OptionList)
    assert listed.highlighted is not None
    return str(listed.get_option_at_index(listed.highlighted).prompt)


def test_a_touch_on_a_folded_list_opens_it_and_answers_nothing(bench: Bench) -> None:
    bench.use(PANELS_TEXT)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, *MARK)
        await touch(pilot, "#field-mark", 2)
        assert answer(pilot, "#field-mark") == "chip"
        await press(pilot, Typed("12"))  # the list has folded, and the next question is in hand
        await touch(pilot, "#field-place")
        assert pilot.app.focused is pilot.app.screen.query_one("#field-place")
        assert answer(pilot, "#field-place") == "middle"
        assert "│ rear right" in text_of(pilot.app)
        await touch(pilot, "#field-place", 1)
        assert answer(pilot, "#field-place") == "front middle"

    bench.run(walk, bench.job("panels"))


def test_a_touch_on_the_last_answer_chooses_it_and_saves_nothing(bench: Bench) -> None:
    folder = bench.job()

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f5", Typed("a scratch"))
        await touch(pilot, "#field-cause", 1)
        assert answer(pilot, "#field-cause") == "work"
        await press(pilot, Click("#form-accept"))

    before = bench.kinds(folder)
    bench.run(walk, folder)
    assert bench.kinds(folder)[len(before) :] == ["fault-raised"]
    assert bench.last(folder, "fault-raised")["data"]["cause"] == "work"


def test_what_saves_stays_under_the_finger_while_a_list_is_in_hand(bench: Bench) -> None:
    """The list folded as the finger went down, the form became lower, and the touch was lost."""
    chosen: list[str] = []
    phases = {f"Phase {letter}": letter for letter in "abcdef"}

    async def walk(pilot: Pilot[int]) -> None:
        ask(pilot.app, phase_form(phases), chosen.append, lambda: None)
        await pilot.pause()
        await touch(pilot, "#form-fields OptionList", 4)
        await touch(pilot, "#form-accept")

    bench.run(walk)
    assert chosen == ["e"]


def test_what_was_in_hand_is_back_in_hand_and_in_sight_where_a_touch_is_refused(
    bench: Bench,
) -> None:
    """The button kept the focus: the field went out of sight below the error, and took no key."""

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, More("A circuit is borrowed"), Typed("radio feed"), "enter", "enter")
        await press(pilot, Typed("left"), "enter", Typed("10"), "enter", Typed("much"))
        await touch(pilot, "#form-accept")
        assert "“much” is no number." in text_of(pilot.app)
        assert "│ much" in text_of(pilot.app)
        await press(pilot, "end", *["backspace"] * 4, *"1.2")
        assert "│ 1.2" in text_of(pilot.app)

    bench.run(walk, bench.job())
