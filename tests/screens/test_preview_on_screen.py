"""The preview on the screen: it turns, it reloads, its errors stand there, and it makes no job."""

import asyncio
import os
from collections.abc import Awaitable, Callable
from pathlib import Path

import pytest
from bay import SMALL, SMALL_TEXT, START
from bench import Click, press, shown
from contrast import LEAST, palest_text
from hostile import HOSTILE, hostile_procedure, shown_text
from pictures import text_of
from syrupy.assertion import SnapshotAssertion
from test_pictures import TextFile
from textual.pilot import Pilot
from textual.widgets import OptionList
from walker import Clock

from baycompanion.screens.app import BayApp
from baycompanion.screens.preview.preview import PreviewScreen
from baycompanion.views.procedure.preview import screens_of
from baycompanion.views.procedure.preview_choices import OPEN

Walk = Callable[[Pilot[int]], Awaitable[None]]
SIZES = [(80, 24), (120, 36)]


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "shop" / f"{SMALL.procedure}.yaml"
    path.parent.mkdir()
    path.write_text(SMALL_TEXT, encoding="utf-8")
    return path


def run(file: Path, walk: Walk, size: tuple[int, int] = (80, 24), theme: str = "") -> None:
    async def drive() -> None:
        clock = Clock(START)
        app = BayApp(None, now=clock, alone=lambda: PreviewScreen(file, clock))
        async with app.run_test(size=size) as pilot:
            app.theme = theme or app.theme
            await pilot.pause()
            await walk(pilot)
            await app.action_quit()

    asyncio.run(drive())


def save(file: Path, old: str, new: str) -> None:
    """Save the file with one thing changed, some time after it was saved last."""
    text = file.read_text(encoding="utf-8")
    assert old in text
    later = file.stat().st_mtime_ns + 1_000_000
    file.write_text(text.replace(old, new, 1), encoding="utf-8")
    os.utime(file, ns=(later, later))


async def look(pilot: Pilot[int]) -> None:
    screen = pilot.app.screen
    assert isinstance(screen, PreviewScreen)
    screen.look()
    await pilot.pause()


def test_the_arrows_lead_through_every_screen_and_the_cards_are_those_of_a_job(file: Path) -> None:
    screens = screens_of(SMALL, START)
    assert {each.card.kind for each in screens} == {
        *("hazards", "gate", "caution", "standing", "step", "close")
    }

    async def walk(pilot: Pilot[int]) -> None:
        for number, each in enumerate(screens, start=1):
            assert f"Screen {number} of {len(screens)} · " in shown(pilot, "#phase")
            assert shown(pilot, "#title") == each.card.title
            assert shown(pilot, "#heading") == each.card.heading
            await press(pilot, "right")
        assert f"Screen {len(screens)} of " in shown(pilot, "#phase")  # it ends there
        await press(pilot, "left")
        assert f"Screen {len(screens) - 1} of " in shown(pilot, "#phase")
        await press(pilot, "home")
        assert "Screen 1 of " in shown(pilot, "#phase")

    run(file, walk)


def test_f2_and_f3_lead_from_phase_to_phase_and_f8_says_why(file: Path) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        for phase in SMALL.phases:
            await press(pilot, "f3")
            assert shown(pilot, "#phase").endswith(f"· {phase.title}")
        await press(pilot, "f2")
        assert shown(pilot, "#phase").endswith(f"· {SMALL.phases[-2].title}")
        save(file, "        id: reserve\n", "        id: reserve\n        why: It can fire.\n")
        await look(pilot)
        await press(pilot, "home", "f8")
        assert "No why: is written here" in shown(pilot, "#message")
        while shown(pilot, "#title") != SMALL.steps["reserve"].text:
            await press(pilot, "right")
        assert shown(pilot, "#why") == "Why: It can fire."
        assert shown(pilot, "#message") == ""
        await press(pilot, "f8")
        assert shown(pilot, "#why") == ""

    run(file, walk)


def test_errors_stand_above_what_was_good_last_and_go_when_they_are_mended(file: Path) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        assert shown(pilot, "#problems").count(": warning: ") == 1  # the rest is counted
        await press(pilot, "f3", "right")
        before = shown(pilot, "#title")
        save(file, "title: ", "titel: ")
        await look(pilot)
        assert "Did you mean title?" in shown(pilot, "#problems")
        assert "as it was before the errors" in shown(pilot, "#where")
        assert shown(pilot, "#title") == before
        save(file, "titel: ", "title: ")
        save(file, before, "Something else is asked here.")
        await look(pilot)
        assert "Did you mean" not in shown(pilot, "#problems")
        assert "as saved" in shown(pilot, "#where")
        assert shown(pilot, "#title") == "Something else is asked here."

    run(file, walk)


def test_a_file_that_was_never_good_shows_its_errors_alone_and_then_its_screens(
    file: Path,
) -> None:
    save(file, "phases:", "phases")

    async def walk(pilot: Pilot[int]) -> None:
        assert f"{file}:" in shown(pilot, "#problems")
        await press(pilot, "right", "f3", "left", "f2", "f8", "end", "1", "enter")
        assert "Nothing can be shown yet" in shown(pilot, "#phase")
        save(file, "phases", "phases:")
        await look(pilot)
        assert "Screen 1 of " in shown(pilot, "#phase")

    run(file, walk)


def test_a_key_of_a_card_answers_nothing_and_nothing_is_made(file: Path) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "1")
        assert "no job is made" in shown(pilot, "#message")
        await press(pilot, "right")
        assert shown(pilot, "#message") == ""

    run(file, walk)
    assert [path.name for path in file.parent.iterdir()] == [file.name]


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
def test_hostile_sentences_stay_text_in_cards_and_in_errors(file: Path, text: str) -> None:
    file.write_text(hostile_procedure(text), encoding="utf-8")

    async def walk(pilot: Pilot[int]) -> None:
        for _ in range(12):
            shown_text(pilot.app)
            await press(pilot, "right")
        file.write_text(f"procedure: {text!r}\n", encoding="utf-8")
        await look(pilot)
        shown_text(pilot.app)
        assert shown(pilot, "#problems")

    run(file, walk)


@pytest.mark.parametrize("theme", ["bay-dark", "bay-light"])
@pytest.mark.parametrize("size", SIZES)
def test_every_text_can_be_read_with_errors_above_it(
    file: Path, theme: str, size: tuple[int, int]
) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        save(file, "title: ", "titel: ")
        await press(pilot, "f3")
        await look(pilot)
        assert palest_text(pilot.app)[0] >= LEAST

    run(file, walk, size, theme)


async def choose_no_camera(pilot: Pilot[int]) -> None:
    """Let the preview be of a vehicle without a camera."""
    await press(pilot, "f4", "2", "escape")


def test_a_vehicle_is_chosen_and_kept_as_the_file_is_saved_broken_and_mended(file: Path) -> None:
    every, fewer = len(screens_of(SMALL, START)), len(screens_of(SMALL, START, {"camera": "none"}))
    assert fewer < every

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f3", "f3")
        assert f" of {every} " in shown(pilot, "#phase")
        assert shown(pilot, "#choices") == ""
        before = shown(pilot, "#title")
        await choose_no_camera(pilot)
        assert f" of {fewer} " in shown(pilot, "#phase")
        assert shown(pilot, "#title") == before
        assert shown(pilot, "#choices") == "Shown for: Camera: none"
        for old, new in (("title: ", "titel: "), ("titel: ", "title: ")):
            save(file, old, new)
            await look(pilot)
            assert f" of {fewer} " in shown(pilot, "#phase")
        save(file, "answers: [none, rear, front]", "answers: [without, rear, front]")
        save(file, "camera: [rear, front]", "camera: [rear]")
        await look(pilot)
        assert shown(pilot, "#choices") == ""  # an answer that is gone counts for nothing

    run(file, walk)


def test_a_choice_is_turned_by_number_by_enter_and_by_touch_until_it_is_open_again(
    file: Path,
) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        def listed() -> list[str]:
            options = pilot.app.screen.query_one("#choice-list", OptionList).options
            return [str(each.prompt).split(": ")[1] for each in options]

        await press(pilot, "f4")
        assert listed() == [OPEN, OPEN]
        await press(pilot, "1", "down", "enter", "enter")
        assert listed() == ["yes", "rear"]
        await press(pilot, "1", Click("#choice-list"), "9")
        assert listed() == [OPEN, "rear"]
        await press(pilot, "f4")
        assert shown(pilot, "#choices") == "Shown for: Camera: rear"

    run(file, walk)


def test_each_of_many_choices_stands_behind_the_digit_that_turns_it_and_past_ten_behind_none(
    file: Path,
) -> None:
    """It said “its number”, and “12” turned the first and the second."""
    shipped = Path(__file__).parents[2] / "procedures" / "receiver-swap.yaml"

    async def walk(pilot: Pilot[int]) -> None:
        def turned() -> list[str]:
            options = pilot.app.screen.query_one("#choice-list", OptionList).options
            return [str(each.prompt)[0] for each in options if OPEN not in str(each.prompt)]

        await press(pilot, "f4")
        lines = pilot.app.screen.query_one("#choice-list", OptionList).options
        assert len(lines) > 10
        before = [str(each.prompt)[:3] for each in lines]
        assert before == [*(f"{digit}  " for digit in "1234567890"), *["   "] * (len(lines) - 10)]
        await press(pilot, "0")
        assert turned() == ["0"]
        await press(pilot, "3")
        assert turned() == ["3", "0"]

    run(shipped, walk)


def test_a_procedure_without_choices_says_so_and_a_broken_file_offers_none(file: Path) -> None:
    text = Path(__file__).parents[1].joinpath("second-person.yaml").read_text(encoding="utf-8")
    file.write_text("procedure: [", encoding="utf-8")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f4")
        assert isinstance(pilot.app.screen, PreviewScreen)
        file.write_text(text, encoding="utf-8")
        await look(pilot)
        await press(pilot, "f4")
        assert shown(pilot, "#message") == "This procedure has no choices."

    run(file, walk)


async def turn_to(pilot: Pilot[int], widget: str, text: str) -> None:
    """Turn the pages until `widget` says `text`."""
    for _ in screens_of(SMALL, START):
        if text in shown(pilot, widget):
            return
        await press(pilot, "right")
    raise AssertionError(f"{text!r} came nowhere")


async def _at_a_gate(pilot: Pilot[int]) -> None:
    await turn_to(pilot, "#heading", "amplifier-checked")


async def _at_a_list(pilot: Pilot[int]) -> None:
    await choose_no_camera(pilot)
    await turn_to(pilot, "#title", SMALL.steps["before"].text)


async def _with_errors(pilot: Pilot[int]) -> None:
    await press(pilot, "f3", "right")
    screen = pilot.app.screen
    assert isinstance(screen, PreviewScreen)
    save(screen._file.path, "title: ", "titel: ")
    await look(pilot)


async def _choosing(pilot: Pilot[int]) -> None:
    await press(pilot, "right", "f4", "1", "2", "2")


PICTURED: dict[str, Walk] = {
    "first": lambda pilot: press(pilot),
    "gate": _at_a_gate,
    "list": _at_a_list,
    "errors": _with_errors,
    "choices": _choosing,
}


@pytest.mark.parametrize("size", SIZES, ids=["80x24", "120x36"])
@pytest.mark.parametrize("scene", PICTURED)
def test_the_preview_reads_as_it_did(
    file: Path,
    monkeypatch: pytest.MonkeyPatch,
    scene: str,
    size: tuple[int, int],
    snapshot: SnapshotAssertion,
) -> None:
    monkeypatch.chdir(file.parent)  # so that problems name the file by itself
    texts = []

    async def walk(pilot: Pilot[int]) -> None:
        await PICTURED[scene](pilot)
        await pilot.pause()
        texts.append(text_of(pilot.app))

    run(Path(file.name), walk, size)
    assert texts == [snapshot(extension_class=TextFile)]


@pytest.mark.parametrize("theme", ["bay-dark", "bay-light"])
def test_every_text_of_the_choices_can_be_read(file: Path, theme: str) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        for _ in range(2):  # the list, then the line of what is chosen
            assert palest_text(pilot.app)[0] >= LEAST
            await press(pilot, "2", "escape")

    async def choosing(pilot: Pilot[int]) -> None:
        await press(pilot, "f4")
        await walk(pilot)

    run(file, choosing, theme=theme)
