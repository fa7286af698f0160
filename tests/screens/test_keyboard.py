"""Everything is reached by the keyboard, Tab never gets caught, and every key is shown."""

import pytest
from bench import Bench, Click, Typed, job_screen, press, shown
from pictures import text_of
from textual.pilot import Pilot

from baycompanion.screens.board.board import BoardScreen
from baycompanion.screens.key_strip import KeyStrip
from baycompanion.screens.too_small import LEAST_HEIGHT, LEAST_WIDTH

STEPS = ("tools", "out", "disconnect")


async def _round(pilot: Pilot[int], key: str) -> list[str]:
    """Return the names of the widgets that `key` leads to until it comes back to the first."""
    seen: list[str] = []
    for _ in range(20):
        await pilot.press(key)
        focused = pilot.app.focused
        assert focused is not None
        name = str(focused.id)
        if name in seen:
            assert name == seen[0], f"caught between {seen[seen.index(name) :]}"
            return seen
        seen.append(name)
    raise AssertionError(f"{key} never comes round: {seen}")


@pytest.mark.parametrize("step", STEPS)
def test_tab_goes_round_every_control_of_a_card_and_moves_nothing(bench: Bench, step: str) -> None:
    folder = bench.job(to=step)
    before = bench.kinds(folder)

    async def walk(pilot: Pilot[int]) -> None:
        screen = job_screen(pilot)
        there = {
            str(widget.id) for widget in screen.query("*") if widget.focusable and widget.display
        }
        assert there >= {"sequence", "entry" if step == "out" else "key-0"}
        assert set(await _round(pilot, "tab")) == there
        assert set(await _round(pilot, "shift+tab")) == there

    bench.run(walk, folder)
    assert bench.kinds(folder) == before


def test_tab_goes_round_a_form_and_stays_in_it(bench: Bench) -> None:
    folder = bench.job(to="gauges")

    async def walk(pilot: Pilot[int]) -> None:
        await pilot.press("f5")
        seen = await _round(pilot, "tab")
        assert sorted(seen) == ["field-cause", "field-words", "form-accept", "form-back"]

    bench.run(walk, folder)


def test_the_letters_of_an_entry_are_typed_and_do_nothing_else(bench: Bench) -> None:
    folder = bench.job(to="gauges")
    bench.press(folder, *"1n9q0rf", "enter")
    assert bench.last(folder, "answered")["data"]["words"] == "1n9q0rf"


def test_the_keys_that_work_from_any_step_are_shown_and_can_be_clicked(bench: Bench) -> None:
    folder = bench.job(to="gauges")

    async def walk(pilot: Pilot[int]) -> None:
        strip = pilot.app.screen.query_one(KeyStrip)
        keys = {each.key: each for each in strip.keys}
        assert list(keys) == ["f1", "f2", "f3", "f4", "f5", "f6", "f8", "f9"]
        assert max(each.ends for each in keys.values()) <= 80, "every key is in sight at 80 columns"
        text = str(strip.content)
        assert text[keys["f2"].begins : keys["f2"].ends] == " f2 Note "
        await pilot.click(strip, offset=(keys["f2"].begins, 0))
        assert shown(pilot, "#form-title") == "Note"

    bench.run(walk, folder)


def test_in_the_smallest_window_every_key_is_in_sight_and_can_be_clicked(bench: Bench) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        strip = pilot.app.screen.query_one(KeyStrip)
        below = text_of(pilot.app).splitlines()[strip.region.y : strip.region.bottom]
        for each in strip.keys:
            assert f"{each.name} {each.does}" in below[each.line][each.begins : each.ends]
        more = strip.keys[-1]
        assert (more.does, more.line) == ("More", 1)
        await pilot.click(strip, offset=(more.begins + 1, more.line))
        assert pilot.app.screen.query("#menu-list")
        await pilot.press("escape")
        await pilot.resize_terminal(80, 24)
        assert {each.line for each in strip.keys} == {0}, "one line where it has room"

    bench.run(walk, bench.job(to="gauges"), size=(LEAST_WIDTH, LEAST_HEIGHT))


def test_a_job_that_has_ended_shows_only_keys_that_still_work_and_the_way_out(
    bench: Bench,
) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "1", "down", "enter")
        assert job_screen(pilot).card.kind == "ended"
        strip = pilot.app.screen.query_one(KeyStrip)
        assert [each.key for each in strip.keys] == ["f1", "f8", "f9"]
        assert shown(pilot, "#message") == "Esc leads to the bay board."
        await press(pilot, "f2", "f3", "f4", "f5", "f6")
        assert job_screen(pilot), "no form asks for what would be refused"
        await press(pilot, "up", "escape", "escape")
        assert isinstance(pilot.app.screen, BoardScreen)

    bench.run(walk, bench.job())


def test_a_paused_job_offers_no_second_pause_and_offers_it_again_afterwards(bench: Bench) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        strip = pilot.app.screen.query_one(KeyStrip)
        before = [each.key for each in strip.keys]
        pause = (Typed("lunch"), "enter", Typed("nothing"), "enter", Typed("the gauges"), "enter")
        await press(pilot, "f4", *pause)
        assert [each.key for each in strip.keys] == ["f1", "f2", "f3", "f5", "f8", "f9"]
        await press(pilot, "f4", "f6")
        assert job_screen(pilot).card.kind == "paused"
        await press(pilot, "enter")
        assert [each.key for each in strip.keys] == before

    bench.run(walk, bench.job(to="gauges"))


def test_help_comes_by_one_key_and_goes_by_one(bench: Bench) -> None:
    folder = bench.job(to="gauges")
    before = bench.kinds(folder)

    async def walk(pilot: Pilot[int]) -> None:
        for key in ("escape", "f1", "enter"):
            await pilot.press("f1")
            assert pilot.app.screen.query("#page")
            await pilot.press(key)
            assert job_screen(pilot)

    bench.run(walk, folder)
    assert bench.kinds(folder) == before


def test_a_page_longer_than_the_window_is_read_to_its_end_by_keys(bench: Bench) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await pilot.press("f1")
        page = pilot.app.screen.query_one("#page")
        strip = pilot.app.screen.query_one(KeyStrip)
        assert page.virtual_size.height > pilot.app.size.height
        await pilot.press("down")
        assert page.scroll_offset.y == 1
        await pilot.press("end")
        assert page.scroll_offset.y + page.size.height == page.virtual_size.height
        assert page.region.bottom == strip.region.y

    bench.run(walk, bench.job(to="gauges"))


def test_the_command_palette_finds_an_action_by_its_name_and_runs_it(bench: Bench) -> None:
    folder = bench.job(to="gauges")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "ctrl+p", *"note")
        await pilot.app.workers.wait_for_complete()
        await press(pilot, "down", "enter")
        await pilot.pause()
        assert shown(pilot, "#form-title") == "Note"
        await press(pilot, *"seen", "enter")

    bench.run(walk, folder)
    assert bench.last(folder, "noted")["data"] == {"words": "seen", "step": "gauges"}


def test_what_the_menu_holds_is_found_by_its_name_too(bench: Bench) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        offered = [each.title for each in pilot.app.get_system_commands(pilot.app.screen)]
        menu = [entry.label for entry in job_screen(pilot).menu_entries]
        assert set(menu) <= set(offered)
        assert offered.count("Light or dark") == 1
        await press(pilot, "ctrl+p", *"hand the job")
        await pilot.app.workers.wait_for_complete()
        await press(pilot, "down", "enter")
        assert shown(pilot, "#form-title") == "Hand the job over"

    bench.run(walk, bench.job(to="gauges"))


def test_at_every_width_each_key_stands_where_it_can_be_touched(bench: Bench) -> None:
    """Where the blank behind a key had no room, it took a line, and what came after was lost."""

    async def walk(pilot: Pilot[int]) -> None:
        strip = pilot.app.screen.query_one(KeyStrip)
        for width in range(LEAST_WIDTH, 82):
            await pilot.resize_terminal(width, 24)
            await pilot.pause()
            below = text_of(pilot.app).splitlines()[strip.region.y : strip.region.bottom]
            for each in strip.keys:
                assert f"{each.name} {each.does}" in below[each.line][each.begins : each.ends]

    bench.run(walk, bench.job(to="gauges"))


@pytest.mark.parametrize("key", ["f1", "f9", "f10"])
def test_whatever_a_key_puts_in_front_is_left_by_touch_too(bench: Bench, key: str) -> None:
    """Help, the menu and the list of sums named Escape alone, and held whoever had no keyboard."""

    async def walk(pilot: Pilot[int]) -> None:
        for size in ((80, 24), (LEAST_WIDTH, LEAST_HEIGHT)):
            await pilot.resize_terminal(*size)
            behind = pilot.app.screen
            await press(pilot, key)
            assert pilot.app.screen is not behind
            strip = pilot.app.screen.query_one(KeyStrip)
            [back] = [each for each in strip.keys if each.does == "Back"]
            assert await pilot.click(strip, offset=(back.begins + 1, back.line))
            await pilot.pause()
            assert pilot.app.screen is behind

    bench.run(walk, bench.job(to="gauges"))


async def _touch_key(pilot: Pilot[int], does: str) -> None:
    strip = pilot.app.screen.query_one(KeyStrip)
    [key] = [each for each in strip.keys if each.does == does]
    assert await pilot.click(strip, offset=(key.begins + 1, key.line))
    await pilot.pause()


def test_what_has_no_room_among_the_keys_of_the_board_is_reached_by_touch(bench: Bench) -> None:
    """Phase times, a look at the disk and the other theme were keys that stood nowhere."""

    async def walk(pilot: Pilot[int]) -> None:
        board = pilot.app.screen
        assert isinstance(board, BoardScreen)
        bound = [each.binding for each in board.active_bindings.values()]
        own = [each for each in bound if (each.id or "").startswith("board.")]
        hidden = {each.action for each in own if not each.show}
        assert hidden <= {action for _, action in board.more}
        theme = pilot.app.theme
        for line, (label, _) in enumerate(board.more):
            await _touch_key(pilot, "More")
            await press(pilot, Click("#menu-list", line))
            assert (pilot.app.theme == theme) == (label != "Light or dark")
            if pilot.app.screen is not board:
                await _touch_key(pilot, "Back")
            assert pilot.app.screen is board

    bench.run(walk)


def test_keys_are_laid_out_anew_while_another_window_is_in_front(bench: Bench) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        strip = pilot.app.screen.query_one(KeyStrip)
        offered = [each.does for each in strip.keys]
        pilot.app.app_focus = False
        await pilot.pause()
        for width, lines in ((64, 2), (100, 1)):
            await pilot.resize_terminal(width, 24)
            await pilot.pause()
            assert {each.line for each in strip.keys} == set(range(lines))
            assert [each.does for each in strip.keys] == offered

    bench.run(walk, bench.job(to="gauges"))


def test_nothing_is_in_the_palette_of_the_board_twice(bench: Bench) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        offered = [each.title for each in pilot.app.get_system_commands(pilot.app.screen)]
        assert offered[0] == "Start"
        assert offered[-1] == "Leave"
        assert len(set(offered)) == len(offered)

    bench.run(walk)


def test_every_action_of_the_job_is_in_the_palette(bench: Bench) -> None:
    folder = bench.job(to="gauges")

    async def walk(pilot: Pilot[int]) -> None:
        offered = [each.title for each in pilot.app.get_system_commands(pilot.app.screen)]
        assert offered[:8] == ["Help", "Note", "Photo", "Pause", "Fault", "Reopen", "Why", "More"]
        assert offered[-2:] == ["Light or dark", "Leave"]

    bench.run(walk, folder)


def test_a_click_outside_every_control_does_nothing(bench: Bench) -> None:
    folder = bench.job(to="joins-hold")
    before = bench.kinds(folder)
    bench.press(folder, Click("#where"), Click("#title"), Click("#gate"), Click("#phase"))
    assert bench.kinds(folder) == before
