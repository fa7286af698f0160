"""Marks on panels by lines: each asked for in words, added one by one, and told in words."""

import contextlib
from collections import deque
from pathlib import Path

import pytest
from bay import GOOD, T1, keys_in, tick
from listener import Clock, Typist
from panels import PANELS_TEXT

from baycompanion.job.actions import (
    Accept,
    Answer,
    FoundMark,
    TickRest,
)
from baycompanion.job.deciding.draft import Refused
from baycompanion.plain.job import walk_job
from baycompanion.procedure.load import load_procedure
from baycompanion.store.job.folder import make_job, read_job
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.shop import Shop

FIRST = [
    tick(
        "panels",
        "dash-centre",
        "marked",
        marks=(FoundMark(mark="scratch", size_mm=12, place="lower left"),),
    ),
    TickRest(tick_rest="panels"),
    Answer(answer="panels"),
]


@pytest.fixture
def folder(shop: Shop, clock: Clock) -> Path:
    """Return the folder of a job that asks for marks on panels of the drawing."""
    loaded = load_procedure(PANELS_TEXT, "procedure.yaml")
    return make_job(shop.jobs, loaded, keys_in(when=clock()))


def at(shop: Shop, folder: Path, clock: Clock, to: str) -> None:
    """Walk the job in `folder` on until the step `to` is in hand."""
    job = OpenJob(folder, shop.lists, T1, clock())
    with contextlib.closing(contextlib.ExitStack()) as given_back:
        given_back.callback(job.leave)
        assert not isinstance(job.act(Accept(accept="hazards"), T1, clock()), Refused)
        while job.state.current not in (to, "second-look"):
            step = str(job.state.current)
            clock.move(700)
            for action in FIRST if step == "panels" else GOOD[step]:
                clock.move(60)
                assert not isinstance(job.act(action, T1, clock()), Refused), action


def typed(shop: Shop, folder: Path, clock: Clock, *lines: str) -> Typist:
    typist = Typist(clock, deque(lines))
    with contextlib.suppress(EOFError):
        typist.leaving = walk_job(shop, folder, None, typist, clock)
    return typist


def test_a_mark_is_asked_for_in_words_and_one_more_joins_it(
    shop: Shop, folder: Path, clock: Clock, photo: Path
) -> None:
    at(shop, folder, clock, "panels")
    first = ("marked", "dent", "8", "1", "by the badge", str(photo))
    more = ("line 1", "2", "scratch", "30 mm", "middle", "", "", "lines")
    typist = typed(shop, folder, clock, *first, *more)
    assert typist.told(
        "1. Hood – marked: dent 8 mm, front left (by the badge); scratch 30 mm, middle"
    )
    assert typist.told("2. Roof")
    marks = read_job(folder).state.track("panels").ticks["hood"].answer.marks or []
    assert [(each.mark, each.size_mm, each.place) for each in marks] == [
        ("dent", 8, "front left"),
        ("scratch", 30, "middle"),
    ]
    [taken] = read_job(folder).state.photos
    assert marks[0].photo == taken.data.file


def test_a_picture_that_is_not_there_keeps_the_form_open(
    shop: Shop, folder: Path, clock: Clock
) -> None:
    at(shop, folder, clock, "panels")
    typist = typed(shop, folder, clock, "2", "dent", "8", "1", "", "none.jpg", *[""] * 4, "?back")
    assert typist.told("There is no file none.jpg. Check the path.")
    assert "hood" not in read_job(folder).state.track("panels").ticks


def test_every_line_is_asked_for_by_its_name_and_the_rest_by_one_word(
    shop: Shop, folder: Path, clock: Clock
) -> None:
    at(shop, folder, clock, "panels")
    typist = typed(shop, folder, clock, "unmarked", "rest", "")
    assert any("Line 1 of 7, Hood" in line for line in typist.heard)
    assert read_job(folder).state.track("panels").good
