"""The hand-over sheet beside the record: left when a job ends, and never in the way of its end."""

import subprocess
import sys
from pathlib import Path

import pytest
from bay import LISTS, T1
from lamp import SCRIPT, START, make_shop, play_text

from baycompanion.commands.play import tell_played
from baycompanion.job.actions import Abandon
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble
from baycompanion.views.card.card import Deed
from baycompanion.working import hand_over
from baycompanion.working.at_work import AtWork
from baycompanion.working.hand_over import SHEET


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return make_shop(tmp_path / "shop")


def played(shop: Shop, tmp_path: Path) -> Path:
    """Return the folder of a job that was played to its end."""
    done = play_text(SCRIPT, tmp_path / "script", shop)
    assert done.state.status == "closed", done.stop
    return done.folder


def under_way(shop: Shop, tmp_path: Path) -> AtWork:
    """Return a job at its first steps, at work."""
    text = SCRIPT[: SCRIPT.index("actions:")] + "actions:\n  - { accept: hazards }\n"
    folder = play_text(text, tmp_path / "script", shop).folder
    job = OpenJob(folder, LISTS, T1, START)
    return AtWork(shop, job, lambda: START)


def test_a_job_that_is_closed_leaves_its_sheet_with_its_photo(shop: Shop, tmp_path: Path) -> None:
    page = (played(shop, tmp_path) / SHEET).read_text(encoding="utf-8")
    assert "CLOSED CLEAN" in page
    assert "data:image/jpeg;base64," in page


def test_a_job_given_up_at_work_leaves_its_sheet_too(shop: Shop, tmp_path: Path) -> None:
    work = under_way(shop, tmp_path)
    assert not (work.job.folder / SHEET).exists()
    assert work.carry_out(Deed(Abandon(abandon="no time"))) is None
    assert "GIVEN UP" in (work.job.folder / SHEET).read_text(encoding="utf-8")
    work.job.leave()


@pytest.mark.parametrize("error", [StoreTrouble("full"), RuntimeError("x"), MemoryError()])
def test_a_sheet_that_cannot_be_made_stands_in_the_way_of_no_end(
    shop: Shop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, error: Exception
) -> None:
    def fail(*_: object) -> bytes:
        raise error

    monkeypatch.setattr(hand_over, "hand_over_page", fail)
    work = under_way(shop, tmp_path)
    assert work.carry_out(Deed(Abandon(abandon="no time"))) is None
    assert work.job.state.status == "abandoned"
    assert (work.job.folder / "record.json").is_file()
    assert not (work.job.folder / SHEET).exists()
    work.job.leave()


@pytest.mark.parametrize(
    ("error", "why"),
    [
        (StoreTrouble("handover.html cannot be written: the disk is full."), "the disk is full"),
        (RuntimeError("pin-4711"), "an error in the program"),
    ],
)
def test_why_there_is_no_sheet_stands_on_the_card_of_the_job_that_ended(
    shop: Shop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, error: Exception, why: str
) -> None:
    def fail(*_: object) -> bytes:
        raise error

    monkeypatch.setattr(hand_over, "hand_over_page", fail)
    work = under_way(shop, tmp_path)
    work.carry_out(Deed(Abandon(abandon="no time")))
    assert work.card.kind == "ended"
    told = work.card.pieces[0].words
    assert told.startswith("The job has ended; its hand-over sheet is not written: ")
    assert told.endswith(f"{why}. Write it with: baycompanion handover {work.job.folder.name}")
    work.job.leave()


def test_a_played_job_tells_why_there_is_no_sheet_and_is_closed_all_the_same(
    shop: Shop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def fail(*_: object) -> bytes:
        raise StoreTrouble("The disk is full.")

    monkeypatch.setattr(hand_over, "hand_over_page", fail)
    done = play_text(SCRIPT, tmp_path / "script", shop)
    assert done.state.status == "closed"
    tell_played(done, False)
    assert "its hand-over sheet is not written: The disk is full." in capsys.readouterr().err


@pytest.mark.parametrize("harm", ["gone", "changed", "emptied", "a folder"])
def test_a_photo_that_is_not_there_any_more_is_named(shop: Shop, tmp_path: Path, harm: str) -> None:
    folder = played(shop, tmp_path)
    [photo] = (folder / "photos").iterdir()
    if harm == "changed":
        photo.write_bytes(photo.read_bytes() + b"x")
    elif harm == "emptied":
        photo.write_bytes(b"")
    else:
        photo.unlink()
    if harm == "a folder":
        photo.mkdir()
    page = hand_over.write_hand_over(shop, folder, START).read_text(encoding="utf-8")
    assert "data:image" not in page
    assert "lamp.png" in page
    changed = "the file was changed after it was copied into the job"
    why = "the file is missing" if harm == "gone" else changed
    assert f"not shown, because {why}." in page
    assert str(folder) not in page, "the owner has nothing of where it lies"


def test_the_imaging_library_is_loaded_for_a_photo_alone() -> None:
    code = (
        "import sys, baycompanion.working.hand_over, baycompanion.commands.handover;"
        "print('PIL' in sys.modules)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, timeout=60, check=True
    )
    assert done.stdout == "False\n"


def test_a_job_that_cannot_be_entered_in_the_ledger_leaves_its_sheet_all_the_same(
    shop: Shop, tmp_path: Path
) -> None:
    work = under_way(shop, tmp_path)
    (shop.folder / "ledger.jsonl").write_bytes(b"{}\n")
    said = work.carry_out(Deed(Abandon(abandon="no time")))
    assert said is not None
    assert said.startswith("The job is abandoned, but not entered in the ledger: ")
    assert "GIVEN UP" in (work.job.folder / SHEET).read_text(encoding="utf-8")
    work.job.leave()
