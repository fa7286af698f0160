"""The review of a shop only grows, takes a supervisor's word alone, and loses none."""

import hashlib
import json
import multiprocessing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
import rfc8785

from baycompanion.job.deciding.draft import Person
from baycompanion.job.events.chain import FIRST_PREV, canonical, hash_event
from baycompanion.store.review import (
    LONGEST_WORDS,
    NAME,
    Course,
    Decided,
    LookedAt,
    decide,
    look_at,
    read_review,
)
from baycompanion.store.trouble import StoreTrouble

NOW = datetime(2026, 3, 2, 8, 30, tzinfo=UTC)
S1 = Person("S1", "supervisor", "pin")
GATE = ("small-receiver", 3, "sound-before-refit")


def looked(key: str, words: str = "the lead was short") -> LookedAt:
    return LookedAt(finding=key, rule="gate-overridden", job="job-1", words=words)


def decided(course: Course = "train", until: str | None = None) -> Decided:
    procedure, revision, gate = GATE
    return Decided(
        gate=gate, procedure=procedure, revision=revision, course=course, until=until, words="so"
    )


def test_what_was_looked_at_and_decided_is_read_again_with_who_and_when(tmp_path: Path) -> None:
    assert read_review(tmp_path).looked == {}
    look_at(tmp_path, looked("a1"), S1, NOW)
    look_at(tmp_path, looked("a1", "  and\nlonger "), Person("S2", "supervisor"), NOW)
    decide(tmp_path, decided("accept-until", "2026-03-02"), S1, NOW + timedelta(days=-1))
    review = read_review(tmp_path)
    assert [(word.by, word.day, word.words) for word in review.looked["a1"]] == [
        ("S1", "2026-03-02", "the lead was short"),
        ("S2", "2026-03-02", "and longer"),
    ]
    [decision] = review.decisions[GATE]
    assert decision.told == "On 2026-03-01 S1 decided: accept it until 2026-03-02. “so”"
    assert [decision.holds_on(day) for day in ("2026-03-02", "2026-03-03")] == [True, False]
    lines = [json.loads(line) for line in (tmp_path / NAME).read_bytes().splitlines()]
    assert [line["kind"] for line in lines] == ["begun", "looked-at", "looked-at", "decided"]
    assert [line["data"].get("signed") for line in lines] == [None, "pin", None, "pin"]


def test_each_line_is_tied_to_the_one_before_by_the_canonical_form_of_the_rfc(
    tmp_path: Path,
) -> None:
    """RFC 8785, by a library that is not ours."""
    for key in ("a", "b"):
        look_at(tmp_path, looked(key), S1, NOW)
    prev: object = FIRST_PREV
    for line in map(json.loads, (tmp_path / NAME).read_bytes().splitlines()):
        assert line["prev"] == prev
        prev = line.pop("hash")
        assert hashlib.sha256(rfc8785.dumps(line)).hexdigest() == prev


@pytest.mark.parametrize("role", ["technician", "trainee", ""])
def test_nobody_else_has_the_word(tmp_path: Path, role: str) -> None:
    for act in (
        lambda who: look_at(tmp_path, looked("a"), who, NOW),
        lambda who: decide(tmp_path, decided(), who, NOW),
    ):
        with pytest.raises(StoreTrouble, match="only a supervisor has the word here"):
            act(Person("T1", role, "pin"))
    assert not (tmp_path / NAME).exists()


def test_what_makes_no_sense_is_refused_in_a_sentence(tmp_path: Path) -> None:
    with pytest.raises(StoreTrouble, match="in a few words"):
        look_at(tmp_path, looked("a", " \t\n "), S1, NOW)
    with pytest.raises(StoreTrouble, match=f"{LONGEST_WORDS} at most"):
        look_at(tmp_path, looked("a", "x" * (LONGEST_WORDS + 1)), S1, NOW)
    with pytest.raises(StoreTrouble, match="2026-03-01 has passed"):
        decide(tmp_path, decided("accept-until", "2026-03-01"), S1, NOW)
    for wrong in (decided("accept-until"), decided("train", "2026-09-01")):
        with pytest.raises(StoreTrouble, match="a last day"):
            decide(tmp_path, wrong, S1, NOW)
    with pytest.raises(ValueError, match="until"):
        decided("accept-until", "1 March")
    assert not (tmp_path / NAME).exists()


def test_a_review_torn_at_any_byte_of_its_last_line_goes_on_and_loses_nothing(
    tmp_path: Path,
) -> None:
    path = tmp_path / NAME
    for key in ("a", "b"):
        look_at(tmp_path, looked(key), S1, NOW)
    whole = path.read_bytes()
    last = whole[:-1].rindex(b"\n") + 1
    for end in range(last + 1, len(whole)):
        path.write_bytes(whole[:end])
        path.with_suffix(".torn").unlink(missing_ok=True)
        assert list(read_review(tmp_path).looked) == ["a"]
        look_at(tmp_path, looked("c"), S1, NOW)
        assert path.with_suffix(".torn").read_bytes() == whole[last:end] + b"\n"
        assert list(read_review(tmp_path).looked) == ["a", "c"]


def test_a_line_changed_afterwards_counts_no_more_and_nothing_is_added_to_it(
    tmp_path: Path,
) -> None:
    for key in ("a", "b"):
        look_at(tmp_path, looked(key), S1, NOW)
    text = (tmp_path / NAME).read_bytes().replace(b'"finding":"a"', b'"finding":"x"')
    (tmp_path / NAME).write_bytes(text)
    assert list(read_review(tmp_path).looked) == ["b"]
    with pytest.raises(StoreTrouble, match=rf"{NAME}:2: This line was changed"):
        look_at(tmp_path, looked("c"), S1, NOW)
    assert (tmp_path / NAME).read_bytes() == text


HOSTILE = "\x1b[2J[bold]{{ 1 }}\u202edrow \x07" + "\ud800"


def test_hostile_words_are_cleaned_before_they_are_kept(tmp_path: Path) -> None:
    look_at(tmp_path, looked("a", HOSTILE), S1, NOW)
    [word] = read_review(tmp_path).looked["a"]
    assert word.words.startswith("\ufffd[2J[bold]{{ 1 }}")
    assert not any(sign in word.words for sign in "\x1b\u202e\x07\ud800")


@pytest.mark.parametrize(
    "line",
    [
        b"",
        b"[]",
        b"{" * 100_000,
        b'{"seq":1}',
        b"\xff\xfe",
        b"null",
    ],
)
def test_lines_that_are_no_lines_of_a_review_are_passed_over(tmp_path: Path, line: bytes) -> None:
    look_at(tmp_path, looked("a"), S1, NOW)
    with (tmp_path / NAME).open("ab") as file:
        file.write(line + b"\n")
    assert list(read_review(tmp_path).looked) == ["a"]


def test_control_codes_written_by_hand_under_a_hash_that_fits_are_passed_over(
    tmp_path: Path,
) -> None:
    look_at(tmp_path, looked("a"), S1, NOW)
    begun, line = map(json.loads, (tmp_path / NAME).read_bytes().splitlines())
    line["data"]["words"] = "\x1b[2J"
    line["hash"] = hash_event(line)
    (tmp_path / NAME).write_bytes(canonical(begun) + b"\n" + canonical(line) + b"\n")
    assert read_review(tmp_path).looked == {}


def _look_often(folder: Path, who: str) -> None:
    for number in range(10):
        look_at(folder, looked(f"{who}-{number}"), Person(who, "supervisor"), NOW)


def test_two_writers_at_once_lose_no_word(tmp_path: Path) -> None:
    spawn = multiprocessing.get_context("spawn")
    writers = [spawn.Process(target=_look_often, args=(tmp_path, who)) for who in ("S1", "S2")]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join(60)
        assert writer.exitcode == 0
    assert len(read_review(tmp_path).looked) == 20
    look_at(tmp_path, looked("last"), S1, NOW)  # the chain holds, or this is refused
