"""Trainees line by line: shown to a supervisor, released, taken back."""

import contextlib
from collections import deque
from datetime import timedelta
from pathlib import Path

import pytest
from lamp import START
from listener import Clock, Typist
from signed_off import PIN, fill, learning_shop

from baycompanion.plain.trainees import PlainTrainees
from baycompanion.store.shop import Shop, open_shop

LOOK = (PIN, "s1")


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    shop = learning_shop(tmp_path / "shop")
    fill(shop)
    return shop


def typed(shop: Shop, *lines: str, procedure: str | None = None, by: str = "") -> Typist:
    typist = Typist(Clock(START + timedelta(days=60)), deque(lines))
    with contextlib.suppress(EOFError):
        PlainTrainees(shop, typist, typist.clock, procedure=procedure, by=by).walk()
        typist.leaving = "quit"
    return typist


def test_each_has_a_number_that_reads_it(shop: Shop) -> None:
    typist = typed(shop, *LOOK, "1", "2", "quit")
    assert typist.leaving == "quit"
    heard = typist.heard
    at = heard.index("N1:")
    assert heard[at : at + 4] == [
        "N1:",
        "1. with a mentor, lamp, 3 watched jobs.",
        "N2:",
        "2. nothing yet.",
    ]
    assert typist.told("Watched jobs: 3 by revision 2. The newest is 20260413-wo-82.")
    assert typist.told("fit: 31 min; others")
    assert typist.told("No drill, no practice, no job and no release so far.")


def test_whoever_was_named_beforehand_gives_the_pin_alone(shop: Shop) -> None:
    typist = typed(shop, PIN, "", "quit", by="S1")
    assert typist.told("Staff id (supervisor) (Enter keeps “S1”; ?back leaves):")
    assert typist.leaving == "quit"


def test_a_release_is_signed_and_taken_back(shop: Shop) -> None:
    signing = ("release 1", "20260413-wo-82", "2026-09-30", "", PIN, "S1")
    typist = typed(shop, *LOOK, *signing, "quit")
    assert typist.told("Signed. It is in the log of the staff.")
    assert typist.told("1. released to 2026-09-30, lamp, 3 watched jobs.")
    assert [each.job for each in open_shop(shop.folder).members["N1"].releases] == [
        "20260413-wo-82"
    ]
    typist = typed(shop, *LOOK, "take 1", PIN, "S2", "quit")
    assert typist.told("N1 works beside a mentor again.")
    assert open_shop(shop.folder).members["N1"].releases == ()


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("take 1", "N1 has no release for lamp."),
        ("take 2", "N2 has begun with nothing yet"),
        ("release 2", "N2 has begun with nothing yet"),
        ("release 9", "Type the number of a line that was read, like release 1."),
        ("9", "Type the number of a line that was read, like release 1."),
        ("sing", "“sing” means nothing here."),
        ("?", "A number reads one of them."),
    ],
)
def test_what_leads_nowhere_is_said(shop: Shop, line: str, said: str) -> None:
    typist = typed(shop, *LOOK, line, "quit")
    assert typist.leaving == "quit"
    assert typist.told(said)


def test_only_a_supervisor_hears_anything(shop: Shop) -> None:
    typist = typed(shop, "", "T1")
    assert typist.told("T1 is a technician; this is for supervisors alone.")
    assert not typist.told("watched job")


def test_one_procedure_is_read_of_everybody_begun_or_not(shop: Shop) -> None:
    typist = typed(shop, *LOOK, "quit", procedure="receiver-swap")
    assert typist.told("1. with a mentor, receiver-swap.")
    assert typist.told("2. with a mentor, receiver-swap.")
