"""The answers of a person only grow, show any line changed afterwards, and are counted cheaply."""

import hashlib
import json
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
import rfc8785

from baycompanion.job.deciding.draft import Person
from baycompanion.job.events.chain import FIRST_PREV
from baycompanion.job.events.moment import write_moment
from baycompanion.learning.drill.recalls import Recalled
from baycompanion.store.recalls import (
    due_counts,
    keep_recall,
    put_aside,
    read_recalls,
    recalls_path,
)
from baycompanion.store.trouble import StoreTrouble

NOW = datetime(2026, 3, 2, 8, 30, tzinfo=UTC)
T3 = Person("T3", "trainee")
DAY = timedelta(days=1)


def recall(
    card: str = "lamp/a", due: datetime = NOW + DAY, right: bool = True, face: str = ""
) -> Recalled:
    return Recalled(
        procedure="lamp",
        revision=2,
        card=card,
        face=face or f"face of {card}",
        asked="tool",
        phase="fit",
        right=right,
        rating="good" if right else "again",
        given=["pliers"],
        due=write_moment(due),
    )


def three(shop: Path) -> list[dict[str, object]]:
    keep_recall(shop, T3, recall(), NOW)
    keep_recall(shop, T3, recall("lamp/b", right=False), NOW + timedelta(minutes=1))
    keep_recall(shop, Person("T3", "trainee", signed="pin"), recall("lamp/c"), NOW - DAY)
    text = recalls_path(shop, "T3").read_text(encoding="utf-8")
    return [json.loads(line) for line in text.splitlines()]


def test_each_line_is_tied_to_the_one_before_by_the_canonical_form_of_the_rfc(
    tmp_path: Path,
) -> None:
    """RFC 8785, by a library that is not ours."""
    lines = three(tmp_path)
    prev: object = FIRST_PREV
    for line in lines:
        assert line["prev"] == prev
        prev = line.pop("hash")
        assert hashlib.sha256(rfc8785.dumps(line)).hexdigest() == prev
    assert (tmp_path / "learning" / "T3" / "recalls.jsonl").exists()
    assert [line["kind"] for line in lines] == ["begun", *["recalled"] * 3]
    assert lines[0]["data"] == {"format": 1}


def test_what_is_read_is_what_was_kept_and_how_they_showed_who_they_are(tmp_path: Path) -> None:
    three(tmp_path)
    events = read_recalls(tmp_path, "T3")
    assert [event.data.card for event in events] == ["lamp/a", "lamp/b", "lamp/c"]  # type: ignore[attr-defined]
    assert [event.data.signed for event in events] == [None, None, "pin"]  # type: ignore[attr-defined]
    assert events[1].data == recall("lamp/b", right=False)


def test_whoever_never_answered_has_an_empty_log_and_nothing_is_made(tmp_path: Path) -> None:
    assert read_recalls(tmp_path, "T3") == ()
    assert due_counts(tmp_path, NOW) == {}
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("old", "new", "line"),
    [
        ('"card":"lamp/b"', '"card":"lamp/x"', 3),
        ('"right":false', '"right":true', 3),
        ('"rating":"again"', '"rating":"good"', 3),
        ('"format":1', '"format":2', 1),
        ('"kind":"recalled"', '"kind":"answered"', 2),
        ('{"at"', '["at"', 1),
    ],
)
def test_a_line_changed_afterwards_is_told_and_nothing_is_added(
    tmp_path: Path, old: str, new: str, line: int
) -> None:
    three(tmp_path)
    path = recalls_path(tmp_path, "T3")
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(StoreTrouble, match=rf"recalls.jsonl:{line}: This line was changed"):
        read_recalls(tmp_path, "T3")
    with pytest.raises(
        StoreTrouble, match=rf"recalls.jsonl:{line}: .* begin anew. Practice goes on without it"
    ):
        keep_recall(tmp_path, T3, recall(), NOW)
    assert path.read_text(encoding="utf-8") == text.replace(old, new, 1)


@pytest.mark.parametrize("cut", [1, 40, 200])
def test_a_torn_last_line_is_set_aside_and_the_rest_counts(tmp_path: Path, cut: int) -> None:
    three(tmp_path)
    path = recalls_path(tmp_path, "T3")
    whole = path.read_bytes()
    path.write_bytes(whole[:-cut])
    assert len(read_recalls(tmp_path, "T3")) == 2
    keep_recall(tmp_path, T3, recall("lamp/d"), NOW)
    assert [e.data.card for e in read_recalls(tmp_path, "T3")] == ["lamp/a", "lamp/b", "lamp/d"]  # type: ignore[attr-defined]
    [torn] = path.parent.glob("*.torn")
    assert torn.read_bytes().strip() in whole


def test_the_answers_of_somebody_else_are_told(tmp_path: Path) -> None:
    three(tmp_path)
    (tmp_path / "learning" / "T3").rename(tmp_path / "learning" / "N1")
    with pytest.raises(StoreTrouble, match=r"recalls.jsonl:1: This is an answer of T3, .* of N1"):
        read_recalls(tmp_path, "N1")


def test_an_id_that_is_spelt_anew_keeps_its_answers(tmp_path: Path) -> None:
    three(tmp_path)
    keep_recall(tmp_path, Person("t3", "trainee"), recall("lamp/d"), NOW)
    assert len(read_recalls(tmp_path, "t3")) == 4
    assert [folder.name for folder in (tmp_path / "learning").iterdir()] == ["T3"]


def test_a_folder_that_cannot_be_made_is_told(tmp_path: Path) -> None:
    (tmp_path / "learning").write_text("", encoding="utf-8")
    with pytest.raises(StoreTrouble, match="learning"):
        keep_recall(tmp_path, T3, recall(), NOW)


# --- what the board counts ----------------------------------------------------------------------


def test_the_newest_answer_to_each_card_counts(tmp_path: Path) -> None:
    keep_recall(tmp_path, T3, recall("lamp/a", NOW + timedelta(minutes=1)), NOW)
    keep_recall(tmp_path, T3, recall("lamp/b", NOW + 2 * DAY), NOW)
    keep_recall(tmp_path, Person("N1", "trainee"), recall("lamp/a", NOW + 9 * DAY), NOW)
    assert due_counts(tmp_path, NOW) == {}
    assert due_counts(tmp_path, NOW + timedelta(hours=1)) == {"T3": 1}
    assert due_counts(tmp_path, NOW + 2 * DAY - timedelta(hours=12)) == {"T3": 2}
    keep_recall(tmp_path, T3, recall("lamp/a", NOW + 7 * DAY), NOW + DAY)
    assert due_counts(tmp_path, NOW + 2 * DAY) == {"T3": 1}
    assert due_counts(tmp_path, NOW + 9 * DAY) == {"T3": 2, "N1": 1}


def test_a_question_that_two_procedures_ask_is_counted_once_by_its_newest_answer(
    tmp_path: Path,
) -> None:
    for card, days in (("lamp/a", 1), ("radio/a", 2), ("lamp/b", 1)):
        keep_recall(tmp_path, T3, recall(card, NOW + days * DAY, face=card[-1]), NOW)
    assert due_counts(tmp_path, NOW + DAY) == {"T3": 1}
    assert due_counts(tmp_path, NOW + 2 * DAY) == {"T3": 2}
    keep_recall(tmp_path, T3, recall("lamp/a", NOW + 9 * DAY, face="a"), NOW + DAY)
    assert due_counts(tmp_path, NOW + 2 * DAY) == {"T3": 1}


def test_what_was_put_aside_is_not_counted_until_it_is_answered_again(tmp_path: Path) -> None:
    three(tmp_path)
    put_aside(tmp_path, T3, {"lamp/a", "lamp/b", "lamp/never"}, NOW)
    assert due_counts(tmp_path, NOW + 9 * DAY) == {"T3": 1}
    put_aside(tmp_path, T3, {"lamp/a", "lamp/b", "lamp/never"}, NOW)
    lines = recalls_path(tmp_path, "T3").read_text(encoding="utf-8").splitlines()
    assert sum('"put-aside"' in line for line in lines) == 1
    assert len(read_recalls(tmp_path, "T3")) == 3
    keep_recall(tmp_path, T3, recall("lamp/a"), NOW)
    assert due_counts(tmp_path, NOW + 9 * DAY) == {"T3": 2}


def test_what_a_clock_ahead_wrote_is_due_now(tmp_path: Path) -> None:
    keep_recall(tmp_path, T3, recall(due=NOW.replace(year=2041)), NOW.replace(year=2040))
    assert due_counts(tmp_path, NOW) == {"T3": 1}


@pytest.mark.parametrize(
    "line", [b"", b"[]", b"{", b'{"kind":"recalled"}', b'{"kind":[]}', b"\xff"]
)
def test_a_damaged_line_stops_no_list(tmp_path: Path, line: bytes) -> None:
    three(tmp_path)
    path = recalls_path(tmp_path, "T3")
    path.write_bytes(line + b"\n" + path.read_bytes() + line)
    assert due_counts(tmp_path, NOW + DAY) == {"T3": 3}
