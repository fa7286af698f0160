"""What is half typed outlives a kill, a way out, a small window, and a storm of new sizes."""

import asyncio
from pathlib import Path

import pytest
from bench import Bench, Typed, job_screen, press, shown
from textual.pilot import Pilot
from textual.widgets import Input

from baycompanion.job.actions import Abandon
from baycompanion.screens.app import BayApp
from baycompanion.screens.form.form import LEFT_TYPED, FormScreen
from baycompanion.screens.too_small import LEAST_HEIGHT, LEAST_WIDTH, TooSmallScreen
from baycompanion.store.job.draft import FORM

SMALLEST = (LEAST_WIDTH, LEAST_HEIGHT)
SIZES = [(63, 24), (60, 20), SMALLEST, (80, 20), (1, 1), (200, 60), (80, 24)]


def entry(pilot: Pilot[int]) -> Input:
    """Return the field of the job's card."""
    return pilot.app.screen.query_one("#entry", Input)


def test_a_kill_leaves_the_journal_and_the_half_typed_list(bench: Bench) -> None:
    folder = bench.job(to="stations")
    killed: list[Path] = []

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f2", *"bent", "enter", *"88.1", "enter", *"94")
        await asyncio.sleep(0.5)  # longer than a person pauses between two letters
        killed.append(bench.killed(folder))

    async def later(pilot: Pilot[int]) -> None:
        assert shown(pilot, "#entries") == " 1. 88.1"
        assert entry(pilot).value == "94"
        assert entry(pilot).cursor_position == 2
        assert "Last entry" in shown(pilot, "#message")
        await press(pilot, *".7", "enter", "enter")

    bench.run(walk, folder)
    bench.run(later, killed[0])
    assert bench.last(killed[0], "answered")["data"]["entries"] == ["88.1", "94.7"]
    assert bench.last(killed[0], "noted")["data"]["words"] == "bent"


def test_a_list_waits_at_its_step_while_another_is_answered_once_more(bench: Bench) -> None:
    """The last letters come in the moment before the other step is opened."""
    folder = bench.job(to="stations")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, *"88.1", "enter", *"94", "f6", *"later", "enter")
        assert job_screen(pilot).card.step == "promised"
        assert entry(pilot).value == ""
        await press(pilot, Typed("2026-03-03"), "enter")
        assert job_screen(pilot).card.step == "stations"
        assert shown(pilot, "#entries") == " 1. 88.1"
        assert entry(pilot).value == "94"
        await press(pilot, *".7", "enter", "enter")
        assert entry(pilot).value == ""

    bench.run(walk, folder)
    assert bench.last(folder, "answered")["data"]["entries"] == ["88.1", "94.7"]
    assert not (folder / "draft.json").exists()


@pytest.mark.parametrize("way", [("ctrl+q",), ("f9", "1")], ids=["leave", "to the board"])
def test_leaving_in_the_middle_of_a_word_keeps_it(bench: Bench, way: tuple[str, ...]) -> None:
    folder = bench.job(to="gauges")

    async def later(pilot: Pilot[int]) -> None:
        assert entry(pilot).value == "18,1"

    bench.press(folder, *"18,1", *way)
    bench.run(later, folder)


def words(pilot: Pilot[int]) -> str:
    """Return what stands in the first field of the form in front."""
    return pilot.app.screen.query("#form-fields Input").first(Input).value


@pytest.mark.parametrize("closed", [True, False], ids=["closed", "killed"])
def test_a_form_that_was_half_typed_comes_back_when_it_is_asked_again(
    bench: Bench, closed: bool
) -> None:
    folder = bench.job(to="gauges")
    killed: list[Path] = []

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, *"18.1", "f2", *"bent pin")
        if closed:
            await press(pilot, "ctrl+q")
        else:
            await asyncio.sleep(0.5)
            killed.append(bench.killed(folder))

    async def later(pilot: Pilot[int]) -> None:
        assert entry(pilot).value == "18.1"
        await press(pilot, "f5")
        assert words(pilot) == "", "another form has nothing of it"
        await press(pilot, "escape", "f2")
        assert words(pilot) == "bent pin"
        await press(pilot, *" seen")
        assert words(pilot) == "bent pin seen"
        await press(pilot, "enter", "f2")
        assert words(pilot) == "", "it was handed in"

    bench.run(walk, folder)
    again = folder if closed else killed[0]
    bench.run(later, again)
    assert bench.last(again, "noted")["data"]["words"] == "bent pin seen"
    assert not (again / FORM).exists()


def test_a_form_that_was_left_by_a_key_is_forgotten(bench: Bench) -> None:
    folder = bench.job(to="gauges")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f2", *"bent pin", "escape", "f2")
        assert words(pilot) == ""

    bench.run(walk, folder)
    assert not (folder / FORM).exists()


def test_of_a_form_at_a_private_step_nothing_is_kept(bench: Bench) -> None:
    folder = bench.job(to="code")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f2", *"it is 4711", "ctrl+q")

    bench.run(walk, folder)
    assert b"4711" not in b"".join(each.read_bytes() for each in folder.iterdir() if each.is_file())


def started(pilot: Pilot[int]) -> list[str]:
    """Return the order and the vehicle as they stand in the form in front, and what it says."""
    fields = (pilot.app.screen.query_one(f"#field-{name}", Input) for name in ("order", "vehicle"))
    lead = pilot.app.screen.query("#form-lead")
    return [*(field.value for field in fields), *(shown(pilot, "#form-lead") for _ in lead)]


@pytest.mark.parametrize("closed", [True, False], ids=["closed", "killed"])
def test_the_start_of_a_job_that_was_half_typed_comes_back_and_says_so(
    bench: Bench, closed: bool
) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "n", "enter", *"WO 5", "enter", *"red van")
        if closed:
            await press(pilot, "ctrl+q")
            return
        await asyncio.sleep(0.5)  # the hands rest; what closes the app in the end finds no form
        await pilot.app.pop_screen()

    async def later(pilot: Pilot[int]) -> None:
        await press(pilot, "n")
        assert started(pilot) == ["WO 5", "red van", LEFT_TYPED.words]
        await press(pilot, "enter", "enter", "enter", "enter", "enter", "enter", "enter")
        assert job_screen(pilot).card.kind == "hazards"
        await press(pilot, "f9", "1")
        await press(pilot, "n")
        assert started(pilot) == ["", ""]

    bench.run(walk)
    bench.run(later)
    [folder] = bench.shop.jobs.iterdir()
    assert bench.journal(folder)[0]["data"]["work_order"] == "WO 5"


def test_another_shop_is_not_offered_what_was_typed_for_this_one(
    bench: Bench, tmp_path: Path
) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "n", "enter", *"WO 5", "ctrl+q")

    async def elsewhere(pilot: Pilot[int]) -> None:
        await press(pilot, "n")
        assert started(pilot) == ["", ""]

    bench.run(walk)
    Bench(tmp_path / "other").run(elsewhere)
    assert not list(bench.folder.glob("*draft*"))


def test_the_start_of_a_job_that_was_left_by_a_key_is_forgotten(bench: Bench) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "n", "enter", *"WO 5", "escape", "n")
        assert started(pilot) == ["", ""]

    bench.run(walk)


def test_each_job_that_came_back_has_a_half_typed_start_of_its_own(bench: Bench) -> None:
    for order in ("WO 1", "WO 2"):
        bench.act(bench.new_job(order), Abandon(abandon="sold"))

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "c", "enter", *"WO 5", "ctrl+q")

    async def later(pilot: Pilot[int]) -> None:
        await press(pilot, "down", "c")
        assert started(pilot)[0] == ""
        await press(pilot, "escape", "up", "c")
        assert started(pilot)[0] == "WO 5"

    bench.run(walk)
    bench.run(later)


def test_where_it_cannot_be_kept_nothing_is_said(
    bench: Bench, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("in the place of a folder")
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "file"))

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "n", "enter", *"WO 5", "ctrl+q")
        assert pilot.app.return_value == 0

    bench.run(walk)


def test_what_was_typed_for_one_step_never_turns_up_in_another(bench: Bench) -> None:
    folder = bench.job(to="odometer")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, *"80123", "enter")
        assert job_screen(pilot).card.step == "promised"
        assert entry(pilot).value == ""

    bench.run(walk, folder)
    bench.press(folder, Typed("2026-03-03"), "enter")
    assert not (folder / "draft.json").exists()


@pytest.mark.parametrize("written", ["[]", '{"step": "gauges", "fields": 3}', "\0\xff"])
def test_a_damaged_half_typed_entry_is_no_trouble(bench: Bench, written: str) -> None:
    folder = bench.job(to="gauges")
    (folder / "draft.json").write_bytes(written.encode("latin-1"))
    bench.press(folder, Typed("18,16"), "enter")
    assert bench.last(folder, "answered")["data"]["words"] == "18,16"


def test_a_storm_of_sizes_loses_nothing_and_a_small_window_takes_no_answer(bench: Bench) -> None:
    folder = bench.job(to="stations")
    before = bench.kinds(folder)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, *"88.1", "enter", *"94.")
        for width, height in SIZES:
            await pilot.resize_terminal(width, height)
            small = width < LEAST_WIDTH or height < LEAST_HEIGHT
            assert isinstance(pilot.app.screen, TooSmallScreen) is small
            if small:
                await press(pilot, "enter", "f4", "x", "ctrl+p")
        assert job_screen(pilot)
        assert entry(pilot).has_focus
        assert entry(pilot).value == "94."
        assert shown(pilot, "#entries") == " 1. 88.1"
        assert bench.kinds(folder) == before
        await press(pilot, *"7", "enter", "enter")

    bench.run(walk, folder)
    assert bench.last(folder, "answered")["data"]["entries"] == ["88.1", "94.7"]


def test_a_window_of_any_width_can_be_laid_out(bench: Bench) -> None:
    folder = bench.job(to="joins-hold")

    async def walk(pilot: Pilot[int]) -> None:
        for width in range(1, 66, 5):
            await pilot.resize_terminal(width, 5 + width % 30)
        await pilot.resize_terminal(80, 24)
        assert job_screen(pilot).card.step == "joins-hold"

    bench.run(walk, folder)


def test_a_form_outlives_a_window_that_was_too_small(bench: Bench) -> None:
    folder = bench.job(to="gauges")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f4", Typed("lunch"), "enter", *"dash")
        await pilot.resize_terminal(30, 8)
        assert isinstance(pilot.app.screen, TooSmallScreen)
        await pilot.resize_terminal(80, 24)
        await press(pilot, *" open".replace(" ", "_"), "enter", Typed("cover it"), "enter")

    bench.run(walk, folder)
    assert bench.last(folder, "paused")["data"]["loose"] == "dash_open"


def test_a_form_that_comes_when_the_window_is_too_small_already_stands_when_it_has_grown(
    bench: Bench,
) -> None:
    folder = bench.job(to="gauges")

    async def walk(pilot: Pilot[int]) -> None:
        job = job_screen(pilot)
        await pilot.resize_terminal(60, 20)
        job.action_note()  # its key was pressed just before
        await pilot.pause()
        assert isinstance(pilot.app.screen, TooSmallScreen)
        await pilot.resize_terminal(80, 24)
        await press(pilot, *"bent pin", "enter")
        assert pilot.app.screen is job

    bench.run(walk, folder)
    assert bench.last(folder, "noted")["data"]["words"] == "bent pin"


@pytest.mark.parametrize("key", ["enter", "escape"])
def test_a_form_that_is_left_when_the_window_is_too_small_already_is_gone_when_it_has_grown(
    bench: Bench, key: str
) -> None:
    folder = bench.job(to="gauges")

    async def walk(pilot: Pilot[int]) -> None:
        job = job_screen(pilot)
        await press(pilot, "f2", *"bent pin")
        form = pilot.app.screen
        assert isinstance(form, FormScreen)
        await pilot.resize_terminal(60, 20)
        form.action_save() if key == "enter" else form.action_back()
        await pilot.pause()
        assert isinstance(pilot.app.screen, TooSmallScreen)
        await pilot.resize_terminal(80, 24)
        assert pilot.app.screen is job

    bench.run(walk, folder)
    assert ("noted" in bench.kinds(folder)) is (key == "enter")


def test_the_end_of_what_is_typed_stays_in_sight_in_a_narrower_window(bench: Bench) -> None:
    folder = bench.job(to="gauges")

    def end(pilot: Pilot[int]) -> str:
        return pilot.app.screen.query("#form-fields Input").first(Input).render_line(0).text.strip()

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f2", *("0123456789" * 9), "x")
        for width in (160, 64, 90, 70, 30, 100):
            await pilot.resize_terminal(width, 30)
            await pilot.pause()
            if width >= LEAST_WIDTH:
                assert end(pilot).endswith("0123456789" * 4 + "x")

    bench.run(walk, folder, size=(120, 30))


def test_a_field_that_gets_the_focus_back_goes_on_where_it_was(bench: Bench) -> None:
    folder = bench.job(to="gauges")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f2", *"bent")
        field = pilot.app.screen.focused
        pilot.app.screen.set_focus(None)  # as when another window is in front
        await pilot.pause()
        pilot.app.screen.set_focus(field)
        await press(pilot, *" pin")
        assert words(pilot) == "bent pin"

    bench.run(walk, folder)


def test_a_job_opened_in_a_window_that_is_too_small_is_covered_too(bench: Bench) -> None:
    folder = bench.job(to="joins-hold")
    before = bench.kinds(folder)

    async def walk(pilot: Pilot[int]) -> None:
        assert isinstance(pilot.app.screen, TooSmallScreen)
        await press(pilot, "1", "enter")
        assert bench.kinds(folder) == before
        await pilot.resize_terminal(80, 24)
        await press(pilot, "1")

    bench.run(walk, folder, size=(50, 15))
    assert bench.last(folder, "answered")["data"]["outcome"] == "passed"


def test_a_half_typed_entry_of_a_full_disk_stays_in_the_window(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = bench.job(to="gauges")

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    async def walk(pilot: Pilot[int]) -> None:
        monkeypatch.setattr("baycompanion.store.durable.flush", full)
        await press(pilot, *"18,", "down", "escape", *"16")
        assert entry(pilot).value == "18,16"
        monkeypatch.undo()
        await press(pilot, "enter")

    bench.run(walk, folder)
    assert bench.last(folder, "answered")["data"]["words"] == "18,16"


def test_the_smallest_window_that_is_taken_shows_every_key(bench: Bench) -> None:
    folder = bench.job(to="before")

    async def walk(pilot: Pilot[int]) -> None:
        app = pilot.app
        assert isinstance(app, BayApp)
        for button in app.screen.query("#keys Button"):
            if button.display:
                x, y = button.region.offset
                assert app.screen.get_widget_at(x + 1, y)[0] is button
        field = app.screen.query_one("#rows")
        assert field.region.height >= 1

    bench.run(walk, folder, size=SMALLEST)
