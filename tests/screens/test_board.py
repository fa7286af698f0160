"""The bay board lists every job with what it waits for, opens them, and starts new ones."""

import shutil
from pathlib import Path

import pytest
from bay import SMALL, keys_in
from bench import STAFF, Bench, Click, Typed, job_screen, press, shown, touch
from came_back import COME_BACK, LOOK_OVER, LOOKED_OVER
from ordered import ORDER_TEXT
from textual.pilot import Pilot
from textual.widgets import Input, OptionList, Static

from baycompanion.job.actions import Abandon, Close
from baycompanion.job.deciding.opening import open_job
from baycompanion.job.events.carried import Vehicle
from baycompanion.job.events.chain import canonical
from baycompanion.job.hands_actions import PauseWork
from baycompanion.procedure.load import hash_of
from baycompanion.screens.board.board import BoardScreen
from baycompanion.screens.form.form import FormScreen
from baycompanion.screens.job.only_reading import OnlyReadingScreen
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.shop import open_shop
from baycompanion.text.problem import BadFile

COUNT = len(SMALL.steps)


def lines(pilot: Pilot[int]) -> list[str]:
    """Return the entries of the board, each as it is listed."""
    jobs = pilot.app.screen.query_one("#jobs", OptionList)
    return [str(option.prompt) for option in jobs.options]


def test_an_empty_board_says_how_to_start(bench: Bench) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        assert lines(pilot) == ["UNDER WAY", "  none: press N to start a job"]
        await press(pilot, "enter", "down", "r")

    bench.run(walk)


def test_each_job_shows_where_it_is_and_what_it_waits_for(bench: Bench) -> None:
    gave_up = bench.new_job("WO 1")
    bench.act(gave_up, Abandon(abandon="sold"))
    bench.new_job("WO 2")
    paused = bench.job(to="gauges")
    bench.act(paused, PauseWork(pause="lunch", loose="nothing", first="count"))
    bench.job(to="joins-hold")

    async def walk(pilot: Pilot[int]) -> None:
        listed = lines(pilot)
        assert listed[0] == "UNDER WAY"
        assert listed[-2] == "ENDED LATELY"
        assert listed[-1] == "  2026-03-02 · WO 1 · Blue van · Fit a small receiver · abandoned"
        first = listed[1].splitlines()
        assert first[0] == "WO 7 · Blue van · Fit a small receiver · T1"
        assert first[1].startswith(f"  Bench · step {SMALL.number['joins-hold']} of {COUNT} · ")
        assert first[1].endswith(" of 2 h 10 min")
        assert first[2] == "  now: Each join holds."
        assert listed[2].splitlines()[2] == "  paused: lunch"
        assert listed[3].splitlines()[1:] == [
            f"  step 1 of {COUNT} · 0 min of 2 h 10 min",
            "  the hazards to be read",
        ]

    bench.run(walk)


def test_a_job_is_opened_left_and_listed_as_it_now_stands(bench: Bench) -> None:
    folder = bench.job(to="joins-hold")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "enter")
        assert job_screen(pilot).card.step == "joins-hold"
        await press(pilot, "1", "f9", "1")
        assert isinstance(pilot.app.screen, BoardScreen)
        assert "now: Somebody else looks at the joins." in lines(pilot)[1]
        await press(pilot, Click("#jobs", 2))
        assert job_screen(pilot).card.step == "second-look"

    bench.run(walk)
    assert bench.last(folder, "answered")["data"]["step"] == "joins-hold"


def test_a_finger_that_sweeps_over_the_list_opens_no_job(bench: Bench) -> None:
    """The job was opened from whose line the finger was lifted."""
    bench.job(to="show")
    bench.job(to="joins-hold")

    async def walk(pilot: Pilot[int]) -> None:
        await touch(pilot, "#jobs", 6, swept=-3)
        assert isinstance(pilot.app.screen, BoardScreen)
        await touch(pilot, "#jobs", 3)
        assert job_screen(pilot).job

    bench.run(walk)


def test_a_job_is_started_from_the_board_and_opens_at_once(bench: Bench) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "n", "down", "down", "enter", Typed("WO-88"), "enter")
        await press(pilot, Typed("red estate"), "enter", Typed("wvx123"), "enter")
        await press(pilot, Typed("TEST 9"), "enter", "enter", "down", "enter")
        assert job_screen(pilot).card.kind == "hazards"
        assert "WO-88 · red estate" in shown(pilot, "#where")

    bench.run(walk)
    (folder,) = bench.shop.jobs.iterdir()
    opened = bench.journal(folder)[0]
    assert opened["by"] == "T2"
    assert opened["data"]["vehicle"] == {
        "description": "red estate",
        "vin": "WVX123",
        "plate": "TEST 9",
    }


def test_a_job_is_not_started_without_an_order_and_keeps_what_was_typed(bench: Bench) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "n", "enter", "enter", Typed("red estate"))
        await press(pilot, "tab", "tab", "tab", "tab", "enter")
        assert shown(pilot, "#form-error") == "Work order: nothing is entered yet."
        assert pilot.app.screen.query_one("#field-order").has_focus
        assert pilot.app.screen.query_one("#field-vehicle", Input).value == "red estate"
        await press(pilot, "escape")

    bench.run(walk)
    assert list(bench.shop.jobs.iterdir()) == []


@pytest.mark.parametrize("name", ["order", "vehicle", "vin", "plate"])
def test_a_whole_page_pasted_into_the_start_form_is_refused(bench: Bench, name: str) -> None:
    labels = {"order": "Work order", "vehicle": "Vehicle", "vin": "VIN", "plate": "Plate"}

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "n", "enter", Typed("WO 5"), "enter", Typed("van"), "enter")
        pilot.app.screen.query_one(f"#field-{name}", Input).value = "x" * 501
        await press(pilot, "enter", "enter", "enter", "enter")
        said = shown(pilot, "#form-error")
        assert said == f"{labels[name]}: longer than 500 characters. Shorten it."
        pilot.app.screen.query_one(f"#field-{name}", Input).value = "x" * 500
        await press(pilot, "enter")
        assert job_screen(pilot).card.kind == "hazards"

    bench.run(walk)


def test_a_procedure_with_a_mistake_is_refused_in_one_line_and_the_form_stays(
    bench: Bench,
) -> None:
    (bench.shop.procedures / "aa-bad.yaml").write_text("procedure: [b]x[/b]\ntitel: x\n")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "n", "enter", Typed("WO 5"), "enter", Typed("van"), "enter")
        await press(pilot, "enter", "enter", "enter", "enter")
        said = shown(pilot, "#form-error")
        assert "aa-bad.yaml:1:" in said
        assert "\n" not in said
        assert isinstance(pilot.app.screen, FormScreen)
        assert pilot.app.screen.query_one("#field-order", Input).value == "WO 5"

    bench.run(walk)
    assert list(bench.shop.jobs.iterdir()) == []


def _cut_in_the_middle(bench: Bench, folder: Path) -> None:
    journal = folder / "journal.jsonl"
    text = journal.read_text(encoding="utf-8").splitlines()
    journal.write_text("\n".join([text[0], text[1].replace("T1", "T2"), *text[2:]]) + "\n")


def _cut_at_the_front(bench: Bench, folder: Path) -> None:
    journal = folder / "journal.jsonl"
    journal.write_text(journal.read_text(encoding="utf-8")[7:])


def _change_the_procedure(bench: Bench, folder: Path) -> None:
    pinned = folder / "procedure.yaml"
    pinned.write_text(pinned.read_text(encoding="utf-8") + "# [/]\n", encoding="utf-8")


def _outdate_the_procedure(bench: Bench, folder: Path) -> None:
    """Leave a job whose own procedure no program of today can read."""
    text = "procedure: small\ntitel: [/]\nsteps: 3\n"
    (folder / "procedure.yaml").write_text(text)
    opened = open_job(bench.loaded.procedure, hash_of(text), "old", keys_in("WO 0"))
    (folder / "journal.jsonl").write_bytes(canonical(opened.as_dict()) + b"\n")


def _lose_the_procedure(bench: Bench, folder: Path) -> None:
    (folder / "procedure.yaml").unlink()


@pytest.mark.parametrize(
    "damage",
    [
        _cut_in_the_middle,
        _cut_at_the_front,
        _change_the_procedure,
        _outdate_the_procedure,
        _lose_the_procedure,
    ],
)
def test_a_job_that_cannot_be_read_is_one_entry_and_the_rest_is_listed(
    bench: Bench, damage: object
) -> None:
    damaged = bench.job(to="tools")
    bench.job(to="joins-hold")
    damage(bench, damaged)  # type: ignore[operator]
    before = {path: path.read_bytes() for path in damaged.iterdir() if path.is_file()}

    async def walk(pilot: Pilot[int]) -> None:
        listed = lines(pilot)
        (told,) = [line for line in listed if line.startswith("! ")]
        assert damaged.name in told
        assert "\n" not in told
        assert sum("Blue van" in line for line in listed) == 1
        await press(pilot, "end", "enter")
        if isinstance(pilot.app.screen, OnlyReadingScreen):
            await press(pilot, "escape")
        await press(pilot, "home", "enter")
        if isinstance(pilot.app.screen, OnlyReadingScreen):
            await press(pilot, "escape")
        if isinstance(pilot.app.screen, BoardScreen):
            await press(pilot, "down", "enter")
        assert job_screen(pilot).card.step == "joins-hold"

    bench.run(walk)
    for path, content in before.items():
        assert path.read_bytes() == content, "what is damaged is kept for the audit"


def test_a_staff_file_that_is_broken_later_does_not_stop_an_open_board(bench: Bench) -> None:
    folder = bench.job(to="joins-hold")

    async def walk(pilot: Pilot[int]) -> None:
        (bench.folder / "staff.yaml").write_text(STAFF + "  - [/]\n")
        await press(pilot, "r", "enter", "1")
        assert job_screen(pilot).card.step == "second-look"

    bench.run(walk)
    assert bench.last(folder, "answered")["data"]["outcome"] == "passed"
    with pytest.raises(BadFile, match=r"staff\.yaml:6:5: "):
        open_shop(bench.folder)


def test_a_job_that_somebody_has_open_is_only_read_with_who_and_since_when(bench: Bench) -> None:
    folder = bench.job(to="joins-hold")
    before = bench.kinds(folder)
    other = OpenJob(folder, bench.shop.lists, bench.shop.staff["T2"], bench.clock())

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "enter")
        assert isinstance(pilot.app.screen, OnlyReadingScreen)
        assert shown(pilot, "#message").startswith("This job is open with T2 on ")
        other.leave()
        await press(pilot, "escape")
        assert isinstance(pilot.app.screen, BoardScreen)
        await press(pilot, "enter")
        assert job_screen(pilot).card.step == "joins-hold"

    try:
        bench.run(walk)
    finally:
        other.leave()
    assert bench.kinds(folder) == before


def test_a_job_named_at_the_start_but_open_elsewhere_is_only_read(
    bench: Bench,
) -> None:
    folder = bench.job(to="joins-hold")
    other = OpenJob(folder, bench.shop.lists, bench.shop.staff["T2"], bench.clock())

    async def walk(pilot: Pilot[int]) -> None:
        assert "This job is open with T2" in shown(pilot, "#message")
        await press(pilot, "escape")
        assert isinstance(pilot.app.screen, BoardScreen)

    try:
        bench.run(walk, folder)
    finally:
        other.leave()


def test_leaving_names_nobody_else_less_who_has_a_job_that_was_left_before(bench: Bench) -> None:
    folder = bench.job(to="joins-hold")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "enter", "f9", "1")
        other = OpenJob(folder, bench.shop.lists, bench.shop.staff["T2"], bench.clock())
        await pilot.app.action_quit()
        try:
            assert (folder / "holder.json").exists()
        finally:
            other.leave()

    bench.run(walk)


def test_a_job_whose_technician_left_the_shop_is_only_read_with_a_sentence(bench: Bench) -> None:
    bench.job(to="tools", who=bench.shop.staff["T2"])
    (bench.folder / "staff.yaml").write_text(STAFF.replace("T2", "T3"))
    bench.shop = open_shop(bench.folder)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "enter")
        assert "“T2” is not on the staff of this shop." in shown(pilot, "#message")

    bench.run(walk)


def test_what_vanishes_from_the_disk_is_told_and_the_board_stays(bench: Bench) -> None:
    folder = bench.job(to="tools")

    async def walk(pilot: Pilot[int]) -> None:
        shutil.rmtree(folder)
        await press(pilot, "enter")
        assert "There is no file" in shown(pilot, "#board-message")
        await press(pilot, "r")
        assert lines(pilot) == ["UNDER WAY", "  none: press N to start a job"]
        bench.shop.jobs.rmdir()
        await press(pilot, "r")
        assert lines(pilot)[-1].startswith("! ")

    bench.run(walk)


def in_hand(pilot: Pilot[int]) -> str:
    """Return the line that is in hand."""
    at = pilot.app.screen.query_one("#jobs", OptionList).highlighted
    assert at is not None
    return lines(pilot)[at]


def test_a_job_made_elsewhere_comes_with_a_refresh_and_the_same_one_is_in_hand(
    bench: Bench,
) -> None:
    bench.new_job("WO 1")
    bench.new_job("WO 2")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "down")
        before = in_hand(pilot)
        bench.new_job("WO 3")
        await press(pilot, "r")
        assert sum(" · Blue van" in line for line in lines(pilot)) == 3
        assert lines(pilot).index(in_hand(pilot)) == 3, "another one was put above it"
        assert in_hand(pilot) == before

    bench.run(walk)


def test_the_job_that_one_comes_back_from_is_in_hand_though_it_was_just_started(
    bench: Bench,
) -> None:
    bench.act(bench.job(), Close(close="keys back"))

    async def walk(pilot: Pilot[int]) -> None:
        assert "WO 7" in in_hand(pilot)
        await press(pilot, "n", "down", "down", "enter", Typed("WO-88"), "enter")
        await press(pilot, Typed("red estate"), *["enter"] * 5)
        assert job_screen(pilot).card.kind == "hazards"
        await press(pilot, "f9", "1")
        assert "WO-88" in in_hand(pilot)
        await press(pilot, "down")
        assert "WO 7" in in_hand(pilot)
        await press(pilot, "f1", "escape")
        assert "WO 7" in in_hand(pilot)

    bench.run(walk)


def test_with_two_vehicles_open_the_board_names_the_other_one_and_asks(bench: Bench) -> None:
    """No entry lands in a job that is not in front; the vehicle is named before it opens."""
    bench.job(to="joins-hold")
    bench.new_job("WO 8", Vehicle(description="green estate"))

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "down", "enter", "f9", "1", "up", "enter")
        assert "WO 8: green estate" in shown(pilot, "#form-title")
        await press(pilot, "enter")
        assert "choose the job of the vehicle before you" in shown(pilot, "#form-error")
        await press(pilot, "escape")
        assert isinstance(pilot.app.screen, BoardScreen)
        await press(pilot, "enter", "down", "enter")
        assert "WO 8 · green estate" in shown(pilot, "#where")

    bench.run(walk)


def test_the_other_vehicle_may_vanish_before_it_is_asked_about(bench: Bench) -> None:
    bench.job(to="joins-hold")
    gone = bench.new_job("WO 8")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "down", "enter", "f9", "1", "up")
        shutil.rmtree(gone)
        await press(pilot, "enter")
        assert "cannot be read" in shown(pilot, "#board-message")

    bench.run(walk)


def test_a_job_is_started_with_the_order_of_its_parts(bench: Bench, tmp_path: Path) -> None:
    path = tmp_path / "order.yaml"
    path.write_text(ORDER_TEXT.replace("count: 3", "count: none"), encoding="utf-8")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "n", "enter", Typed("WO 5"), "enter", Typed("van"), "enter")
        await press(pilot, "enter", "enter", Typed(str(path)), "enter", "enter")
        assert "order.yaml:4:59: “count” cannot be “none”." in shown(pilot, "#form-error")
        path.write_text(ORDER_TEXT, encoding="utf-8")
        await press(pilot, "enter")
        assert job_screen(pilot).card.kind == "hazards"

    bench.run(walk)
    (folder,) = bench.shop.jobs.iterdir()
    assert bench.journal(folder)[0]["data"]["order"]["order"] == "O-77"


def test_an_ended_job_that_cannot_be_entered_in_the_ledger_is_told(bench: Bench) -> None:
    folder = bench.job()
    bench.act(folder, Close(close="keys back"))
    ledger = bench.shop.folder / "ledger.jsonl"
    whole = ledger.read_bytes()
    ledger.write_bytes(b"{}\n")

    async def told(pilot: Pilot[int]) -> None:
        said = str(pilot.app.screen.query_one("#board-message", Static).render())
        assert said.startswith("Jobs have ended that are not in the ledger yet.")

    bench.run(told)
    ledger.write_bytes(whole.splitlines(keepends=True)[0])

    async def entered(pilot: Pilot[int]) -> None:
        assert str(pilot.app.screen.query_one("#board-message", Static).render()) == ""

    bench.run(entered)
    assert folder.name in ledger.read_text(encoding="utf-8")


class TestCameBack:
    """C starts a job on the vehicle of the ended job that is chosen."""

    def ended(self, bench: Bench) -> Path:
        """Look a vehicle over, everything well, and close the job."""
        bench.use(LOOK_OVER)
        (bench.shop.procedures / "comeback.yaml").write_text(COME_BACK, encoding="utf-8")
        folder = bench.new_job("WO 6", Vehicle(description="red estate", plate="DEMO 6"))
        for action in LOOKED_OVER:
            bench.act(folder, action)
        return folder

    def test_its_record_lies_beside_the_new_one_and_is_read_from_the_menu(
        self, bench: Bench
    ) -> None:
        earlier = self.ended(bench)

        async def walk(pilot: Pilot[int]) -> None:
            await press(pilot, "c")
            assert "It comes back from WO 6, Look a vehicle over" in form_text(pilot)
            await press(pilot, "enter", Typed("WO 8"), "enter", "enter", "enter", "enter", "enter")
            await press(pilot, "enter")
            assert "WO 8 · red estate · Look at what came back" in shown(pilot, "#where")
            await press(pilot, "1", "2", Typed("silent"), "enter", "9", "0", "9", "0")
            assert job_screen(pilot).card.step == "traced"
            await press(pilot, "f9", "2")
            page = str(pilot.app.screen.query_one("#page Static", Static).content)
            assert "WO 6 · Look a vehicle over, revision 1 · closed 2026-03-02 · T1" in page
            assert "! Horn: worked when it left; faulty now (silent)" in page
            await press(pilot, "escape", "1", Typed("its fuse is out"), "enter", "0")

        bench.run(walk)
        [folder] = [job for job in bench.shop.jobs.iterdir() if job != earlier]
        opened = bench.journal(folder)[0]["data"]
        assert opened["earlier"]["job"] == earlier.name
        assert opened["vehicle"]["plate"] == "DEMO 6"
        assert bench.last(folder, "fault-raised")["data"]["cause"] == "work"

    def test_a_job_under_way_is_none_that_a_vehicle_comes_back_from(self, bench: Bench) -> None:
        bench.new_job()

        async def walk(pilot: Pilot[int]) -> None:
            await press(pilot, "c")
            assert shown(pilot, "#form-title") == "Which job does it come back from?"

        bench.run(walk)


def form_text(pilot: Pilot[int]) -> str:
    """Return all that the form in front says."""
    return "\n".join(str(each.content) for each in pilot.app.screen.query(Static))
