"""The lines kept of a board are shown only while reading the jobs would come to the same lines."""

import json
from collections import Counter
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest
from bay import GOOD, LISTS, START, T1, keys_in, load_small

from baycompanion.job.actions import Abandon, Accept
from baycompanion.job.deciding.draft import Refused
from baycompanion.job.hands_actions import PauseWork
from baycompanion.store.job.folder import make_job
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.kept_board import NAME, hash_of_board
from baycompanion.store.shop import Shop, open_shop
from baycompanion.views.board.line import BEING_READ
from baycompanion.working.board.keeping import board_kept, keep_board
from baycompanion.working.board.reading import board_lines, read_board

MINUTE = timedelta(minutes=1)
NOW = START + timedelta(hours=5)


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    """Return a shop with a job at work, one paused, one not begun, and one given up."""
    shop = open_shop(tmp_path / "shop")
    for number, actions in enumerate(
        (
            [Accept(accept="hazards"), *GOOD["ask-amplifier"]],
            [Accept(accept="hazards"), PauseWork(pause="lunch", loose="nothing", first="count")],
            [],
            [Abandon(abandon="sold")],
        )
    ):
        folder = make_job(shop.jobs, load_small(), keys_in(f"WO {number}"))
        job = OpenJob(folder, LISTS, T1, START + MINUTE)
        for action in actions:
            assert not isinstance(job.act(action, T1, START + MINUTE), Refused)
        job.leave()
    return shop


def test_what_is_kept_is_what_reading_the_jobs_comes_to_at_any_moment(shop: Shop) -> None:
    """Just after an event the time worked still grows; with a clock set back it lies ahead."""
    told = Counter[bool]()
    for kept_at in (START, START + MINUTE, START + 2 * MINUTE, NOW):
        (shop.folder / NAME).unlink(missing_ok=True)
        keep_board(shop, kept_at)
        for seconds in range(-120, 600, 7):
            when = START + timedelta(seconds=seconds)
            kept = board_kept(shop.folder, when)
            assert kept is not None
            assert kept.shop == shop.name
            read = board_lines(read_board(shop.jobs), when, {}, {})
            for line, so in zip(kept.lines, read, strict=True):
                told[line == so] += 1
                assert line in (so, so._replace(told=BEING_READ))
    assert min(told.values()) > 400


def test_what_was_kept_stays_until_something_else_is_true(shop: Shop) -> None:
    keep_board(shop, NOW)
    before = (shop.folder / NAME).stat()
    keep_board(shop, NOW + MINUTE)
    assert (shop.folder / NAME).stat() == before
    assert board_kept(shop.folder, NOW + timedelta(days=300)) is not None


def _work_on(shop: Shop) -> None:
    folder = sorted(shop.jobs.iterdir())[0]
    job = OpenJob(folder, LISTS, T1, NOW)
    job.leave()


def _begin(shop: Shop) -> None:
    make_job(shop.jobs, load_small(), keys_in("WO 9", when=NOW))


def _take_away(shop: Shop) -> None:
    folder = sorted(shop.jobs.iterdir())[0]
    folder.rename(shop.folder / "elsewhere")


def _put_behind_a_link(shop: Shop) -> None:
    folder = sorted(shop.jobs.iterdir())[0]
    folder.rename(shop.folder / "elsewhere")
    folder.symlink_to(shop.folder / "elsewhere", target_is_directory=True)


def _change_the_procedure(shop: Shop) -> None:
    path = sorted(shop.jobs.iterdir())[0] / "procedure.yaml"
    path.write_text(path.read_text("utf-8") + "# changed\n", "utf-8")


def _move_to_another(shop: Shop) -> None:
    (sorted(shop.jobs.iterdir())[0] / "procedure-2.yaml").write_text("", "utf-8")


def _rename_the_shop(shop: Shop) -> None:
    (shop.folder / "shop.yaml").write_text("name: Another bay\n", "utf-8")


def _damage(shop: Shop) -> None:
    path = sorted(shop.jobs.iterdir())[0] / "journal.jsonl"
    path.write_bytes(path.read_bytes().replace(b"WO 0", b"WO 8"))


@pytest.mark.parametrize("change", [_work_on, _change_the_procedure, _move_to_another, _damage])
def test_of_a_job_that_changed_nothing_is_shown_but_which_one_it_is(
    shop: Shop, change: Callable[[Shop], None]
) -> None:
    keep_board(shop, NOW)
    before = board_kept(shop.folder, NOW)
    assert before is not None
    change(shop)
    after = board_kept(shop.folder, NOW)
    assert after is not None
    changed = [line for line in after.lines if line not in before.lines]
    [line] = [line for line in before.lines if "WO 0" in line.text]
    assert changed == [line._replace(told=BEING_READ)]
    assert len(after.lines) == len(before.lines)


def _add_to_an_ended_one(shop: Shop) -> None:
    path = sorted(shop.jobs.iterdir())[3] / "journal.jsonl"
    path.write_bytes(path.read_bytes() + b"\n")


@pytest.mark.parametrize(
    "change", [_begin, _take_away, _put_behind_a_link, _rename_the_shop, _add_to_an_ended_one]
)
def test_nothing_is_shown_of_a_board_that_changed(
    shop: Shop, change: Callable[[Shop], None]
) -> None:
    keep_board(shop, NOW)
    assert board_kept(shop.folder, NOW) is not None
    change(shop)
    assert board_kept(shop.folder, NOW) is None


@pytest.mark.parametrize("change", [_change_the_procedure, _put_behind_a_link, _damage])
def test_a_board_that_says_what_cannot_be_read_is_not_kept(
    shop: Shop, change: Callable[[Shop], None]
) -> None:
    change(shop)
    keep_board(shop, NOW)
    assert not (shop.folder / NAME).exists()


def test_a_file_that_is_missing_damaged_or_of_another_version_counts_as_nothing(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert board_kept(shop.folder, NOW) is None
    keep_board(shop, NOW)
    whole = (shop.folder / NAME).read_bytes()
    for damage in (whole[:-1], whole.replace(b"lunch", b"break"), b"", b"[]", b"null"):
        (shop.folder / NAME).write_bytes(damage)
        assert board_kept(shop.folder, NOW) is None
    (shop.folder / NAME).write_bytes(whole)
    assert board_kept(shop.folder, NOW) is not None
    monkeypatch.setattr("baycompanion.store.kept_board.__version__", "another")
    assert board_kept(shop.folder, NOW) is None


def test_what_stands_in_the_file_is_cleaned_before_it_is_shown(shop: Shop) -> None:
    """Whoever can write in the shop can make the hash anew, too."""
    keep_board(shop, NOW)
    board = json.loads((shop.folder / NAME).read_bytes())["board"]
    board[2] = "\x1b]0;title\x07bay"
    board[3][1] = ["job", "\x1b[31mred\nline", "one\r\ntwo\u202e", "x"]
    forged = json.dumps({"board": board, "hash": hash_of_board(board)})
    (shop.folder / NAME).write_text(forged, "utf-8")
    kept = board_kept(shop.folder, NOW)
    assert kept is not None
    assert kept.shop == "�]0;title�bay"
    assert kept.lines[1][:3] == ("job", "�[31mred line", "one\ntwo�")
    board[3][1] = ["else", "", "", ""]
    forged = json.dumps({"board": board, "hash": hash_of_board(board)})
    (shop.folder / NAME).write_text(forged, "utf-8")
    assert board_kept(shop.folder, NOW) is None


def test_a_disk_that_takes_nothing_keeps_nothing(shop: Shop) -> None:
    (shop.folder / NAME).mkdir()
    keep_board(shop, NOW)
    assert board_kept(shop.folder, NOW) is None
