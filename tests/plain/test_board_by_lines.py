"""The bay board line by line: the jobs with their numbers, a new one, another vehicle."""

import contextlib
from collections import deque
from collections.abc import Callable
from pathlib import Path

import pytest
from bay import T1, keys_in, load_small
from came_back import COME_BACK, LOOK_OVER, LOOKED_OVER
from lamp import PROCEDURE
from listener import Clock, Typist

from baycompanion.job.actions import Abandon
from baycompanion.job.deciding.draft import Refused
from baycompanion.job.events.carried import Vehicle
from baycompanion.plain.board import Board
from baycompanion.procedure.load import load_procedure
from baycompanion.store.job.folder import make_job, read_job
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.shop import Shop
from baycompanion.views.board.line import MOST_ENDED

Type = Callable[..., Typist]


@pytest.fixture
def at_the_board(shop: Shop, clock: Clock) -> Type:
    """Return what types lines at the board until they are all typed, or the program is left."""

    def type_lines(*lines: str) -> Typist:
        typist = Typist(clock, deque(lines))
        with contextlib.suppress(EOFError):
            Board(shop, typist, clock).walk()
            typist.leaving = "quit"
        return typist

    return type_lines


def test_an_empty_board_says_so_and_how_to_go_on(at_the_board: Type) -> None:
    typist = at_the_board("quit")
    assert typist.heard == [
        "Bay board of This shop. Jobs under way: 0.",
        "A number to open a job, new, find, again, quit, or ? for help:",
    ]
    assert typist.leaving == "quit"


def test_a_job_stands_there_with_what_it_waits_for(at_the_board: Type, folder: Path) -> None:
    heard = at_the_board().heard
    assert heard[1] == (
        "1. WO 7 · Blue van · Fit a small receiver · T1. "
        "step 1 of 33 · 0 min of 2 h 10 min · the hazards to be read"
    )


def test_a_job_is_opened_by_its_number_and_left_for_the_board(
    at_the_board: Type, folder: Path
) -> None:
    typist = at_the_board("1", "1", "board", "quit")
    assert read_job(folder).state.accepted_at is not None
    left = "Left: job 20260302-wo-7, now: Is there a factory amplifier?"
    assert typist.told(f"{left} Everything saved is on the disk.")
    assert typist.heard[-2].endswith("now: Is there a factory amplifier?")
    assert typist.leaving == "quit"


def test_quit_in_a_job_leaves_the_program(at_the_board: Type, folder: Path) -> None:
    assert at_the_board("1", "quit").leaving == "quit"


def test_a_new_job_is_asked_for_and_opened(at_the_board: Type, shop: Shop) -> None:
    (shop.procedures / "lamp.yaml").write_text(PROCEDURE, encoding="utf-8")
    typist = at_the_board("new", "lamp", "WO 8", "red car", "", "", "", "T2", "1")
    [job] = shop.jobs.iterdir()
    state = read_job(job).state
    assert (state.opened.work_order, state.technician) == ("WO 8", "T2")
    assert state.accepted_at is not None
    assert typist.told("WO 8 · red car · Fit a reading lamp, revision 2 · T2")


def test_another_vehicle_is_named_and_asked_for(
    at_the_board: Type, shop: Shop, folder: Path, clock: Clock
) -> None:
    other = make_job(
        shop.jobs, load_small(), keys_in("WO 9", Vehicle(description="red car"), when=clock())
    )
    orders = [read_job(path).state.opened.work_order for path in (folder, other)]
    typist = at_the_board("1", "board", "2", "?back", "2", "1", "2", "1", "quit")
    assert typist.told("Is this the vehicle in front of you?")
    assert typist.told(f"{orders[0]}: Blue van") != typist.told(f"{orders[1]}: red car")
    assert sum("Before the first step." in line for line in typist.heard) == 2


def test_the_same_vehicle_is_not_asked_for_again(at_the_board: Type, folder: Path) -> None:
    assert not at_the_board("1", "board", "1", "quit").told("in front of you")


def test_an_ended_job_is_heard_of_and_can_be_read(
    at_the_board: Type, shop: Shop, folder: Path, clock: Clock
) -> None:
    job = OpenJob(folder, shop.lists, T1, clock())
    job.act(Abandon(abandon="owner came back"), T1, clock())
    job.leave()
    typist = at_the_board("1", "board")
    assert typist.told("Ended lately:")
    assert typist.told("1. 2026-03-02 · WO 7 · Blue van · Fit a small receiver · abandoned")
    assert typist.told("owner came back")
    assert typist.told("board or quit to leave, ? for help:")


def test_a_job_that_somebody_else_has_open_is_told_of(
    at_the_board: Type, shop: Shop, folder: Path, clock: Clock
) -> None:
    job = OpenJob(folder, shop.lists, T1, clock())
    try:
        typist = at_the_board("1", "board")
    finally:
        job.leave()
    assert typist.told("This job is open with T1")
    assert typist.prompts[-2].startswith("Only to read.")
    assert typist.prompts[-1].startswith("A number to open a job")


def test_a_damaged_job_is_told_of_and_the_others_stand(
    at_the_board: Type, shop: Shop, folder: Path, clock: Clock
) -> None:
    other = make_job(shop.jobs, load_small(), keys_in("WO 9", when=clock()))
    (other / "procedure.yaml").write_text("x: 1\n", encoding="utf-8")
    typist = at_the_board()
    assert typist.told("was changed after the job began.")
    assert typist.told("WO 7 · Blue van")


@pytest.mark.parametrize("typed", ["9", "0", "nope", "?nope", "x" * 10_000, "9" * 5000])
def test_what_means_nothing_gets_one_sentence(at_the_board: Type, folder: Path, typed: str) -> None:
    heard = at_the_board(typed).heard
    assert len(heard) == 5
    assert len(heard[3]) < 120
    assert heard[3].endswith(("can be typed.", "that was read."))


@pytest.mark.parametrize(
    ("typed", "line"),
    [
        ("?", "new: start a job."),
        ("help", "new: start a job."),
        ("", "Bay board of This shop."),
        ("again", "Bay board of This shop."),
    ],
)
def test_the_words_of_the_board(at_the_board: Type, typed: str, line: str) -> None:
    assert any(said.startswith(line) for said in at_the_board(typed).heard[2:])


def test_the_board_enters_an_ended_job_that_is_not_in_the_ledger(
    at_the_board: Type, shop: Shop, folder: Path, clock: Clock
) -> None:
    job = OpenJob(folder, shop.lists, T1, clock())
    job.act(Abandon(abandon="the owner took it"), T1, clock())
    job.leave()
    ledger = shop.folder / "ledger.jsonl"
    content = ledger.read_bytes()
    ledger.write_bytes(content.splitlines(keepends=True)[0])
    assert at_the_board().heard[0].startswith("Bay board of")
    assert ledger.read_bytes().count(folder.name.encode()) == 1


def test_the_board_says_why_a_job_cannot_be_entered(
    at_the_board: Type, shop: Shop, folder: Path, clock: Clock
) -> None:
    job = OpenJob(folder, shop.lists, T1, clock())
    job.act(Abandon(abandon="the owner took it"), T1, clock())
    job.leave()
    (shop.folder / "ledger.jsonl").write_bytes(b"{}\n")
    first = at_the_board().heard[0]
    assert first.startswith("Jobs have ended that are not in the ledger yet. ")
    assert "This is no entry of a ledger" in first


class TestCameBack:
    """A job is started on the vehicle of one that has ended, with its record beside it."""

    def ended(self, shop: Shop, clock: Clock) -> Path:
        """Look a vehicle over, everything well, and give the job up at its end."""
        vehicle = Vehicle(description="red car", vin="00DEM0000TEST0009", plate="DEMO 9")
        loaded = load_procedure(LOOK_OVER, "look-over.yaml")
        folder = make_job(shop.jobs, loaded, keys_in(vehicle=vehicle, when=clock()))
        (shop.procedures / "comeback.yaml").write_text(COME_BACK, encoding="utf-8")
        job = OpenJob(folder, shop.lists, T1, clock())
        for action in LOOKED_OVER:
            assert not isinstance(job.act(action, T1, clock()), Refused)
        job.leave()
        return folder

    def test_it_begins_with_what_is_known_of_the_vehicle(
        self, at_the_board: Type, shop: Shop, clock: Clock
    ) -> None:
        earlier = self.ended(shop, clock)
        typist = at_the_board(
            *("came back 1", "", "WO 8", "", "", "", "", "T1"),
            *("1", "2", "silent", "rest", "0", "rest", "0"),
            *("?earlier", "1", "the fuse of the horn is out", "0"),
        )
        assert typist.told("It comes back from WO 7, Look a vehicle over")
        [folder] = [job for job in shop.jobs.iterdir() if job != earlier]
        state = read_job(folder).state
        assert state.opened.earlier is not None
        assert state.opened.earlier.job == earlier.name
        assert state.opened.vehicle.vin == "00DEM0000TEST0009"
        assert [(fault.cause, fault.item) for fault in state.faults] == [("work", "horn")]
        assert typist.told("WORSE THAN WHEN IT LEFT")
        assert typist.told("Horn: worked when it left; faulty now (silent)")

    def test_only_an_ended_job_can_be_come_back_from(
        self, at_the_board: Type, shop: Shop, folder: Path
    ) -> None:
        typist = at_the_board("came back 1")
        assert typist.told("Job 1 is under way, and a vehicle comes back from an ended one.")
        assert len(list(shop.jobs.iterdir())) == 1

    def test_without_a_number_the_ended_job_is_found_first(
        self, at_the_board: Type, shop: Shop, clock: Clock
    ) -> None:
        earlier = self.ended(shop, clock)
        typist = at_the_board("came back", "demo-9", "came back 1", "", "WO 8", *[""] * 4, "T1")
        assert typist.told("Which job does it come back from?")
        assert typist.told("It comes back from WO 7, Look a vehicle over")
        [made] = [job for job in shop.jobs.iterdir() if job != earlier]
        earlier_kept = read_job(made).state.opened.earlier
        assert earlier_kept is not None and earlier_kept.job == earlier.name


class TestFind:
    """An ended job is found by plate, VIN or work order, and opened by the number that it gets."""

    @pytest.fixture
    def old(self, shop: Shop, clock: Clock) -> list[Path]:
        """Give up so many jobs that the board lists all but the two oldest."""
        folders = []
        for number in range(MOST_ENDED + 2):
            vehicle = Vehicle(description=f"van {number}", plate=f"DEMO {number:02}")
            keys = keys_in(f"WO {100 + number}", vehicle, when=clock())
            folders.append(make_job(shop.jobs, load_small(), keys))
            job = OpenJob(folders[-1], shop.lists, T1, clock())
            job.act(Abandon(abandon="sold"), T1, clock())
            job.leave()
            clock.move(3600)
        return folders

    def test_one_that_was_not_read_gets_a_number_and_is_read(
        self, at_the_board: Type, old: list[Path]
    ) -> None:
        typist = at_the_board("find DEMO-00", "13", "board")
        assert typist.told("1 ended job fits “demo-00”.")
        line = "13. 2026-03-02 · WO 100 · van 0 · Fit a small receiver · abandoned · plate DEMO 00"
        assert line in typist.heard
        assert typist.told("WO 100 · van 0 · Fit a small receiver, revision")

    def test_one_that_was_read_keeps_its_number(self, at_the_board: Type, old: list[Path]) -> None:
        typist = at_the_board("find demo 0", "find demo 13")
        numbers = [each.split(".")[0] for each in typist.heard if "· plate DEMO" in each]
        assert numbers == ["5", "6", "7", "8", "9", "10", "11", "12", "13", "14", "1"]

    def test_it_is_asked_for_where_nothing_follows_and_none_is_said(
        self, at_the_board: Type, old: list[Path]
    ) -> None:
        typist = at_the_board("f", "zz", "--", "demo 00", "find nobody", "quit")
        assert typist.told("Find an ended job")
        assert typist.told("No ended job has “zz” in its plate, VIN or work order.")
        assert typist.told("“--” has no letter and no digit.")
        assert typist.told("13. 2026-03-02 · WO 100")
        none = "No ended job has “nobody” in its plate, VIN or work order. Type less of it."
        assert none in typist.heard

    def test_only_where_a_job_is_begun_it_is_said_that_one_may_be_without_an_earlier(
        self, at_the_board: Type, old: list[Path]
    ) -> None:
        typist = at_the_board("came back nobody", "quit")
        assert typist.told("Type less of it, or start a job without an earlier one.")

    def test_what_is_no_number_on_the_board_is_sought_for_a_comeback(
        self, at_the_board: Type, old: list[Path]
    ) -> None:
        typist = at_the_board("came back 100", "came back 13")
        assert typist.told("1 ended job fits “100”.")
        assert typist.told("It comes back from WO 100, Fit a small receiver")

    def test_an_ended_job_is_read_without_its_vehicle_in_front_of_anybody(
        self, at_the_board: Type, old: list[Path], folder: Path
    ) -> None:
        typist = at_the_board("1", "board", "find demo 00", "14", "board", "1", "board", "quit")
        assert typist.told("WO 100 · van 0 · Fit a small receiver, revision")
        assert not typist.told("in front of you")

    def test_another_plate_than_the_earlier_job_had_is_told_when_the_job_opens(
        self, at_the_board: Type, old: list[Path]
    ) -> None:
        typist = at_the_board("came back 1", "", "WO 8", "", "", "TEST 3", "", "T1")
        assert typist.told("Warning: the plate is TEST 3, and in the earlier job WO 113 it was")
        assert typist.prompts[-1].startswith("1 It fits"), "it holds nothing up"
