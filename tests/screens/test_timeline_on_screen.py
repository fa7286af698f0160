"""The timeline of an ended job: arrows walk its marks, touch chooses one, Escape goes back."""

import pytest
from bench import Bench, Click, More, job_screen, press, shown
from scenes import two_nights
from textual.pilot import Pilot
from textual.widgets import OptionList, Static

from baycompanion.job.actions import Abandon, Close, RaiseFault
from baycompanion.screens.job.timeline import DrawnRows, Marks, TimelineScreen

OPEN = More("Look at the timeline")


def words(pilot: Pilot[int]) -> str:
    return shown(pilot, "#timeline-words")


def rows(pilot: Pilot[int]) -> list[str]:
    return str(pilot.app.screen.query_one(DrawnRows).content).splitlines()


def axis(pilot: Pilot[int]) -> str:
    return str(pilot.app.screen.query_one("#timeline-axis", Static).content).splitlines()[0]


def test_it_opens_from_the_menu_of_an_ended_job_and_escape_goes_back(bench: Bench) -> None:
    folder = two_nights(bench)
    before = bench.journal(folder)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, OPEN)
        assert isinstance(pilot.app.screen, TimelineScreen)
        assert shown(pilot, "#timeline-where").startswith("TIMELINE · WO 7 · Blue van")
        assert words(pilot).startswith("Keys in: WO 7, Blue van")
        await press(pilot, "escape")
        assert job_screen(pilot)

    bench.run(walk, folder)
    assert bench.journal(folder) == before, "looking writes nothing"


def test_a_job_under_way_does_not_offer_it(bench: Bench) -> None:
    """What a second person is to find afresh must not be read off a fault in its list."""
    folder = bench.job("route")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f9")
        listed = pilot.app.screen.query_one("#menu-list", OptionList).options
        assert not [option for option in listed if "timeline" in str(option.prompt)]

    bench.run(walk, folder)


def test_arrows_walk_the_marks_and_the_drawing_follows(bench: Bench) -> None:
    folder = two_nights(bench)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, OPEN)
        assert rows(pilot)[0].startswith("▸The job")
        before = axis(pilot).index("▲")
        await press(pilot, "end")
        assert words(pilot).startswith("Keys back, not clean")
        assert axis(pilot).index("▲") > before
        await press(pilot, "up")
        assert words(pilot).startswith("Gate same-as-before overridden")
        [pointed] = [line for line in rows(pilot) if line.startswith("▸")]
        assert pointed.startswith("▸Keys back")

    bench.run(walk, folder)


def test_one_key_goes_from_override_to_override_and_round(bench: Bench) -> None:
    folder = two_nights(bench)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, OPEN)
        for gate in ("sound-before-refit", "same-as-before", "sound-before-refit"):
            await press(pilot, "o")
            await pilot.pause()
            assert words(pilot).startswith(f"Gate {gate} overridden")

    bench.run(walk, folder)


def test_without_an_override_the_key_says_so(bench: Bench) -> None:
    folder = bench.job()
    bench.act(folder, Close(close="keys back"))

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, OPEN, "o")
        await pilot.pause()
        [said] = [each.message for each in pilot.app._notifications]
        assert said == "No gate was overridden in this job."

    bench.run(walk, folder)


def test_enter_shows_every_word_and_goes_back_to_the_list(bench: Bench) -> None:
    folder = two_nights(bench)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, OPEN, "o")
        await pilot.pause()
        await press(pilot, "enter")
        page = str(pilot.app.screen.query_one("#page Static", Static).content)
        for said in (
            "Reason: part on order, owner agreed to wait",
            "In their words: The speaker comes on Friday; the owner drives without it until then.",
            "Instead: A tag on the receiver says which speaker is silent.",
            "Opened without: 24. Every speaker sounds. Failed.",
        ):
            assert said in page
        await press(pilot, "escape")
        assert isinstance(pilot.app.screen, TimelineScreen)
        assert words(pilot).startswith("Gate sound-before-refit overridden")

    bench.run(walk, folder)


@pytest.mark.parametrize("title", ["Refit", "Keys back"])
def test_a_touch_on_the_drawing_chooses_the_mark_that_stands_there(
    bench: Bench, title: str
) -> None:
    folder = two_nights(bench)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, OPEN)
        row = next(n for n, line in enumerate(rows(pilot)) if line[1:].startswith(title))
        column = rows(pilot)[row].index("»")
        assert await pilot.click(DrawnRows, offset=(column, row))
        await pilot.pause()
        assert "overridden" in words(pilot).splitlines()[0]
        assert rows(pilot)[row].startswith(f"▸{title}")

    bench.run(walk, folder)


def test_a_touch_on_the_list_or_beside_every_mark_leaves_a_mark_chosen(bench: Bench) -> None:
    folder = two_nights(bench)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, OPEN, Click("#timeline-marks", 2), "escape")
        assert words(pilot).startswith("Gap of 1 h 00 min")
        await press(pilot, Click("#timeline-axis"), Click("#timeline-words"))
        assert words(pilot).startswith("Gap of 1 h 00 min")
        row = next(n for n, line in enumerate(rows(pilot)) if "Take-in" in line)
        assert await pilot.click(DrawnRows, offset=(20, row))
        await pilot.pause()
        assert words(pilot).startswith("Gap of 1 h 00 min"), "that row has no mark"

    bench.run(walk, folder)


def test_words_that_look_like_markup_are_shown_as_they_were_typed(bench: Bench) -> None:
    folder = bench.job("route")
    typed = "[red]loud[/red] [@click=app.quit]x[/]"
    bench.act(folder, RaiseFault(fault=typed, cause="vehicle"), Abandon(abandon=typed))

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, OPEN, "end")
        await pilot.pause()
        assert words(pilot).startswith(f"Given up: {typed}")
        listed = [str(each.prompt) for each in pilot.app.screen.query_one(Marks).options]
        assert [line for line in listed if f"Fault 1 of the vehicle, still open: {typed}" in line]

    bench.run(walk, folder)


def test_every_key_in_the_strip_has_room_and_is_one_of_the_screen(bench: Bench) -> None:
    folder = two_nights(bench)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, OPEN)
        await pilot.pause()
        keys = pilot.app.screen.query_one("KeyStrip").keys  # type: ignore[attr-defined]
        assert [each.key for each in keys] == ["up", "down", "enter", "o", "escape"]
        assert keys[-1].ends <= 80

    bench.run(walk, folder)


def test_a_window_of_another_size_is_drawn_anew(bench: Bench) -> None:
    folder = two_nights(bench)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, OPEN)
        narrow = max(map(len, rows(pilot)))
        await pilot.resize_terminal(130, 40)
        await pilot.pause()
        assert narrow < max(map(len, rows(pilot))) <= 130
        assert pilot.app.screen.query_one(Marks).highlighted == 0

    bench.run(walk, folder)
