"""When the disk refuses, the screen says so, keeps the entry, and claims nothing was done."""

import errno
from collections.abc import Iterable

import pytest
from bench import Bench, Typed, job_screen, press, shown
from textual.pilot import Pilot
from textual.widgets import Input

from baycompanion.job.events.event import Event
from baycompanion.store.job.journal import JournalWriter


@pytest.fixture
def full_disk(monkeypatch: pytest.MonkeyPatch) -> pytest.MonkeyPatch:
    """Let every write to a journal fail half-way, until it is undone."""

    def write(self: JournalWriter, lines: bytes) -> None:
        self._file.write(lines[: len(lines) // 2])
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(JournalWriter, "_write_all", write)
    return monkeypatch


SAYS = "This could not be saved: no space left on device."


def test_an_answer_that_cannot_be_saved_stays_in_the_field(
    bench: Bench, request: pytest.FixtureRequest
) -> None:
    folder = bench.job(to="gauges")
    before = (folder / "journal.jsonl").read_bytes()

    async def walk(pilot: Pilot[int]) -> None:
        disk = request.getfixturevalue("full_disk")
        state = job_screen(pilot).job.state
        await press(pilot, Typed("18,16"), "enter")
        assert shown(pilot, "#message").startswith(SAYS)
        assert job_screen(pilot).job.state is state
        assert job_screen(pilot).card.step == "gauges"
        assert pilot.app.screen.query_one("#entry", Input).value == "18,16"
        assert (folder / "journal.jsonl").read_bytes() == before
        disk.undo()
        await press(pilot, "enter")
        assert shown(pilot, "#message") == ""

    bench.run(walk, folder)
    kinds = bench.kinds(folder)
    assert kinds[-3:] == ["answered", "gate-opened", "begun"] or kinds[-2:] == ["answered", "begun"]
    assert (
        kinds.count("answered")
        == sum(line.count(b'"kind":"answered"') for line in before.splitlines()) + 1
    )


@pytest.mark.parametrize("step", ["joins-hold", "before", "disconnect"])
def test_a_key_that_cannot_be_saved_moves_nothing(
    bench: Bench, step: str, request: pytest.FixtureRequest
) -> None:
    folder = bench.job(to=step)
    before = bench.kinds(folder)

    async def walk(pilot: Pilot[int]) -> None:
        request.getfixturevalue("full_disk")
        title = shown(pilot, "#title")
        await press(pilot, "1")
        assert shown(pilot, "#message").startswith(SAYS)
        assert shown(pilot, "#title") == title

    bench.run(walk, folder)
    assert bench.kinds(folder) == before


def test_a_list_that_cannot_be_saved_keeps_its_entries(
    bench: Bench, request: pytest.FixtureRequest
) -> None:
    folder = bench.job(to="stations")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, Typed("88.1"), "enter", Typed("94.7"), "enter")
        disk = request.getfixturevalue("full_disk")
        await press(pilot, "enter")
        assert shown(pilot, "#message").startswith(SAYS)
        assert "88.1" in shown(pilot, "#entries")
        assert "94.7" in shown(pilot, "#entries")
        disk.undo()
        await press(pilot, "enter")

    bench.run(walk, folder)
    assert bench.last(folder, "answered")["data"]["entries"] == ["88.1", "94.7"]


def test_a_count_that_cannot_be_saved_stays_in_the_field(
    bench: Bench, request: pytest.FixtureRequest
) -> None:
    folder = bench.job(to="back")

    async def walk(pilot: Pilot[int]) -> None:
        disk = request.getfixturevalue("full_disk")
        await press(pilot, Typed("6"), "enter")
        assert shown(pilot, "#message").startswith(SAYS)
        assert pilot.app.screen.query_one("#entry", Input).value == "6"
        disk.undo()
        await press(pilot, "enter")

    bench.run(walk, folder)
    assert bench.last(folder, "ticked")["data"]["count"] == 6


def test_a_form_that_cannot_be_saved_stays_open_as_typed(
    bench: Bench, request: pytest.FixtureRequest
) -> None:
    folder = bench.job(to="gauges")

    async def walk(pilot: Pilot[int]) -> None:
        disk = request.getfixturevalue("full_disk")
        await press(pilot, "f2", Typed("a clip is cracked"), "enter")
        assert shown(pilot, "#form-error").startswith(SAYS)
        assert pilot.app.screen.query_one("#field-words", Input).value == "a clip is cracked"
        disk.undo()
        await press(pilot, "enter")
        assert job_screen(pilot)

    bench.run(walk, folder)
    assert bench.last(folder, "noted")["data"]["words"] == "a clip is cracked"


def test_a_sleep_that_cannot_be_saved_is_told_and_found_again(
    bench: Bench, request: pytest.FixtureRequest
) -> None:
    """The gap is not swept under the carpet because the disk was away for a moment."""
    folder = bench.job(to="gauges")

    async def walk(pilot: Pilot[int]) -> None:
        disk = request.getfixturevalue("full_disk")
        bench.clock.move(hours=1)
        job_screen(pilot).tick()
        assert shown(pilot, "#message").startswith(SAYS)
        disk.undo()
        bench.clock.move(seconds=1)
        job_screen(pilot).tick()
        await pilot.pause()
        assert job_screen(pilot).card.kind == "gap"

    bench.run(walk, folder)
    assert bench.last(folder, "gap-found")["data"]["seconds"] >= 3600


def test_a_torn_last_line_is_set_aside_and_told(bench: Bench) -> None:
    folder = bench.job(to="gauges")
    journal = folder / "journal.jsonl"
    whole = journal.read_bytes()
    journal.write_bytes(whole + b'{"seq": 99, "at": "20')

    async def walk(pilot: Pilot[int]) -> None:
        assert "cut off by a crash and is set aside" in shown(pilot, "#message")
        await press(pilot, Typed("18,16"), "enter")

    bench.run(walk, folder)
    assert journal.read_bytes().startswith(whole)
    assert b'{"seq": 99, "at": "20' in (folder / "journal.torn").read_bytes()


def test_a_journal_changed_by_somebody_else_is_noticed_before_anything_is_written(
    bench: Bench,
) -> None:
    folder = bench.job(to="gauges")
    journal = folder / "journal.jsonl"

    async def walk(pilot: Pilot[int]) -> None:
        with journal.open("ab") as file:
            file.write(b"{}\n")
        await press(pilot, Typed("18,16"), "enter")
        assert "was changed by somebody else meanwhile" in shown(pilot, "#message")
        assert pilot.app.screen.query_one("#entry", Input).value == "18,16"

    bench.run(walk, folder)
    assert journal.read_bytes().endswith(b"{}\n")


def test_closing_is_told_as_done_only_once_it_is_on_the_disk(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What the screen shows as done is on the disk: the order of the two is what is tested."""
    folder = bench.job(to="joins-hold")
    seen: list[str] = []
    append = JournalWriter.append

    async def walk(pilot: Pilot[int]) -> None:
        screen = job_screen(pilot)

        def watched(self: JournalWriter, events: Iterable[Event]) -> None:
            seen.append(shown(pilot, "#title"))
            append(self, events)
            seen.append(bench.kinds(folder)[-1])
            seen.append(shown(pilot, "#title"))

        monkeypatch.setattr(JournalWriter, "append", watched)
        title = screen.card.title
        await press(pilot, "1")
        assert seen == [title, "begun", title]
        assert shown(pilot, "#title") != title

    bench.run(walk, folder)
