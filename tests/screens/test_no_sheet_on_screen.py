"""A job that is closed without its hand-over sheet says why, on the screen as line by line."""

import pytest
from bench import Bench, job_screen, press, shown
from textual.pilot import Pilot

from baycompanion.store.trouble import StoreTrouble
from baycompanion.working import hand_over


def test_the_card_of_the_closed_job_says_why_it_has_no_hand_over_sheet(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object) -> bytes:
        raise StoreTrouble("The disk is full.")

    monkeypatch.setattr(hand_over, "hand_over_page", fail)
    folder = bench.job()

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "1", "down", "enter")
        assert job_screen(pilot).card.kind == "ended"
        told = shown(pilot, "#pieces")
        assert "its hand-over sheet is not written: The disk is full." in " ".join(told.split())

    bench.run(walk, folder)
    assert bench.kinds(folder)[-1] == "closed"
    assert (folder / "record.json").is_file()
