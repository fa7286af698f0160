"""PINs line by line: a locked job is read, signed on to, and an override is signed."""

from collections import deque
from dataclasses import dataclass, replace
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


@dataclass
class Slow(Typist):
    """Is called away before one of the lines, the third where no other is named."""

    before: int = 3
    away: float = 11 * 60
    """Seconds."""

    def ask(self, prompt: str) -> str:
        line = super().ask(prompt)
        if len(self.prompts) == self.before:
            self.clock.move(self.away)
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


def test_a_job_locks_in_the_middle_of_a_form_too_and_keeps_what_was_typed(
    signed: Shop, folder: Path, clock: Clock
) -> None:
    """As a form of the screens does, whose last answer waits for the PIN."""
    typist = Slow(clock, deque(["note", "the van drips", PIN, "", "quit"]), before=2)
    walk_job(signed, folder, replace(T1, signed="pin"), typist, clock)
    state = read_job(folder).state
    assert [each.by for each in state.sign_ons] == ["T1"]
    assert [note.words for note in state.notes] == ["the van drips"]


def test_who_types_at_a_form_all_the_while_is_there(
    signed: Shop, folder: Path, clock: Clock
) -> None:
    """Six minutes at one question and six at the next are no ten without a key."""
    lines = ["fault", "the lamp hangs", "1", "", "quit"]
    typist = Unhurried(clock, deque(lines))
    walk_job(signed, folder, replace(T1, signed="pin"), typist, clock)
    assert not typist.told("Sign on")
    assert [fault.words for fault in read_job(folder).state.faults] == ["the lamp hangs"]


class Unhurried(Typist):
    """Takes six minutes for every line."""

    def ask(self, prompt: str) -> str:
        self.clock.move(6 * 60)
        return super().ask(prompt)

    ask_secret = ask
