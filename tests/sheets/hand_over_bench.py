"""Hand-over sheets made for tests, at one hour, and parts of them found again."""

from typing import Any

from bay import BAD, S1, STATIONS, Bay, count, tick
from paper import Node, read
from printed import WHEN

from baycompanion.job.actions import (
    Answer,
    Close,
    Override,
    Settle,
    TickRest,
)
from baycompanion.job.state.second_looks import hidden_now
from baycompanion.sheets.handover.page import draw_hand_over
from baycompanion.sheets.handover.source import Source
from baycompanion.sheets.handover.whole import hand_over

WARRANTY = ("Twelve months on our work.",)


def source(bay: Bay, **more: Any) -> Source:
    """Return what the sheet of a job is made from."""
    given = {
        "record": bay.record(),
        "procedure": bay.procedure,
        "shop": "Test bay",
        "warranty": WARRANTY,
        "when": WHEN,
        "hidden": hidden_now(bay.procedure, bay.state),
    }
    return Source(**{**given, **more})


def html(bay: Bay, **more: Any) -> str:
    """Return the sheet of a job as it stands, as text."""
    return draw_hand_over(hand_over(source(bay, **more)))


def sheet(bay: Bay, **more: Any) -> Node:
    """Return the sheet of a job as it stands."""
    return read(html(bay, **more))


def titles(page: Node) -> list[str]:
    """Return the titles of the sections, in order, without the sign before some of them."""
    return [each.text.removeprefix("! ") for each in page.all("h2")]


def section(page: Node, title: str) -> Node:
    """Return the one section of this title."""
    [found] = [
        each for each in page.all("section") if each.one("h2").text.removeprefix("! ") == title
    ]
    return found


def facts(part: Node) -> dict[str, str]:
    """Return what stands behind each label in a part of the sheet."""
    return {each.one("dt").text: each.one("dd").text for each in part.all("div") if each.all("dt")}


def rows(part: Node) -> list[list[str]]:
    """Return the cells of a table, row by row, without its heads."""
    [body] = part.all("tbody")
    cells = ("th", "td")
    return [
        [cell.text for cell in row.within if isinstance(cell, Node) and cell.tag in cells]
        for row in body.all("tr")
    ]


def good_job() -> Bay:
    """Return a job that was closed with nothing out of the ordinary."""
    return closed(Bay().walk())


def closed(bay: Bay) -> Bay:
    """Return a job whose steps are all finished, closed."""
    bay.do(Close(close="keys back"))
    return bay


def worst_job() -> Bay:
    """Return a job with one thing worse, a new mark, a screw left over and a station misplaced.

    Two gates were overridden for it.
    """
    swapped = (STATIONS[1], STATIONS[0], STATIONS[2])
    bay = Bay().held(
        stations_back=[
            Answer(answer="stations-back", entries=swapped),
            Settle(settle="stations-back", cause="work", words="two stations exchanged"),
        ]
    )
    bay.do(
        Override(
            override="sound-before-refit",
            reason="r",
            words="the owner sets them",
            instead="the list lies in the glove box",
        ),
        who=S1,
    )
    bay.held(
        back=[
            *count("back", screw=5, clip=4),
            Settle(settle="back", cause="work", words="one screw left over"),
        ],
        after=BAD["after"],
        panels_after=[
            tick("panels-after", "dash-panel", "marked", words="scratch of 12 mm"),
            TickRest(tick_rest="panels-after"),
            Answer(answer="panels-after"),
        ],
    )
    bay.do(
        Override(
            override="same-as-before",
            reason="part on order",
            words="the owner agreed to wait",
            instead="all of it stands on this sheet",
        ),
        who=S1,
    )
    return closed(bay.walk())
