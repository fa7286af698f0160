"""A job that cannot be opened is read all the same: held elsewhere, damaged, or on a full disk."""

import errno
from pathlib import Path

import pytest
from bay import T1
from bench import Bench, More, job_screen, press, shown
from textual.pilot import Pilot
from textual.widgets import Button, Input

from baycompanion.job.actions import Note
from baycompanion.screens.board.board import BoardScreen
from baycompanion.screens.job.job import JobScreen
from baycompanion.screens.job.only_reading import OnlyReadingScreen
from baycompanion.store.job.open_job import OpenJob
from baycompanion.working.only_reading import FREE


def reading_screen(pilot: Pilot[int]) -> OnlyReadingScreen:
    screen = pilot.app.screen
    assert isinstance(screen, OnlyReadingScreen), screen
    return screen


def offers_an_answer(pilot: Pilot[int]) -> bool:
    """Return whether any field or button stands on the screen."""
    offered = [*pilot.app.screen.query(Input), *pilot.app.screen.query(Button)]
    return any(each.display and each.parent is not None and each.parent.display for each in offered)


def change_line(folder: Path, number: int) -> None:
    """Change one digit in a line of the journal, counted from 1."""
    lines = (folder / "journal.jsonl").read_bytes().splitlines(keepends=True)
    lines[number - 1] = lines[number - 1].replace(b'"at":"2026', b'"at":"2025')
    (folder / "journal.jsonl").write_bytes(b"".join(lines))


def test_a_damaged_job_is_shown_as_it_stood_before_the_damage_and_nothing_answers(
    bench: Bench,
) -> None:
    folder = bench.job(to="gauges")
    number = bench.kinds(folder).index("answered") + 2  # the line after the first answer
    change_line(folder, number)
    before = (folder / "journal.jsonl").read_bytes()

    async def walk(pilot: Pilot[int]) -> None:
        screen = reading_screen(pilot)
        said = shown(pilot, "#message")
        assert f"journal.jsonl:{number}: It was changed after it was written" in said
        assert said.endswith("Shown is what comes before that line; nothing can be added to it.")
        assert screen.reading.job.events[-1].seq == number - 1
        assert not offers_an_answer(pilot)
        for key in ("1", "2", "f2", "f4", "f5", "f6", "f7", "f9", "y", "enter"):
            await press(pilot, key)
            assert pilot.app.screen is screen

    bench.run(walk, folder)
    assert (folder / "journal.jsonl").read_bytes() == before
    assert not (folder / "holder.json").exists()


def test_every_step_can_be_looked_at_with_what_was_answered(bench: Bench) -> None:
    folder = bench.job(to="gauges")
    change_line(folder, len(bench.kinds(folder)))

    async def walk(pilot: Pilot[int]) -> None:
        for _ in range(40):
            await press(pilot, "up")
        seen = []
        for _ in bench.loaded.procedure.steps:
            seen.append(shown(pilot, "#title"))
            if reading_screen(pilot).card.step == "odometer":
                assert "Answered: recorded · 80123 km" in shown(pilot, "#pieces")
            await press(pilot, "down")
        assert len(set(seen)) == len(bench.loaded.procedure.steps)
        await press(pilot, "escape")
        assert reading_screen(pilot).card.kind != "look"
        await press(pilot, "escape")
        assert isinstance(pilot.app.screen, BoardScreen)

    bench.run(walk, folder)


@pytest.mark.parametrize("number", [2, 9, -1])
def test_the_board_leads_to_what_can_still_be_read(bench: Bench, number: int) -> None:
    folder = bench.job(to="gauges")
    change_line(folder, number if number > 0 else len(bench.kinds(folder)))

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "enter")
        assert "The journal was damaged; keep it for the audit." in shown(pilot, "#message")

    bench.run(walk)


def test_a_job_that_is_held_is_followed_and_opened_once_it_is_free(bench: Bench) -> None:
    folder = bench.job(to="joins-hold")
    other = OpenJob(folder, bench.shop.lists, bench.shop.staff["T2"], bench.clock())

    async def walk(pilot: Pilot[int]) -> None:
        screen = reading_screen(pilot)
        assert "Close it there first; here it can only be read." in shown(pilot, "#message")
        assert not offers_an_answer(pilot)
        events = len(screen.reading.job.events)
        other.act(Note(note="written at the other one"), bench.shop.staff["T2"], bench.clock())
        screen.follow()
        assert len(screen.reading.job.events) == events + 1
        await press(pilot, "o")
        await pilot.pause()
        assert reading_screen(pilot) is not screen, "it was tried, and is held still"
        reading_screen(pilot).follow()
        assert "Close it there first" in shown(pilot, "#message")
        other.leave()
        reading_screen(pilot).follow()
        assert shown(pilot, "#message") == FREE
        await press(pilot, "o")
        await pilot.pause()
        assert job_screen(pilot).card.step == "joins-hold"
        await press(pilot, More("board"))
        assert isinstance(pilot.app.screen, BoardScreen), "nothing lies between job and board"

    try:
        bench.run(walk, folder)
    finally:
        other.leave()


def test_on_a_disk_that_takes_nothing_the_job_is_read_until_there_is_room(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = bench.job(to="gauges")
    full = True
    replace = Path.replace

    def on_full_disk(path: Path, target: Path) -> Path:
        if full and folder in path.parents:
            raise OSError(errno.ENOSPC, "No space left on device")
        return replace(path, target)

    monkeypatch.setattr(Path, "replace", on_full_disk)

    async def walk(pilot: Pilot[int]) -> None:
        nonlocal full
        assert reading_screen(pilot).card.step == "gauges"
        said = shown(pilot, "#message")
        assert "cannot be written: no space left on device. Here it can only be read." in said
        full = False
        await press(pilot, "o")
        await pilot.pause()
        assert job_screen(pilot).card.step == "gauges"

    bench.run(walk, folder)


def test_a_job_that_is_damaged_while_it_is_read_stays_as_it_was(bench: Bench) -> None:
    folder = bench.job(to="joins-hold")
    other = OpenJob(folder, bench.shop.lists, T1, bench.clock())

    async def walk(pilot: Pilot[int]) -> None:
        screen = reading_screen(pilot)
        events = screen.reading.job.events
        (folder / "journal.jsonl").write_bytes(b"")
        screen.follow()
        assert screen.reading.job.events == events
        await press(pilot, "escape")
        assert not isinstance(pilot.app.screen, JobScreen)

    try:
        bench.run(walk, folder)
    finally:
        other.leave()
