"""Sums at the bench: from any step by one key, worked, kept as a note or not, and back."""

import pytest
from bench import Bench, Click, More, Typed, job_screen, press, shown
from hostile import HOSTILE, shown_text
from sum_examples import CAPS, example_of
from textual.pilot import Pilot
from textual.widgets import Button, Input, OptionList

from baycompanion.job.actions import Close
from baycompanion.job.hands_actions import PauseWork
from baycompanion.screens.board.board import BoardScreen
from baycompanion.screens.sums import SumList, SumResult
from baycompanion.store.shop import open_shop
from baycompanion.trade.catalogue import SUMS, work
from baycompanion.trade.kind import SumKind
from baycompanion.views.card.card import Form
from baycompanion.views.sums import note_of, sum_form

EVERY_SUM = pytest.mark.parametrize("kind", SUMS.values(), ids=SUMS)
KEY_OFF = ("0", Typed("85"), "enter", Typed("60"), "enter", "enter", "enter")


async def fill(pilot: Pilot[int], form: Form[object], given: dict[str, str]) -> None:
    """Answer every question of the form in front, by keyboard alone."""
    for field in form.fields:
        value = given.get(field.name, field.value)
        if field.choices:
            for _ in range(field.choices.index(value)):
                await pilot.press("down")
        else:
            await press(pilot, Typed(value))
        await press(pilot, "enter")
    await pilot.pause()


def assert_whole(pilot: Pilot[int]) -> None:
    """Prove that every key of the result is in sight."""
    for button in pilot.app.screen.query(Button):
        if button.display:
            there = pilot.app.screen.get_widget_at(*button.region.offset)[0]
            assert there is button


@EVERY_SUM
def test_every_sum_is_worked_from_its_own_example_and_kept(bench: Bench, kind: SumKind) -> None:
    folder = bench.job(to="gauges")
    given = example_of(kind)
    worked = work(kind.name, given)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f10", *["down"] * list(SUMS).index(kind.name), "enter")
        assert shown(pilot, "#form-title") == f"Sum: {kind.name}"
        await fill(pilot, sum_form(kind, {}), given)
        assert isinstance(pilot.app.screen, SumResult)
        assert shown(pilot, "#before") == "✓ GOOD"
        assert shown(pilot, "#title") == worked.because
        assert f"How: {worked.shown}" in shown(pilot, "#pieces")
        assert_whole(pilot)
        await press(pilot, "2")
        assert job_screen(pilot).card.step == "gauges"
        assert shown(pilot, "#message") == "The sum is kept as a note of the job."

    bench.run(walk, folder)
    assert bench.last(folder, "noted")["data"] == {"words": note_of(worked), "step": "gauges"}


@pytest.mark.parametrize("step", ["tools", "gauges", "out", "disconnect", "cure", "sound"])
def test_one_key_leads_there_from_any_step_and_back_without_a_trace(
    bench: Bench, step: str
) -> None:
    folder = bench.job(to=step)
    before = bench.kinds(folder)

    async def walk(pilot: Pilot[int]) -> None:
        card = job_screen(pilot).card.title
        await press(pilot, "f10")
        assert isinstance(pilot.app.screen, SumList)
        await press(pilot, *KEY_OFF)
        assert shown(pilot, "#before") == "! BAD"
        await press(pilot, "escape")
        assert job_screen(pilot).card.title == card

    bench.run(walk, folder)
    assert bench.kinds(folder) == before


def test_a_sum_stands_behind_the_one_digit_that_chooses_it_and_past_ten_behind_none(
    bench: Bench,
) -> None:
    """Typed, “12” would choose the first sum, and put a 2 into its form."""

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f10")
        lines = pilot.app.screen.query_one("#sum-list", OptionList).options
        before = [str(line.prompt)[:3] for line in lines]
        assert len(before) > 10
        assert before == [*(f"{digit}  " for digit in "1234567890"), *["   "] * (len(lines) - 10)]

    bench.run(walk, bench.job(to="gauges"))


def test_the_equals_sign_leads_there_unless_a_field_takes_it(bench: Bench) -> None:
    async def leads(pilot: Pilot[int]) -> None:
        await press(pilot, "equals_sign")
        assert isinstance(pilot.app.screen, SumList)

    async def is_typed(pilot: Pilot[int]) -> None:
        await press(pilot, "equals_sign")
        assert job_screen(pilot).query_one("#entry", Input).value == "="

    bench.run(leads, bench.job(to="sound"))
    bench.run(is_typed, bench.job(to="gauges"))


def test_what_is_half_typed_at_the_step_is_there_after_a_sum_was_kept(bench: Bench) -> None:
    folder = bench.job(to="gauges")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, Typed("18,1"), "f10", *KEY_OFF, "2", "6", "enter")

    bench.run(walk, folder)
    assert bench.last(folder, "answered")["data"]["words"] == "18,16"


def test_it_stands_in_the_menu_too(bench: Bench) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, More("Work out a sum"))
        assert isinstance(pilot.app.screen, SumList)

    bench.run(walk, bench.job(to="gauges"))


def test_a_bad_value_keeps_the_form_open_with_the_sentence_and_what_was_typed(
    bench: Bench,
) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f10", "0", Typed("none"), "enter", Typed("60"), *["enter"] * 3)
        assert shown(pilot, "#form-error").startswith("draw_ma cannot be “none”: type a number")
        assert pilot.app.screen.query_one("#field-battery_ah", Input).value == "60"

    bench.run(walk, bench.job(to="gauges"))


def test_other_values_begin_with_what_was_typed(bench: Bench) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f10", "0", Typed("0.085 A"), "enter", Typed("60"), *["enter"] * 3, "1")
        assert pilot.app.screen.query_one("#field-draw_ma", Input).value == "0.085 A"
        await press(pilot, Typed("35"), *["enter"] * 4)
        assert shown(pilot, "#before") == "✓ GOOD"

    bench.run(walk, bench.job(to="gauges"))


def test_escape_leads_from_the_form_to_the_list_and_from_there_to_the_step(bench: Bench) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f10", "4", "escape")
        assert isinstance(pilot.app.screen, SumList)
        assert pilot.app.screen.query_one("#sum-list", OptionList).highlighted == 3
        assert shown(pilot, "#sum-asks") == SUMS["splice"].title
        await press(pilot, "escape")
        assert job_screen(pilot).card.step == "gauges"

    bench.run(walk, bench.job(to="gauges"))


def test_an_enter_that_is_held_down_keeps_nothing(bench: Bench) -> None:
    folder = bench.job(to="gauges")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f10", *KEY_OFF, *["enter"] * 4)
        assert isinstance(pilot.app.screen, SumResult)

    bench.run(walk, folder)
    assert "noted" not in bench.kinds(folder)


def test_a_choice_is_taken_with_the_arrows(bench: Bench) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f10", "8", "down", "enter", Typed("1010"), "enter")
        await press(pilot, "down", "down", "enter")
        assert "From: band am, frequency 1010, region itu2" in shown(pilot, "#pieces")

    bench.run(walk, bench.job(to="gauges"))


def test_it_all_works_by_touch(bench: Bench) -> None:
    folder = bench.job(to="sound")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f10", Click("#sum-list", line=9), Typed("85"))
        pilot.app.screen.query_one("#field-battery_ah", Input).value = "60"
        await press(pilot, Click("#form-accept"), Click("#key-0"), Click("#form-accept"))
        await press(pilot, Click("#key-1"))
        assert job_screen(pilot).card.step == "sound"

    bench.run(walk, folder)
    assert bench.last(folder, "noted")["data"]["words"].startswith("Sum key-off: draw_ma 85 mA")


def test_a_note_that_is_refused_leaves_the_result_there_with_the_reason(bench: Bench) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        worked = work("key-off", {"draw_ma": "85", "battery_ah": "60"})
        pilot.app.push_screen(SumResult(worked, lambda deed: "The disk is full."))
        await pilot.pause()
        await press(pilot, "2")
        assert isinstance(pilot.app.screen, SumResult)
        assert shown(pilot, "#sum-message") == "The disk is full."

    bench.run(walk)


def test_a_job_that_is_paused_or_closed_offers_no_note(bench: Bench) -> None:
    paused = bench.job(to="route")
    bench.act(paused, PauseWork(pause="lunch", loose="nothing", first="route"))
    closed = bench.job()
    bench.act(closed, Close(close="keys back"))

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f10", *KEY_OFF)
        labels = [str(each.label) for each in pilot.app.screen.query(Button) if each.display]
        assert [label.split()[0] for label in labels] == ["1", "Esc"]
        await press(pilot, "2", Click("#key-1"))
        assert job_screen(pilot)

    for folder in (paused, closed):
        before = bench.kinds(folder)
        bench.run(walk, folder)
        assert bench.kinds(folder) == before


def test_the_board_works_a_sum_with_the_caps_of_the_shop(bench: Bench) -> None:
    with (bench.folder / "shop.yaml").open("a", encoding="utf-8") as file:
        file.write(f"caps: [{CAPS}]\n")
    bench.shop = open_shop(bench.folder)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "equals_sign", "4")
        assert pilot.app.screen.query_one("#field-caps", Input).value == CAPS
        await press(pilot, Typed("18,18,20"), *["enter"] * 5)
        assert "cap: grey" in shown(pilot, "#pieces")
        assert_whole(pilot)
        await press(pilot, "escape")
        assert isinstance(pilot.app.screen, BoardScreen)

    bench.run(walk)


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
def test_hostile_text_is_refused_and_shown_as_text(bench: Bench, text: str) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f10", "7", Typed(text), "enter")
        assert shown(pilot, "#form-error").startswith("vin cannot be “")
        assert all(line.isprintable() for line in shown_text(pilot.app).splitlines())
        await press(pilot, "escape", "escape")
        assert job_screen(pilot)

    bench.run(walk, bench.job(to="gauges"))
