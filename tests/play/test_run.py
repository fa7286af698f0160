"""Playing a script: what it writes, where it stops, and what it refuses before it begins."""

import hashlib
import json
from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lamp import ACTIONS, HEAD, PICTURE, PROCEDURE, SCRIPT, START, make_shop, play_text

from baycompanion.job.actions import Note
from baycompanion.store.job.folder import read_job
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.shop import Shop
from baycompanion.text.problem import BadFile


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return make_shop(tmp_path / "shop")


def without(*lines: str) -> str:
    """Return the script without the actions that hold these words."""
    kept = [line for line in ACTIONS.splitlines() if not any(words in line for words in lines)]
    return HEAD + "\n".join(kept) + "\n"


def test_a_script_plays_a_job_to_its_end_and_leaves_its_record(tmp_path: Path, shop: Shop) -> None:
    played = play_text(SCRIPT, tmp_path, shop)
    assert played.stop is None
    assert (played.state.status, played.state.clean) == ("closed", True)
    record = json.loads((played.folder / "record.json").read_bytes())
    assert record["status"] == "closed"
    assert record["work_order"] == "WO 7/b"
    assert record["vehicle"]["vin"] == "00DEM0000TEST0007"
    assert set(record["people"]) == {"T1", "S1"}


def test_each_action_happens_its_time_after_the_one_before(tmp_path: Path, shop: Shop) -> None:
    played = play_text(SCRIPT, tmp_path, shop)
    events = read_job(played.folder).events
    at = {event.data.step: event.at for event in events if event.kind == "answered"}
    assert at["tools-staged"] == "2026-03-02T08:31:30.000Z"
    assert at["lamp-in"] == "2026-03-02T08:36:10.000Z"
    assert events[-1].at == "2026-03-02T08:38:10.000Z"


def test_the_start_is_the_callers(tmp_path: Path, shop: Shop) -> None:
    played = play_text(SCRIPT, tmp_path, shop, START + timedelta(days=400))
    assert played.state.opened_at == "2027-04-06T08:30:00.000Z"


def test_an_action_is_the_present_technicians_unless_it_says_whose(
    tmp_path: Path, shop: Shop
) -> None:
    change = """\
  - { hand-over: T2, words: lamp is in, loose: nothing, first: look if it lights }
  - { resume: Walked round it., gate-checked: yes }
"""
    before, after = SCRIPT.split("  - { answer: lights, outcome: passed }\n")
    text = f"{before}{change}  - {{ answer: lights, outcome: passed }}\n{after}"
    played = play_text(text, tmp_path, shop)
    assert played.stop is None, played.stop
    by = {
        event.data.step: event.by
        for event in read_job(played.folder).events
        if event.kind == "answered"
    }
    assert by == {
        "tools-staged": "T1",
        "volts": "T1",
        "lamp-in": "T1",
        "lights": "T2",
        "lights-seen": "S1",
        "shown": "T2",
    }


def test_a_picture_is_copied_into_the_job_with_its_hash(tmp_path: Path, shop: Shop) -> None:
    played = play_text(SCRIPT, tmp_path, shop)
    [photo] = played.state.photos
    assert photo.data.sha256 == hashlib.sha256(PICTURE).hexdigest()
    assert photo.data.original == "lamp.png"
    assert photo.data.step == "lamp-in"
    assert (played.folder / "photos" / photo.data.file).read_bytes() == PICTURE


def test_the_same_script_gives_the_same_bytes_in_two_shops(tmp_path: Path) -> None:
    folders = []
    for name in ("first", "second"):
        shop = make_shop(tmp_path / name / "shop")
        folders.append(play_text(SCRIPT, tmp_path / name, shop).folder)
    for file in ("record.json", "journal.jsonl", "procedure.yaml"):
        first, second = ((folder / file).read_bytes() for folder in folders)
        assert first == second, file


def test_a_refusal_stops_the_script_at_its_line_and_keeps_the_job(
    tmp_path: Path, shop: Shop
) -> None:
    played = play_text(without("answer: volts"), tmp_path, shop)
    assert str(played.stop) == (
        "job.yaml:12:5: “Clip the lamp in.” is not the step in hand. "
        "What would open the way: In hand is: Read the voltage at the lead."
    )
    job = OpenJob(played.folder, shop.lists, shop.person("T1"), START + timedelta(minutes=2))
    assert job.state.current == "volts"
    job.act(Note(note="The job goes on."), shop.person("T1"), START + timedelta(minutes=3))
    job.leave()


def test_at_a_shut_gate_everything_that_would_open_it_is_told(tmp_path: Path, shop: Shop) -> None:
    failed = SCRIPT.replace(
        "  - { answer: lights, outcome: passed }\n",
        "  - { answer: lights, outcome: failed }\n"
        "  - { settle: lights, cause: work, words: lead not home }\n",
    )
    played = play_text(failed, tmp_path, shop)
    told = str(played.stop)
    assert told.startswith("job.yaml:19:5: “Show the owner the lamp.” is not the step in hand.")
    assert "4. The lamp lights. Failed" in told
    assert "Fault 1 is open: lead not home" in told
    assert told.count("lamp-proved") <= 1


def test_a_script_that_ends_too_early_says_what_is_in_hand(tmp_path: Path, shop: Shop) -> None:
    played = play_text(without("answer: shown", "close: keys"), tmp_path, shop)
    assert str(played.stop) == (
        "job.yaml:17:5: The script ends here, and the job is open, not closed. "
        "What would open the way: In hand is: Show the owner the lamp."
    )


def test_an_abandoned_job_is_not_a_closed_one(tmp_path: Path, shop: Shop) -> None:
    played = play_text(HEAD + "  - { abandon: the owner changed his mind }\n", tmp_path, shop)
    assert str(played.stop) == (
        "job.yaml:9:5: The script ends here, and the job is abandoned, not closed."
    )
    assert json.loads((played.folder / "record.json").read_bytes())["status"] == "abandoned"


def test_nothing_can_be_done_after_the_end(tmp_path: Path, shop: Shop) -> None:
    played = play_text(SCRIPT + "  - { note: too late }\n", tmp_path, shop)
    assert str(played.stop).startswith("job.yaml:20:5: This job is closed")


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        (
            "answer: volts",
            "answer: vots",
            "job.yaml:12:5: lamp has no step “vots”. Did you mean volts?",
        ),
        (
            "by: S1",
            "by: S9",
            "job.yaml:17:5: “S9” is not on the staff of this shop. Write one of: T1, T2, S1.",
        ),
        (
            "technician: T1",
            "technician: X5",
            "job.yaml:5:13: “X5” is not on the staff of this shop. Write one of: T1, T2, S1.",
        ),
        (
            "procedure: lamp",
            "procedure: lmap",
            "job.yaml:2:12: There is no procedure “lmap”. Did you mean lamp?",
        ),
        (
            "procedure: lamp",
            "procedure: other.yaml",
            "job.yaml:2:12: There is no file {folder}/other.yaml. Check the name.",
        ),
        (
            "photo: lamp.png",
            "photo: lmap.png",
            "job.yaml:14:5: There is no picture “lmap.png”. "
            "Its path starts at the folder of the script.",
        ),
        (
            "{ answer: shown }",
            "{ override: lamp-prooved, reason: a, words: b, instead: c }",
            "job.yaml:18:5: lamp has no gate “lamp-prooved”. Did you mean lamp-proved?",
        ),
        (
            "{ answer: shown }",
            "{ confirm: battery-off, held: yes }",
            "job.yaml:18:5: lamp has no standing condition “battery-off”.",
        ),
    ],
)
def test_a_name_that_leads_nowhere_is_told_before_a_job_is_made(
    tmp_path: Path, shop: Shop, old: str, new: str, told: str
) -> None:
    assert SCRIPT.count(old) == 1
    with pytest.raises(BadFile) as bad:
        play_text(SCRIPT.replace(old, new), tmp_path, shop)
    assert [str(each) for each in bad.value.problems] == [told.replace("{folder}", str(tmp_path))]
    assert list(shop.jobs.iterdir()) == []


def test_a_procedure_beside_the_script_is_found_by_its_path(tmp_path: Path, shop: Shop) -> None:
    own = PROCEDURE.replace("revision: 2", "revision: 9")
    (tmp_path / "mine.yaml").write_text(own, encoding="utf-8")
    text = SCRIPT.replace("procedure: lamp", "procedure: mine.yaml")
    assert play_text(text, tmp_path, shop).state.opened.revision == 9


def test_a_procedure_with_errors_makes_no_job(tmp_path: Path, shop: Shop) -> None:
    broken = PROCEDURE.replace("passed: lights", "passed: volts")
    (shop.procedures / "lamp.yaml").write_text(broken, encoding="utf-8")
    with pytest.raises(BadFile):
        play_text(SCRIPT, tmp_path, shop)
    assert list(shop.jobs.iterdir()) == []


@given(order=st.permutations(ACTIONS.splitlines()), kept=st.integers(1, 11))
def test_actions_in_any_order_are_played_or_refused_and_never_fail(
    tmp_path_factory: pytest.TempPathFactory, order: list[str], kept: int
) -> None:
    folder = tmp_path_factory.mktemp("any-order")
    shop = make_shop(folder / "shop")
    played = play_text(HEAD + "\n".join(order[:kept]) + "\n", folder, shop)
    assert (played.stop is None) == (played.state.status == "closed")
    assert read_job(played.folder).state == played.state
