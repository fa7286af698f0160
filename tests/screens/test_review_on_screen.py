"""The review, key by key: gates first, findings by weight, people last; words are kept."""

import asyncio
import os
import re
import shutil
from collections.abc import Awaitable, Callable
from pathlib import Path

import pytest
from bench import Bench, Click, Typed, press, shown
from contrast import LEAST, palest_text
from lamp import START
from pictures import text_of
from reviewed_shop import PIN, make_reviewed_shop
from syrupy.assertion import SnapshotAssertion
from test_pictures import LARGE, THEMES, TextFile
from textual.pilot import Pilot
from textual.widgets import Input, OptionList
from walker import Clock

from baycompanion.job.deciding.draft import Person
from baycompanion.screens.app import BayApp
from baycompanion.screens.board.board import BoardScreen
from baycompanion.screens.form.form import LEFT_TYPED
from baycompanion.screens.job.timeline import TimelineScreen
from baycompanion.screens.key_strip import KeyStrip
from baycompanion.screens.looking_back.phase_times import PhaseTimesScreen
from baycompanion.screens.looking_back.review import ReviewScreen
from baycompanion.screens.page import Page
from baycompanion.store.review import NAME, Decided, decide, read_review

Walk = Callable[[Pilot[int]], Awaitable[None]]
SIZE = (80, 24)
FIRST = "20260313-wo-111"
"""The first job with an override."""
SIGNED = (Typed(PIN), "enter", Typed("s2"), "enter")
BY_HAND = "lamp-proved 8 of 23 overridden, 8 held"


@pytest.fixture(scope="session")
def reviewed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the shop that all tests copy; nobody writes in it."""
    folder = tmp_path_factory.mktemp("reviewed") / "shop"
    make_reviewed_shop(folder)
    return folder


@pytest.fixture
def folder(reviewed: Path, tmp_path: Path) -> Path:
    return shutil.copytree(reviewed, tmp_path / "shop")


def run(folder: Path, walk: Walk, size: tuple[int, int] = SIZE) -> None:
    """Open the review of the shop in `folder`, and let `walk` drive it once the audit is done."""

    async def drive() -> None:
        clock = Clock(START.replace(month=9))
        app = BayApp(None, now=clock, alone=lambda: ReviewScreen([folder], clock))
        async with app.run_test(size=size) as pilot:
            await audited(pilot)
            await walk(pilot)
            await app.action_quit()

    asyncio.run(drive())


async def audited(pilot: Pilot[int]) -> None:
    """Wait until the audit has come to its end and is shown."""
    await pilot.pause()
    await pilot.app.workers.wait_for_complete()
    await pilot.pause()
    await pilot.pause()


def rows(pilot: Pilot[int]) -> list[str]:
    listed = pilot.app.screen.query_one("#rows", OptionList)
    return [str(option.prompt).strip() for option in listed.options]


def large(pilot: Pilot[int]) -> str:
    return shown(pilot, "#large-text")


def keys(pilot: Pilot[int]) -> str:
    return " ".join(each.does for each in pilot.app.screen.query_one(KeyStrip).keys)


# --- what is shown ------------------------------------------------------------------------------


def test_page_keys_read_on_in_the_one_in_hand_and_back(folder: Path) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        listed = pilot.app.screen.query_one("#rows", OptionList)
        text = pilot.app.screen.query_one("#large")
        while not text.max_scroll_y:
            await press(pilot, "down")
        in_hand = listed.highlighted
        await press(pilot, "pagedown")
        assert (text.scroll_y > 0, listed.highlighted) == (True, in_hand)
        await press(pilot, "pageup")
        assert (text.scroll_y, listed.highlighted) == (0, in_hand)

    run(folder, walk, size=(64, 21))


def test_gates_come_first_then_findings_by_weight(folder: Path) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        listed = rows(pilot)
        assert listed[:6] == [
            "GATES OF lamp, revision 2: in how many jobs",
            BY_HAND,
            "1 more GATE: open by the condition, and held nobody up",
            "SERIOUS",
            "· open  gate-often-overridden · lamp-proved of lamp, revision 2",
            "· open  gate-overridden-more-and-more · lamp-proved of lamp, revision 2",
        ]
        assert listed.index("MINOR") < listed.index(
            f"· open  vouched-without-pin · {FIRST} · events 18, 22"
        )
        assert shown(pilot, "#review-title") == (
            "REVIEW · 23 jobs · 33 findings, 33 not looked at yet"
        )
        assert large(pilot).startswith("gate · lamp-proved of lamp, revision 2")
        assert "overridden: measured another way (8)" in large(pilot)

    run(folder, walk)


def test_a_finding_stands_large_with_its_events_in_words(folder: Path) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "down", "down", "down")
        told = large(pilot)
        assert told.startswith(f"serious · gate-overridden · {FIRST} · event 22\nS2 as supervisor")
        assert (
            "22 · 2026-03-13 08:38 · S2 · overrode the gate lamp-proved as supervisor: measured "
            "another way. the owner [knows]. Instead: a lamp on the dash"
        ) in told

    run(folder, walk)


def test_a_key_stands_there_only_where_it_does_something(folder: Path) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        assert keys(pilot) == "Decide History Times Only open Help More Back"
        await press(pilot, "l", "p")  # neither is offered for a gate
        assert isinstance(pilot.app.screen, ReviewScreen)
        await press(pilot, "down")
        assert keys(pilot) == "Looked at Decide History Times Only open Help More Back"
        await press(pilot, "down", "down")
        assert keys(pilot) == "Looked at History Person Timeline Times Only open Help More Back"
        await press(pilot, "end")
        assert keys(pilot) == "Looked at History Person Timeline Times Only open Help More Back"
        await press(pilot, "d")
        assert isinstance(pilot.app.screen, ReviewScreen)

    run(folder, walk)


def test_the_history_of_a_procedure_tells_all_its_gates_by_revision(folder: Path) -> None:
    decided = Decided(
        gate="lamp-proved", procedure="lamp", revision=2, course="train", words="shown how"
    )
    decide(folder, decided, Person("S2", "supervisor"), START.replace(month=8))

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "end", "h")
        page = pilot.app.screen
        assert isinstance(page, Page)
        told = str(page._text)
        assert "lamp, revision 2" in told
        assert "on-bench-for-fit: reached 23, passed 23, overridden 0" in told
        assert "lamp-proved: reached 23, passed 15, overridden 8" in told
        assert "S2 decided: train" in told

    run(folder, walk)


def test_every_gate_and_only_what_is_open(folder: Path) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "g")
        assert any(row.startswith("on-bench-for-fit") for row in rows(pilot))
        await press(pilot, "g", "down", "down", "down", "l", Typed("short lead"), "enter", *SIGNED)
        before = len(rows(pilot))
        await press(pilot, "o")
        assert len(rows(pilot)) == before - 1
        assert not any("looked at" in row for row in rows(pilot))
        assert "20260316-wo-114" in large(pilot)  # what stood below moves up
        await press(pilot, "o")
        assert len(rows(pilot)) == before

    run(folder, walk)


def test_nothing_found_says_so(tmp_path: Path) -> None:
    make_reviewed_shop(tmp_path / "shop", "..", pin=False)

    async def walk(pilot: Pilot[int]) -> None:
        assert rows(pilot) == ["2 GATES: open by the condition, and held nobody up", "NO FINDINGS"]
        assert (large(pilot), keys(pilot)) == ("", "Times Only open Help More Back")
        await press(pilot, "l", "d", "h", "p", "o", "g", "r", "pagedown", "enter", "end", "c")
        assert isinstance(pilot.app.screen, PhaseTimesScreen), "though nothing is in hand"

    run(tmp_path / "shop", walk)


def test_what_cannot_be_read_is_told(folder: Path) -> None:
    (folder / "jobs" / FIRST / "journal.jsonl").unlink()
    (folder / "jobs" / FIRST / "journal.jsonl").mkdir()

    async def walk(pilot: Pilot[int]) -> None:
        assert shown(pilot, "#review-title").endswith("· 1 not read")
        assert f"{FIRST}/journal.jsonl is no plain file" in shown(pilot, "#review-message")

    run(folder, walk)


# --- a supervisor's word ------------------------------------------------------------------------


def test_a_word_half_typed_is_there_for_its_finding_again_and_its_pin_is_not(folder: Path) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "down", "down", "down", "l", Typed("short lead"), "enter", Typed(PIN))
        await press(pilot, "ctrl+q")

    async def later(pilot: Pilot[int]) -> None:
        await press(pilot, "down", "down", "l")
        assert [field.value for field in pilot.app.screen.query(Input)] == ["", "", ""]
        await press(pilot, "escape", "down", "l")
        assert [field.value for field in pilot.app.screen.query(Input)] == ["short lead", "", ""]
        assert LEFT_TYPED.words in shown(pilot, "#form-lead")
        await press(pilot, "enter", *SIGNED)
        assert shown(pilot, "#review-message") == "Kept. No record was touched."

    run(folder, walk)
    kept = [path.read_text() for path in Path(os.environ["XDG_STATE_HOME"]).rglob("*.json")]
    assert any("short lead" in each for each in kept)
    assert not any(PIN in each for each in kept)
    run(folder, later)
    [words] = read_review(folder).looked.values()
    assert [word.words for word in words] == ["short lead"]


def test_looked_at_asks_for_words_pin_and_id_and_touches_no_record(folder: Path) -> None:
    before = {path: path.read_bytes() for path in (folder / "jobs").rglob("*") if path.is_file()}

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "down", "down", "down", "l", Typed("[b]short[/] lead"), "enter", *SIGNED)
        assert shown(pilot, "#review-message") == "Kept. No record was touched."
        assert rows(pilot)[6] == f"✓ looked at  gate-overridden · {FIRST} · event 22"
        assert "Looked at by S2, whose own doing it is, on 2026-09-02: “[b]" in large(pilot)
        assert shown(pilot, "#review-title").endswith("33 findings, 32 not looked at yet")
        await press(pilot, "r")
        await audited(pilot)
        assert rows(pilot)[6].startswith("✓ looked at")

    run(folder, walk)
    [words] = read_review(folder).looked.values()
    assert [(word.by, word.words, word.own) for word in words] == [("S2", "[b]short[/] lead", True)]
    after = {path: path.read_bytes() for path in (folder / "jobs").rglob("*") if path.is_file()}
    assert after == before


@pytest.mark.parametrize(
    ("pin", "who", "told"),
    [
        ("0000", "S2", "That is not the PIN of S2."),
        ("", "S2", "S2 has a PIN. Type it, too."),
        (PIN, "T1", "T1 is a technician; only a supervisor has the word here."),
        (PIN, "S3", "S3 is retired"),
        (PIN, "X9", "“X9” is not on the staff of this shop."),
    ],
)
def test_nobody_but_a_supervisor_who_works_here_marks_anything(
    folder: Path, pin: str, who: str, told: str
) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "down", "l", Typed("so"), "enter", Typed(pin), "enter", Typed(who))
        await press(pilot, "enter")
        assert told in shown(pilot, "#form-error")
        await press(pilot, "escape")
        assert rows(pilot)[4].startswith("· open")

    run(folder, walk)
    assert not (folder / NAME).exists()


def test_an_enter_too_many_leads_past_no_pin_where_every_supervisor_has_one(folder: Path) -> None:
    """The PIN that was typed after it stood in clear in the field of the staff id."""
    staff = folder / "staff.yaml"
    every = re.sub(r"\{ id: S1,.*\}", "{ id: S1, role: technician }", staff.read_text())
    staff.write_text(every)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "down", "l", Typed("so"), "enter", "enter", Typed(PIN))
        _, pin, who = pilot.app.screen.query(Input)
        assert (pin.has_focus, pin.value, who.value) == (True, PIN, "")
        assert "PIN: nothing is entered yet." in shown(pilot, "#form-error")

    run(folder, walk)


def test_a_decision_about_a_gate_is_kept_and_quiets_it_in_the_next_audit(folder: Path) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "d", "down", "down", "enter", "enter", Typed("parts are late"), "enter")
        await press(pilot, *SIGNED)
        assert "An acceptance has a last day" in shown(pilot, "#form-error")
        await press(pilot, "shift+tab", "shift+tab", Typed("2026-09-30"))
        await press(pilot, "enter", "enter", "enter", "enter")
        told = "On 2026-09-02 S2 decided: accept it until 2026-09-30. “parts are late”"
        assert told in large(pilot)
        assert rows(pilot)[1] == f"{BY_HAND} ✓ decided"
        assert rows(pilot)[4].startswith("✓ decided  gate-often-overridden")
        await press(pilot, "r")
        await audited(pilot)
        assert rows(pilot)[4].startswith("· open  gate-overridden ·")
        await press(pilot, "h")
        page = pilot.app.screen
        assert isinstance(page, Page)
        assert told in str(page._text)

    run(folder, walk)


def test_a_persons_history_is_for_supervisors_and_is_no_score(folder: Path) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "down", "down", "down", "p", "enter", Typed(""), "enter", Typed("T1"))
        await press(pilot, "enter")
        assert "only a supervisor" in shown(pilot, "#form-error")
        await press(pilot, Typed(PIN), "enter", Typed("S2"), "enter")
        await audited(pilot)
        page = pilot.app.screen
        assert isinstance(page, Page)
        told = str(page._text)
        assert told.startswith("S2: what stands in the journals; no score")
        assert told.index("WO 122") < told.index("WO 111")
        assert "WO 100" not in told  # S2 did nothing there
        assert "event 22: overrode the gate lamp-proved" in told

    run(folder, walk)
    assert not (folder / NAME).exists()


def test_the_timeline_of_the_job_behind_a_finding_opens_and_goes_back(folder: Path) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "t")
        assert isinstance(pilot.app.screen, ReviewScreen), "a gate has none"
        await press(pilot, "down", "down", "down", "t")
        assert isinstance(pilot.app.screen, TimelineScreen)
        assert "WO 111" in shown(pilot, "#timeline-where")
        await press(pilot, "escape")
        assert isinstance(pilot.app.screen, ReviewScreen)

    run(folder, walk)


@pytest.mark.parametrize(
    ("file", "told"),
    [("journal.jsonl", "The journal breaks at line 3"), ("procedure.yaml", "cannot be read")],
)
def test_a_job_that_cannot_be_read_has_no_timeline_and_says_why(
    folder: Path, file: str, told: str
) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        path = folder / "jobs" / FIRST / file
        lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
        path.write_text("".join([*lines[:2], *lines[3:]]), encoding="utf-8")
        await press(pilot, "down", "down", "down", "t")
        assert told in shown(pilot, "#review-message")

    run(folder, walk)


def test_what_has_no_room_among_its_keys_is_reached_by_touch(folder: Path) -> None:
    """Every gate, an audit anew and the other theme were keys that stood nowhere."""

    async def more(pilot: Pilot[int], entry: str) -> None:
        strip = pilot.app.screen.query_one(KeyStrip)
        [key] = [each for each in strip.keys if each.does == "More"]
        assert await pilot.click(strip, offset=(key.begins + 1, key.line))
        await pilot.pause()
        offered = pilot.app.screen.query_one("#menu-list", OptionList).options
        [line] = [n for n, each in enumerate(offered) if entry in str(each.prompt)]
        await press(pilot, Click("#menu-list", line))
        await audited(pilot)

    async def walk(pilot: Pilot[int]) -> None:
        narrowed, theme = rows(pilot), pilot.app.theme
        await more(pilot, "Every gate")
        assert any("on-bench-for-fit" in row for row in rows(pilot))
        await more(pilot, "Only gates")
        assert rows(pilot) == narrowed
        shutil.rmtree(next((folder / "jobs").iterdir()))
        before = shown(pilot, "#review-title")
        await more(pilot, "Audit anew")
        assert shown(pilot, "#review-title") != before
        await more(pilot, "Light or dark")
        assert pilot.app.theme != theme

    run(folder, walk)


# --- the way there ------------------------------------------------------------------------------


def test_a_key_of_the_board_opens_the_review_and_a_key_goes_back(bench: Bench) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "v")
        await audited(pilot)
        assert isinstance(pilot.app.screen, ReviewScreen)
        await press(pilot, "f1", "escape", "f9", "f9", "q")
        assert isinstance(pilot.app.screen, BoardScreen)

    bench.run(walk)


def test_a_folder_that_is_no_shop_is_told_and_nothing_is_made(tmp_path: Path) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        assert "is no shop folder" in shown(pilot, "#review-message")
        assert rows(pilot) == ["NO FINDINGS IN WHAT WAS READ"]

    run(tmp_path / "none", walk)
    assert not (tmp_path / "none").exists()


# --- how it looks -------------------------------------------------------------------------------

SCENES = {
    "gate": (),
    "finding": ("down", "down", "down"),
    "decide": ("down", "d"),
}


@pytest.mark.parametrize("size", [(80, 24), (120, 36)], ids=["80x24", "120x36"])
@pytest.mark.parametrize("scene", SCENES)
def test_the_scene_reads_as_it_did(
    folder: Path, scene: str, size: tuple[int, int], snapshot: SnapshotAssertion
) -> None:
    texts: list[str] = []

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, *SCENES[scene])
        await pilot.pause()
        texts.append(text_of(pilot.app))

    run(folder, walk, size)
    assert len(texts[0].splitlines()) == size[1]
    assert texts[0] == snapshot(extension_class=TextFile)


@pytest.mark.parametrize("scene", SCENES)
def test_every_text_has_a_contrast_of_4_5_to_1(folder: Path, scene: str) -> None:
    palest: dict[str, tuple[float, str]] = {}

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "down", "down", "down", "l", Typed("so"), "enter", *SIGNED, "home")
        await press(pilot, *SCENES[scene])
        await pilot.pause()
        for theme in THEMES:
            pilot.app.theme = theme
            await pilot.pause()
            palest[theme] = palest_text(pilot.app)

    run(folder, walk, LARGE)
    for theme, (ratio, text) in palest.items():
        assert ratio >= LEAST, f"in {theme} “{text}” has {ratio:.2f}:1"
