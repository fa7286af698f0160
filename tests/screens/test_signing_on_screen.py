"""PINs on the screen: a locked job, signing on, an override and a witness that are signed."""

from pathlib import Path

import pytest
from bay import BAD
from bench import Bench, More, Move, Typed, job_screen, press, shown
from textual.pilot import Pilot
from textual.widgets import Input

from baycompanion.job.actions import Settle
from baycompanion.store.shop import open_shop
from baycompanion.store.staff.pins import hash_pin

TECHNICIANS, SUPERVISORS = "2580", "7193"
SILENT = [*BAD["sound"], Settle(settle="sound", cause="vehicle", words="no speaker")]
UP_TO_ID: tuple[Move, ...] = (
    "8",
    "enter",
    Typed("no speaker"),
    "enter",
    Typed("tested at the amplifier"),
    "enter",
)


@pytest.fixture
def signed(bench: Bench) -> Bench:
    """Return a shop whose technician T1 and supervisor S1 have PINs; T2 has none."""
    (bench.folder / "staff.yaml").write_text(
        "staff:\n"
        f"  - {{id: T1, role: technician, pin: '{hash_pin(TECHNICIANS)}'}}\n"
        "  - {id: T2, role: technician}\n"
        f"  - {{id: S1, role: supervisor, pin: '{hash_pin(SUPERVISORS)}'}}\n",
        encoding="utf-8",
    )
    bench.shop = open_shop(bench.folder)
    return bench


async def sign_on(pilot: Pilot[int], pin: str = TECHNICIANS) -> None:
    await press(pilot, "1")
    field = pilot.app.focused
    assert isinstance(field, Input) and field.password, "what is typed at once is not shown"
    await press(pilot, Typed(pin), "enter", "enter")


def test_a_job_opens_locked_and_is_read_until_its_technician_signs_on(signed: Bench) -> None:
    folder = signed.job(to="rest-voltage")
    before = signed.kinds(folder)

    async def walk(pilot: Pilot[int]) -> None:
        card = job_screen(pilot).card
        assert card.title == "Measure the battery at rest."
        assert card.entry is None
        assert "Locked: it can be read, and not answered." in str(card.pieces)
        await press(pilot, "f2", Typed("a note of somebody else"), "enter")
        assert shown(pilot, "#form-title") == "Sign on"
        assert signed.kinds(folder) == before
        await press(pilot, "escape", "escape")
        await sign_on(pilot)
        assert job_screen(pilot).card.entry is not None

    signed.run(walk, folder)
    event = signed.last(folder, "signed-on")
    assert event["by"] == "T1"
    assert event["data"] == {"role": "technician", "signed": "pin"}


def test_a_wrong_pin_is_refused_slowed_down_and_recorded_without_it(signed: Bench) -> None:
    folder = signed.job(to="rest-voltage")

    async def walk(pilot: Pilot[int]) -> None:
        await sign_on(pilot, "8642")
        assert "That is not the PIN of T1." in shown(pilot, "#form-error")
        for _ in range(3):
            pin, who = pilot.app.screen.query(Input)
            assert pin.has_focus, "typed once more, it stands in no other field"
            await press(pilot, *"8642")
            assert (pin.value, who.value) == ("8642", "T1")
            await press(pilot, "enter", "enter")
        assert "Wait" in shown(pilot, "#form-error")
        await press(pilot, Typed(TECHNICIANS), "enter", "enter")
        assert "Wait" in shown(pilot, "#form-error"), "the wait holds for the right PIN, too"
        assert all(
            field.value != "8642" or field.password for field in pilot.app.screen.query(Input)
        )

    signed.run(walk, folder)
    tries = [each["data"] for each in signed.journal(folder) if each["kind"] == "pin-refused"]
    told = [(each["who"], each["tries"]) for each in tries]
    assert told == [("T1", 1), ("T1", 2), ("T1", 3)], "what came too soon was not looked at"
    written = "".join(path.read_text("utf-8") for path in folder.rglob("*.json*"))
    assert "8642" not in written and TECHNICIANS not in written


def test_an_enter_too_many_leads_past_no_pin_that_must_be_given(signed: Bench) -> None:
    """The PIN that was typed after it stood in clear in the field of the staff id."""
    folder = signed.job(to="rest-voltage")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "enter", "enter", *TECHNICIANS)
        pin, who = pilot.app.screen.query(Input)
        assert (pin.has_focus, pin.value, who.value) == (True, TECHNICIANS, "T1")
        assert "PIN: nothing is entered yet." in shown(pilot, "#form-error")
        await press(pilot, "enter", "enter")
        assert not job_screen(pilot).work.seat.locked

    signed.run(walk, folder)


def test_a_picture_is_copied_once_somebody_has_signed_on_for_it(
    signed: Bench, tmp_path: Path
) -> None:
    """It was copied before the PIN was asked; going back left a file that no event names."""
    picture = tmp_path / "the dash.png"
    picture.write_bytes(b"any picture")
    folder = signed.job(to="rest-voltage")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f3", Typed(f"'{picture}'"), "enter")
        assert shown(pilot, "#form-title") == "Sign on"
        await press(pilot, "escape", "escape")
        assert not list(folder.glob("photos/*"))
        await press(pilot, "f3", Typed(f"'{picture}'"), "enter", Typed(TECHNICIANS), "enter")
        await press(pilot, "enter")

    signed.run(walk, folder)
    [copied] = folder.glob("photos/*")
    assert copied.read_bytes() == b"any picture"
    assert signed.last(folder, "photo-added")["data"]["file"] == copied.name


def test_an_idle_job_locks_and_keeps_what_was_half_typed(signed: Bench) -> None:
    folder = signed.job(to="rest-voltage")

    async def walk(pilot: Pilot[int]) -> None:
        await sign_on(pilot)
        await press(pilot, *"12.5")
        signed.clock.move(seconds=9 * 60)
        job_screen(pilot).tick()
        assert not job_screen(pilot).work.seat.locked
        await press(pilot, "left")  # somebody is there
        for _ in range(11):
            signed.clock.move(seconds=60)
            job_screen(pilot).tick()
        assert job_screen(pilot).work.seat.locked
        assert job_screen(pilot).card.entry is None
        await sign_on(pilot)
        assert pilot.app.screen.query_one("#entry", Input).value == "12.5"

    signed.run(walk, folder)


def test_signing_on_forgets_nothing_that_was_typed_since_the_last_answer(signed: Bench) -> None:
    """It came after an answer, and was taken for one: a list that was half typed was gone."""
    folder = signed.job(to="promised")

    async def walk(pilot: Pilot[int]) -> None:
        await sign_on(pilot)
        await press(pilot, Typed("2026-05-01"), "enter")
        assert job_screen(pilot).card.step == "stations"
        await press(pilot, Typed("98.1"), "enter", Typed("10"))
        for _ in range(11):
            signed.clock.move(seconds=60)
            job_screen(pilot).tick()
        await sign_on(pilot)
        assert "98.1" in shown(pilot, "#entries")
        assert pilot.app.screen.query_one("#entry", Input).value == "10"

    signed.run(walk, folder)


def test_an_override_is_signed_by_the_one_who_allows_it_once(signed: Bench) -> None:
    folder = signed.job(sound=SILENT)

    async def walk(pilot: Pilot[int]) -> None:
        await sign_on(pilot)
        await press(pilot, *UP_TO_ID, Typed("t1"), "enter")
        assert "asks for a supervisor" in shown(pilot, "#form-error"), "no PIN is asked in vain"
        await press(pilot, Typed("s1"), "enter")
        assert shown(pilot, "#form-title") == "S1 signs"
        await press(pilot, Typed(TECHNICIANS), "enter")
        assert "That is not the PIN of S1." in shown(pilot, "#form-error")
        await press(pilot, Typed(SUPERVISORS), "enter")
        assert job_screen(pilot).job.state.current == "route"
        assert job_screen(pilot).work.seat.vouched is None

    signed.run(walk, folder)
    event = signed.last(folder, "overridden")
    assert (event["by"], event["data"]["signed"]) == ("S1", "pin")


def test_a_supervisor_takes_over_a_locked_job_and_nobody_else_does(signed: Bench) -> None:
    folder = signed.job(to="rest-voltage")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "1", "x", "enter", Typed("T2"), "enter")
        assert "This job is in the hands of T1, not T2." in shown(pilot, "#form-error")
        await press(pilot, Typed(SUPERVISORS), "enter", Typed("S1"), "enter")
        state = job_screen(pilot).job.state
        assert (state.technician, state.status) == ("S1", "paused")
        words = "Taken over by a supervisor at a locked screen."
        assert state.pauses[-1].handed_words == words
        assert not job_screen(pilot).work.seat.locked
        said = [piece.words for piece in job_screen(pilot).card.pieces]
        assert words in said, "from nobody: S1 would read “From S1”"

    signed.run(walk, folder)


def test_a_supervisor_takes_over_a_locked_job_that_was_left_and_says_what_is_known(
    signed: Bench,
) -> None:
    folder = signed.job(to="rest-voltage")
    signed.clock.move(hours=15)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "1", "x", "enter", "shift+tab")
        await press(pilot, Typed(SUPERVISORS), "enter", Typed("S1"), "enter")
        screen = job_screen(pilot)
        assert (screen.job.state.technician, screen.card.kind) == ("S1", "gap")
        assert shown(pilot, "#title").startswith("T1 had the job for the last 15 h 00 min.")
        await press(pilot, "1")
        assert screen.job.state.gap is not None, "of T1 only T1 says that they worked"
        await press(pilot, "4")
        assert job_screen(pilot).card.kind == "paused"

    signed.run(walk, folder)
    event = signed.last(folder, "gap-explained")
    assert (event["by"], event["data"]) == ("S1", {"meaning": "unknown"})


def test_a_job_passes_to_a_trainee_after_their_mentor_is_named(signed: Bench) -> None:
    with (signed.folder / "staff.yaml").open("a", encoding="utf-8") as file:
        file.write("  - {id: N1, role: trainee}\n  - {id: N2, role: trainee}\n")
    signed.shop = open_shop(signed.folder)
    folder = signed.job(to="rest-voltage")

    async def walk(pilot: Pilot[int]) -> None:
        await sign_on(pilot)
        await press(pilot, More("Hand the job over"), *"N", "enter")
        for words in ("the meter is on loan", "nothing", "read the battery"):
            await press(pilot, Typed(words), "enter")
        assert shown(pilot, "#form-title") == "Who stands beside?"
        await press(pilot, *"N", "enter")
        assert "N2 cannot be the mentor of N1." in shown(pilot, "#form-error")
        await press(pilot, *"S", "enter")
        assert shown(pilot, "#form-title") == "T1 signs"
        await press(pilot, Typed(TECHNICIANS), "enter")
        state = job_screen(pilot).job.state
        assert (state.technician, state.mentor) == ("N1", "S1")
        assert "N1 with S1" in shown(pilot, "#where")

    signed.run(walk, folder)
    assert signed.last(folder, "handed-over")["data"]["mentor"] == "S1"


def test_a_trainee_starts_a_job_after_naming_a_mentor_and_a_pin_is_asked_of_who_has_one(
    signed: Bench,
) -> None:
    with (signed.folder / "staff.yaml").open("a", encoding="utf-8") as file:
        file.write(f"  - {{id: N1, role: trainee, pin: '{hash_pin('4826')}'}}\n")
    signed.shop = open_shop(signed.folder)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "n", "enter", Typed("WO 9"), "enter", Typed("red car"), "enter")
        await press(pilot, "enter", "enter", "enter", *"N", "enter")
        assert shown(pilot, "#form-title") == "Who stands beside?"
        await press(pilot, *"S", "enter")
        assert shown(pilot, "#form-title") == "N1 signs"
        await press(pilot, Typed("4826"), "enter")
        state = job_screen(pilot).job.state
        assert (state.technician, state.mentor) == ("N1", "S1")
        assert not job_screen(pilot).work.seat.locked

    signed.run(walk)
    [folder] = signed.shop.jobs.iterdir()
    opened = signed.journal(folder)[0]["data"]
    assert (opened["mentor"], opened["signed"]) == ("S1", "pin")


def test_the_job_of_somebody_who_retired_is_read_and_taken_over(bench: Bench) -> None:
    folder = bench.job(to="rest-voltage")
    staff = (bench.folder / "staff.yaml").read_text("utf-8")
    retired = staff.replace("{id: T1, role: technician}", "{id: T1, role: technician, active: no}")
    (bench.folder / "staff.yaml").write_text(retired, encoding="utf-8")
    bench.shop = open_shop(bench.folder)

    async def walk(pilot: Pilot[int]) -> None:
        assert "Locked: it can be read, and not answered." in str(job_screen(pilot).card.pieces)
        await press(pilot, "1", Typed("x"), "enter", "enter")
        assert "T1" in shown(pilot, "#form-error") and "retired" in shown(pilot, "#form-error")
        await press(pilot, Typed(""), "enter", Typed("S1"), "enter")
        state = job_screen(pilot).job.state
        assert (state.technician, state.status) == ("S1", "paused")

    bench.run(walk, folder, None)
