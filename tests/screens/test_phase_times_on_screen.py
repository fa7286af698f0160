"""Phase times on the screen: the list once the records are read, the charts, and the way back."""

from bench import READ, Bench, press, shown
from textual.pilot import Pilot
from textual.widgets import OptionList

from baycompanion.audit.choice import Choice
from baycompanion.audit.phases.reading import read_phases
from baycompanion.screens.board.board import BoardScreen
from baycompanion.screens.looking_back.phase_times import PhaseChartScreen, PhaseTimesScreen

JOBS = 24


def listed(pilot: Pilot[int]) -> list[str]:
    return [str(each.prompt) for each in pilot.app.screen.query_one(OptionList).options]


def test_the_phases_are_listed_and_the_charts_say_what_the_records_say(bench: Bench) -> None:
    bench.close_lamps(JOBS)
    told = read_phases([bench.shop.folder], Choice()).told

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "p", READ)
        assert isinstance(pilot.app.screen, PhaseTimesScreen)
        head, *lines = listed(pilot)
        assert head == "lamp, revision 2"
        assert [line.split(":")[0].strip() for line in lines] == [each.title for each in told]
        assert all(f": {JOBS} jobs · median " in line for line in lines)
        assert shown(pilot, "#phases-message") == f"Looked at: {JOBS} closed jobs."
        await press(pilot, "enter")
        assert isinstance(pilot.app.screen, PhaseChartScreen)
        seen = []
        for _ in told:
            seen.append(shown(pilot, "#phase-chart").splitlines()[0])
            await press(pilot, "right")
        assert seen == [f"{each.title} ({each.phase})" for each in told]
        assert shown(pilot, "#phase-chart").splitlines()[0] == seen[0]
        await press(pilot, "left")
        assert shown(pilot, "#phase-chart").splitlines()[0] == seen[-1]
        await press(pilot, "escape", "escape")
        assert isinstance(pilot.app.screen, BoardScreen)

    bench.run(walk)


def test_the_charts_take_the_room_that_there_is(bench: Bench) -> None:
    bench.close_lamps(JOBS)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "p", READ, "enter")
        small = len(shown(pilot, "#phase-chart").splitlines())
        await pilot.resize_terminal(120, 36)
        await pilot.pause()
        assert len(shown(pilot, "#phase-chart").splitlines()) == small + 12

    bench.run(walk)


def test_without_closed_jobs_it_says_so_and_enter_does_nothing(bench: Bench) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "p", READ)
        assert shown(pilot, "#phases-message").startswith("No job is closed yet")
        await press(pilot, "enter")
        assert isinstance(pilot.app.screen, PhaseTimesScreen)

    bench.run(walk)


def test_a_record_that_cannot_be_read_is_named(bench: Bench) -> None:
    [job] = bench.close_lamps(1)
    (job / "record.json").write_text("no record", encoding="utf-8")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "p", READ)
        assert "is no record that can be read" in shown(pilot, "#phases-message")

    bench.run(walk)


def test_hostile_text_in_a_record_is_shown_as_text(bench: Bench) -> None:
    [job] = bench.close_lamps(1)
    record = job / "record.json"
    hostile = "[b]Fit\\u001b[2J\\u202e the lamp"
    text = record.read_text(encoding="utf-8").replace("Fit the lamp", hostile)
    record.write_text(text, encoding="utf-8")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "p", READ)
        [line] = [line for line in listed(pilot) if "[b]Fit" in line]
        assert "\x1b" not in line and "\u202e" not in line
        await press(pilot, "down", "enter")
        told = shown(pilot, "#phase-chart")
        assert told.startswith("[b]Fit") and "\x1b" not in told

    bench.run(walk)
