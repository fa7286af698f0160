"""A vehicle that comes back, played whole: once the work made it, once it did not.

Both days are invented. The first is the demo's own, and comes back from its day for a claim.
"""

import json
import re
from pathlib import Path
from typing import Any

import pytest
from demo_days import DEMO, demo_shop, play_day, play_text

from baycompanion.play.run import Played, play
from baycompanion.play.script import read_script
from baycompanion.procedure.check import check
from baycompanion.procedure.checks.language import check_language
from baycompanion.store.job.folder import read_job, record_bytes, record_of
from baycompanion.store.shelf import find_procedure, read_procedure
from baycompanion.text.problem import BadFile
from baycompanion.trade.catalogue import SUMS

OURS = DEMO / "comeback.yaml"
ELSEWHERE = Path(__file__).parent / "days" / "comeback-elsewhere.yaml"


def record_of_day(played: Played) -> Any:
    return json.loads(record_bytes(record_of(read_job(played.folder))))


@pytest.fixture(scope="module")
def ours(tmp_path_factory: pytest.TempPathFactory) -> Played:
    return play_day(OURS, tmp_path_factory.mktemp("ours"))


@pytest.fixture(scope="module")
def elsewhere(tmp_path_factory: pytest.TempPathFactory) -> Played:
    return play_day(ELSEWHERE, tmp_path_factory.mktemp("elsewhere"))


def test_its_procedure_is_whole_and_every_gate_has_its_reason() -> None:
    loaded = read_procedure(find_procedure("comeback", Path("nowhere")))
    assert check(loaded, SUMS) + check_language(loaded) == []
    assert all(gate.because for gate in loaded.procedure.all_gates.values())


def test_the_record_carries_what_the_claimed_day_left_behind(ours: Played) -> None:
    claimed = json.loads(next(ours.folder.parent.glob("*-d-2231/record.json")).read_bytes())
    earlier = record_of_day(ours)["earlier"]
    assert earlier["last_hash"] == claimed["last_hash"]
    left = [each["words"] for each in earlier["left"] if each["kind"] == "override"]
    assert len(left) == len(claimed["overrides"]) == 4
    for said, override in zip(left, claimed["overrides"], strict=True):
        assert override["gate"] in said
        assert override["words"] in said
    horn = next(each for each in earlier["lines"] if each["item"] == "horn")
    assert (horn["outcome"], horn["words"]) == ("faulty", "silent")


def test_what_is_worse_since_is_found_and_traced(ours: Played) -> None:
    told = [(each["item"], each["origin"]) for each in record_of_day(ours)["differences"]]
    assert told == [("rear-right", "from our work"), ("right-front-door", "from elsewhere")]


def test_what_the_work_made_is_put_right_and_what_it_did_not_stays_the_vehicle_s(
    ours: Played,
) -> None:
    record = record_of_day(ours)
    assert record["status"] == "closed"
    assert record["choices"]["origin"] == "earlier-work"
    faults = [(each["step"], each["cause"], each["open"]) for each in record["faults"]]
    assert faults == [
        ("work-sound", "work", False),
        ("differences-traced", "work", False),
        ("differences-traced", "vehicle", True),
    ]
    assert record["overrides"] == []


def test_a_complaint_from_elsewhere_leaves_a_clean_job_and_no_trim_off(elsewhere: Played) -> None:
    record = record_of_day(elsewhere)
    assert (record["status"], record["clean"]) == ("closed", True)
    assert record["choices"]["origin"] == "elsewhere"
    assert [(each["cause"], each["open"]) for each in record["faults"]] == [("vehicle", True)]
    by_phase = {
        phase: {step["state"] for step in record["steps"] if step["phase"] == phase}
        for phase in ("make-safe", "teardown", "mend", "power-back", "proof", "refit")
    }
    assert set(map(frozenset, by_phase.values())) == {frozenset({"not applicable"})}


def test_a_fault_of_the_work_that_is_not_cleared_holds_the_keys(tmp_path: Path) -> None:
    text = OURS.read_text(encoding="utf-8")
    without = re.sub(r"  - clear: 1\n(    .*\n)+", "", text)
    assert without != text
    played = play_text(without, "day.yaml", demo_shop(tmp_path / "shop"))
    held = [each["id"] for each in record_of_day(played)["gates"] if each["came_to"] == "held"]
    assert held == ["put-right-or-told"]


def test_a_complaint_that_is_still_there_holds_the_trim(tmp_path: Path) -> None:
    text = OURS.read_text(encoding="utf-8")
    left = "  - { settle: complaint-gone, cause: work, words: Again at the third try. }\n"
    wrong = re.sub(
        r"  - \{ answer: complaint-gone, outcome: passed(.*)\n",
        rf"  - {{ answer: complaint-gone, outcome: failed\1\n{left}",
        text,
    )
    assert wrong != text
    played = play_text(wrong, "day.yaml", demo_shop(tmp_path / "shop"))
    held = [each["id"] for each in record_of_day(played)["gates"] if each["came_to"] == "held"]
    assert held == ["gone-before-trim"]


WRONG = [
    ("earlier: D-2231", "earlier: D-9999", "There is no job “D-9999”"),
    ("vin: 00DEM0000TEST2231", "vin: 00DEM0000TEST2232", "was on another vehicle, VIN"),
]


@pytest.mark.parametrize(("right", "wrong", "told"), WRONG)
def test_an_earlier_job_that_is_none_of_this_vehicle_is_refused_in_its_line(
    right: str, wrong: str, told: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "D-9999").mkdir()  # a path of a script begins at the script, wherever it is played
    monkeypatch.chdir(tmp_path)
    shop = demo_shop(tmp_path / "shop")
    claim = (DEMO / "claim-day.yaml").read_text(encoding="utf-8")
    play_text(claim, "claim-day.yaml", shop)
    text = OURS.read_text(encoding="utf-8").replace(right, wrong)
    line = text.splitlines().index(next(each for each in text.splitlines() if "earlier:" in each))
    read = read_script(text, "day.yaml")
    assert read.script.start is not None
    with pytest.raises(BadFile) as caught:
        play(read, DEMO, shop, read.script.start)
    [problem] = map(str, caught.value.problems)
    assert problem.startswith(f"day.yaml:{line + 1}:")
    assert told in problem
