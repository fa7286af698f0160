"""The review line by line, typed at and through a pipe."""

import contextlib
import subprocess
import sys
from collections import deque
from pathlib import Path

import pytest
from lamp import START
from listener import Clock, Typist
from reviewed_shop import PIN, make_reviewed_shop

from baycompanion.audit.review.reviewing import Reviewing
from baycompanion.plain.board import Board
from baycompanion.plain.review import PlainReview
from baycompanion.store.review import read_review
from baycompanion.store.shop import open_shop

NOW = START.replace(month=9)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    make_reviewed_shop(tmp_path / "shop", "." * 6 + "x" * 6)
    return tmp_path / "shop"


def typed(folder: Path, *lines: str) -> Typist:
    typist = Typist(Clock(NOW), deque(lines))
    with contextlib.suppress(EOFError):
        PlainReview(Reviewing([folder], typist.clock), typist).walk()
        typist.leaving = "quit"
    return typist


def test_gates_are_read_first_and_everything_has_a_number(folder: Path) -> None:
    typist = typed(folder, "1", "4", "quit")
    assert typist.leaving == "quit"
    heard = typist.heard
    assert heard[:7] == [
        "Auditing.",
        "Review. Jobs: 12. Findings: 19. Not looked at yet: 19.",
        "GATES OF lamp, revision 2: in how many jobs.",
        "1. lamp-proved 6 of 12 overridden, 6 held",
        "1 more GATE: open by the condition, and held nobody up.",
        "SERIOUS.",
        "2. open gate-often-overridden, lamp-proved of lamp, revision 2",
    ]
    assert typist.told("In how many jobs: reached 12, passed 6, overridden 6, held 6")
    assert typist.told("22 · 2026-03-09 08:38 · S2 · overrode the gate lamp-proved as supervisor")


def test_a_word_is_kept_and_read_from_then_on(folder: Path) -> None:
    typist = typed(folder, "look 3", "a short lead", "", "S1", "3", "list", "open", "quit")
    assert typist.told("Kept. No record was touched.")
    assert typist.heard.count("Looked at by S1 on 2026-09-02: “a short lead”") == 1
    assert typist.told("Findings: 19. Not looked at yet: 18.")
    assert sum("3. looked at gate-overridden" in line for line in typist.heard) == 1
    [[word]] = read_review(folder).looked.values()
    assert (word.by, word.words, word.own) == ("S1", "a short lead", False)


def test_a_decision_is_kept_and_heeded_when_audited_anew(folder: Path) -> None:
    typist = typed(
        folder,
        "decide 2",
        "2",
        "",
        "they were new",
        "0000",
        "S2",
        "",
        "",
        "",
        PIN,
        "",
        "1",
        "audit",
    )
    assert typist.told("That is not the PIN of S2.")
    told = "On 2026-09-02 S2 decided: train. “they were new”"
    assert typist.heard.count(told) == 1
    assert typist.told("Findings: 18. Not looked at yet: 18.")


def test_histories_are_read_and_a_persons_only_to_a_supervisor(folder: Path) -> None:
    typist = typed(folder, "history 1", "history 18", "person 3", "1", "", "T1", "", PIN, "S2")
    assert typist.told("overridden: measured another way (6)")
    assert typist.told("lamp-proved: reached 12, passed 6, overridden 6")
    assert typist.told("T1 is a technician; only a supervisor has the word here.")
    assert typist.told("event 22: overrode the gate lamp-proved as supervisor")
    says = "a list of what stands in the journals, the newest job first"
    assert typist.told(says), "which it is; it said “in the order of time”, over two lines"
    jobs = [line for line in typist.heard if "Fit a reading lamp" in line and "WO 1" in line]
    assert len(jobs) > 1 and jobs == sorted(jobs, reverse=True)


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("99", "Type the number of a gate or a finding that was read."),
        ("look 1", "That is a gate. Type the number of a finding."),
        ("look x", "Type the number"),
        ("look", "Say which one, by its number: look 1, for instance."),
        ("decide 19", "That is about no gate."),
        ("?", "audit: audit anew."),
        ("dance", "“dance” means nothing here."),
        ("", "Nothing was typed. Type ? for what can be typed."),
        ("gates", "on-bench-for-fit 0 of 12 overridden"),
    ],
)
def test_what_cannot_be_done_is_said(folder: Path, line: str, told: str) -> None:
    assert typed(folder, line, "quit").told(told)


def test_the_board_leads_to_the_review_and_back(folder: Path) -> None:
    typist = Typist(Clock(NOW), deque(["review", "quit", "quit"]))
    Board(open_shop(folder), typist, typist.clock).walk()
    assert typist.told("Findings: 19.")
    assert typist.told("Back to the board.")


def test_through_a_pipe_it_ends_with_its_input(folder: Path) -> None:
    command = [sys.executable, "-m", "baycompanion", "--plain", "review", str(folder)]
    done = subprocess.run(
        command, input="3\n", capture_output=True, encoding="utf-8", timeout=60, check=False
    )
    assert (done.returncode, done.stderr) == (0, "")
    assert "3. open gate-overridden" in done.stdout
    assert "S2 as supervisor opened the gate lamp-proved" in done.stdout


def test_a_folder_that_cannot_be_read_is_counted_and_ends_as_an_audit_of_it_does(
    tmp_path: Path,
) -> None:
    command = [sys.executable, "-m", "baycompanion", "--plain", "review", str(tmp_path)]
    done = subprocess.run(
        command, input="quit\n", capture_output=True, encoding="utf-8", timeout=60, check=False
    )
    assert (done.returncode, done.stderr) == (2, "")
    assert "Findings: 0. Not looked at yet: 0. Not read: 1.\n" in done.stdout
    assert "NO FINDINGS IN WHAT WAS READ.\n" in done.stdout


def test_without_a_terminal_the_screen_says_what_to_type(folder: Path) -> None:
    command = [sys.executable, "-m", "baycompanion", "review", str(folder)]
    done = subprocess.run(command, capture_output=True, encoding="utf-8", timeout=60, check=False)
    assert (done.returncode, done.stdout) == (1, "")
    assert done.stderr.startswith(
        "The review needs a terminal. For a list, type: baycompanion audit"
    )
