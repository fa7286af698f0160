"""One thing worse, one new mark, one screw left over, one station misplaced: four overrides."""

import html
import json
import re
from pathlib import Path
from typing import Any

import pytest

from baycompanion.job.events.moment import read_moment
from baycompanion.play.run import Played, play
from baycompanion.play.script import read_script
from baycompanion.store.job.folder import read_job, record_bytes, record_of
from baycompanion.store.shelf import shipped
from baycompanion.store.shop import open_shop
from baycompanion.working.hand_over import write_hand_over

DEMO = shipped("demo")
TEXT = (DEMO / "claim-day.yaml").read_text(encoding="utf-8")
OVERRIDES = re.findall(r"  - override: ([a-z-]+)\n(?:    .*\n)+", TEXT)
GATES = ("sound-before-dash", "tray-empty", "functions-as-before", "no-new-mark")


def played(text: str, folder: Path) -> Played:
    """Play a script like that of the claim day into a new shop."""
    folder.mkdir()
    for file in ("shop.yaml", "staff.yaml"):
        (folder / file).write_bytes((DEMO / "shop" / file).read_bytes())
    read = read_script(text, "claim-day.yaml")
    assert read.script.start is not None
    return play(read, DEMO, open_shop(folder), read.script.start)


def record_in(day: Played) -> Any:
    return json.loads(record_bytes(record_of(read_job(day.folder))))


@pytest.fixture(scope="module")
def day(tmp_path_factory: pytest.TempPathFactory) -> Played:
    return played(TEXT, tmp_path_factory.mktemp("claim") / "shop")


def test_the_record_shows_all_four(day: Played) -> None:
    record = record_in(day)
    assert (record["status"], record["clean"]) == ("closed", False)
    assert tuple(each["gate"] for each in record["overrides"]) == GATES
    assert tuple(OVERRIDES) == GATES
    overridden = [gate["id"] for gate in record["gates"] if gate["came_to"] == "overridden"]
    assert sorted(overridden) == sorted(GATES)
    told = " ".join(fault["words"] for fault in record["faults"] if fault["open"])
    for words in ("stations are exchanged", "1 left over, slot A3", "Horn: worked", "new mark"):
        assert words in told
    assert len(record["faults"]) == 4


def test_the_hand_over_sheet_shows_all_four(day: Played) -> None:
    shop = open_shop(day.folder.parent.parent)
    path = write_hand_over(shop, day.folder, read_moment(record_in(day)["ended_at"]))
    page = html.unescape(re.sub(r"<[^>]+>", " ", path.read_text(encoding="utf-8")))
    assert "CLOSED, NOT CLEAN" in page
    for each in record_in(day)["overrides"]:
        assert each["words"] in page
        assert each["instead"] in page
    for words in ("again. Worse: Horn.", "again. Worse: Dash centre and trim"):
        assert words in page
    for words in ("FM 94.7; FM 88.7", "Screws of the receiver", "faulty: silent", "scratch 12 mm"):
        assert words in page


@pytest.mark.parametrize("gate", GATES)
def test_without_any_one_of_the_four_it_cannot_be_closed(gate: str, tmp_path: Path) -> None:
    without = re.sub(rf"  - override: {gate}\n(?:    .*\n)+", "", TEXT)
    assert without != TEXT
    record = record_in(played(without, tmp_path / "shop"))
    assert record["status"] == "provisional"
    assert [each["id"] for each in record["gates"] if each["came_to"] == "held"] == [gate]
