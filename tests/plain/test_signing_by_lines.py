"""PINs line by line: a locked job is read, signed on to, and an override is signed."""

from collections import deque
from dataclasses import replace
from pathlib import Path

import pytest
from bay import T1, keys_in, load_small
from listener import Clock, Typist

from baycompanion.plain.job import walk_job
from baycompanion.store.job.folder import make_job, read_job
from baycompanion.store.shop import Shop, open_shop
from baycompanion.store.staff.pins import hash_pin

PIN = "2580"


@pytest.fixture
def signed(shop: Shop) -> Shop:
    """Return the shop, in which T1 and S1 have one PIN each."""
    (shop.folder / "staff.yaml").write_text(
        f"staff:\n  - {{id: T1, role: technician, pin: '{hash_pin(PIN)}'}}\n"
        f"  - {{id: S1, role: supervisor, pin: '{hash_pin('7193')}'}}\n",
        encoding="utf-8",
    )
    return open_shop(shop.folder)


@pytest.fixture
def folder(signed: Shop, clock: Clock) -> Path:
    return make_job(signed.jobs, load_small(), keys_in(when=clock()))


def test_a_locked_job_is_read_and_answered_after_its_technician_signs_on(
    signed: Shop, folder: Path, clock: Clock
) -> None:
    lines = ["1", "8642", "", PIN, "", "1", "1", "quit"]
    typist = Typist(clock, deque(lines))
    walk_job(signed, folder, None, typist, clock)
    assert typist.told("Locked: it can be read, and not answered.")
    assert typist.told("That is not the PIN of T1.")
    state = read_job(folder).state
    assert [each.data.signed for each in state.sign_ons] == ["pin"]
    assert [each.data.tries for each in state.wrong_pins] == [1]
    assert state.choices == {"amplifier": "yes"}
    assert not any(PIN in line or "8642" in line for line in typist.heard)


def test_whoever_gave_a_pin_at_the_start_is_not_asked_again(
    signed: Shop, folder: Path, clock: Clock
) -> None:
    typist = Typist(clock, deque(["1", "1", "quit"]))
    walk_job(signed, folder, replace(T1, signed="pin"), typist, clock)
    assert not typist.told("Locked")
    assert read_job(folder).state.choices == {"amplifier": "yes"}


def test_a_note_typed_while_it_is_locked_waits_for_the_pin(
    signed: Shop, folder: Path, clock: Clock
) -> None:
    typist = Typist(clock, deque(["note", "the van drips", PIN, "", "quit"]))
    walk_job(signed, folder, None, typist, clock)
    assert [note.words for note in read_job(folder).state.notes] == ["the van drips"]


class Slow(Typist):
    """Is called away before the third line."""

    def ask(self, prompt: str) -> str:
        line = super().ask(prompt)
        if len(self.prompts) == 3:
            self.clock.move(11 * 60)
        return line

    ask_secret = ask


def test_a_job_locks_where_nobody_types_and_the_late_line_answers_nothing(
    signed: Shop, folder: Path, clock: Clock
) -> None:
    typist = Slow(clock, deque(["1", "1", "1", "1", PIN, "", "quit"]))
    walk_job(signed, folder, replace(T1, signed="pin"), typist, clock)
    assert typist.told("the job is locked, and that line did nothing.")
    state = read_job(folder).state
    assert state.choices == {"amplifier": "yes"}
    assert [each.by for each in state.sign_ons] == ["T1"]
