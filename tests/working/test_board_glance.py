"""What a first board shows before a job is read is what reading the jobs comes to, or nothing."""

import json
import os
import subprocess
import sys
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest
from bay import LISTS, START, T1, keys_in, load_small

from baycompanion.job.actions import Abandon, Accept
from baycompanion.job.deciding.draft import Refused
from baycompanion.job.events.chain import canonical, hash_event
from baycompanion.store.job.folder import make_job
from baycompanion.store.job.journal import NAME
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.shop import Shop, open_shop
from baycompanion.views.board.line import BEING_READ, MOST_ENDED
from baycompanion.working.board.glance import board_glanced
from baycompanion.working.board.reading import board_lines, read_board

HOUR = timedelta(hours=1)
NOW = START + timedelta(days=3)


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    """Return a shop with two jobs under way, and more that ended than a board lists."""
    shop = open_shop(tmp_path / "shop")
    for number in range(MOST_ENDED + 4):
        when = START + (number % 5) * HOUR
        folder = make_job(shop.jobs, load_small(), keys_in(f"WO {number}", when=when))
        job = OpenJob(folder, LISTS, T1, when)
        deed = Accept(accept="hazards") if number in (3, 9) else Abandon(abandon="sold")
        assert not isinstance(job.act(deed, T1, when), Refused)
        job.leave()
    return shop


def journal_of(shop: Shop, work_order: int) -> Path:
    [path] = shop.jobs.glob(f"*-wo-{work_order}")
    return path / NAME


def test_a_glance_shows_which_jobs_there_are_in_the_order_of_the_board(shop: Shop) -> None:
    glance = board_glanced(shop.folder)
    assert glance is not None
    assert glance.shop == ""
    read = board_lines(read_board(shop.jobs), NOW, {}, {})
    assert len(read) == 2 + 2 + MOST_ENDED
    for line, so in zip(glance.lines, read, strict=True):
        assert (line.kind, line.opens) == (so.kind, so.opens)
        if line.kind == "job":
            assert line.told == BEING_READ
            assert so.text.startswith(f"{line.text} · ")
        else:
            assert line == so


def test_a_shop_without_jobs_says_how_to_begin(tmp_path: Path) -> None:
    shop = open_shop(tmp_path / "shop")
    shop.jobs.mkdir(exist_ok=True)
    glance = board_glanced(shop.folder)
    assert glance is not None
    assert glance.lines == board_lines(read_board(shop.jobs), NOW, {}, {})


def test_a_glance_loads_no_model() -> None:
    """That is all it is for: a second look reads the jobs themselves."""
    code = (
        "import sys, baycompanion.working.board.glance;"
        "print(*sys.modules.keys() & {'pydantic', 'yaml', 'baycompanion.job.events.kinds'})"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == ""


def _rewrite(path: Path, change: Callable[[dict[str, object]], object]) -> None:
    """Change the first event of a journal, and make its hash anew as a forger would."""
    first, _, rest = path.read_bytes().partition(b"\n")
    event = json.loads(first)
    change(event)
    event["hash"] = hash_event(event)
    path.write_bytes(canonical(event) + b"\n" + rest)


def _in_data(**said: object) -> Callable[[Path], None]:
    def change(path: Path) -> None:
        _rewrite(path, lambda event: event["data"].update(said))  # type: ignore[attr-defined]

    return change


def _alter(path: Path) -> None:
    path.write_bytes(path.read_bytes().replace(b"WO 3", b"WO 8", 1))


def _cut(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:40])


def _empty(path: Path) -> None:
    path.write_bytes(b"")


def _a_list(path: Path) -> None:
    path.write_bytes(b"[1]\n")


def _link(path: Path) -> None:
    elsewhere = path.parent.parent.parent / "elsewhere"
    path.parent.rename(elsewhere)
    path.parent.symlink_to(elsewhere, target_is_directory=True)


def _a_line_end_in_its_name(path: Path) -> None:
    path.parent.rename(path.parent.parent / "x\ny")


@pytest.mark.parametrize(
    "change",
    [
        *(_alter, _cut, _empty, _a_list, _link, _a_line_end_in_its_name),
        _in_data(practice={"seed": 1}),
        _in_data(vehicle="red"),
        _in_data(title=None),
        lambda path: _rewrite(path, lambda event: event.pop("at")),
        lambda path: _rewrite(path, lambda event: event.update(at=7)),
        lambda path: _rewrite(path, lambda event: event.update(data=[])),
        lambda path: _rewrite(path, lambda event: event.update(kind="begun")),
        lambda path: _rewrite(path, lambda event: event.update(seq=2)),
        lambda path: _rewrite(path, lambda event: event.update(more="")),
    ],
)
@pytest.mark.parametrize("work_order", [3, 4])
def test_where_a_job_needs_more_than_a_glance_nothing_is_shown(
    shop: Shop, change: Callable[[Path], None], work_order: int
) -> None:
    path = journal_of(shop, work_order)
    path.write_bytes(path.read_bytes().replace(f"WO {work_order}".encode(), b"WO 3"))
    _rewrite(path, lambda event: None)
    assert board_glanced(shop.folder) is not None
    change(path)
    assert board_glanced(shop.folder) is None


def test_what_a_journal_says_is_cleaned_before_it_is_shown(shop: Shop) -> None:
    _in_data(work_order="\x1b[31mred\nline")(journal_of(shop, 3))
    glance = board_glanced(shop.folder)
    assert glance is not None
    [line] = [line for line in glance.lines if "red" in line.text]
    out = "\N{REPLACEMENT CHARACTER}"
    assert line.text == f"{out}[31mred{out}line · Blue van · Fit a small receiver"


def test_what_is_no_job_is_passed_over(shop: Shop) -> None:
    before = board_glanced(shop.folder)
    (shop.jobs / "notes").mkdir()
    (shop.jobs / "notes.txt").write_text("call back", "utf-8")
    (shop.jobs / "folder" / NAME).mkdir(parents=True)
    if hasattr(os, "mkfifo"):
        (shop.jobs / "pipe").mkdir()
        os.mkfifo(shop.jobs / "pipe" / NAME)
    assert board_glanced(shop.folder) == before


def test_where_there_are_no_jobs_to_look_at_nothing_is_shown(tmp_path: Path) -> None:
    assert board_glanced(tmp_path / "none") is None
