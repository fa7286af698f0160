"""The drawn outline: no panel lost, none on top of another, all reached by arrows, no colour."""

from collections.abc import Collection

import pytest
from hypothesis import given
from hypothesis import strategies as st

from baycompanion.procedure.panels import PANELS, Panel
from baycompanion.views.card.outline import (
    HEIGHT,
    SHEETS,
    WIDTH,
    Sheet,
    draw,
    move,
    named,
    sheet_of,
)

PANE = (50, 11)
"""Columns and rows that the card leaves for a drawing and its line at 80x24."""

SUBSETS = st.lists(st.sampled_from(PANELS), min_size=1, unique=True)
WAYS = ("up", "down", "left", "right")


def reached(asked: Collection[Panel], start: Panel) -> set[Panel]:
    """Return every panel that arrow keys lead to from `start`."""
    found, ahead = {start}, [start]
    while ahead:
        panel = ahead.pop()
        for way in WAYS:
            to = move(asked, panel, way)  # type: ignore[arg-type]
            if to not in found:
                found.add(to)
                ahead.append(to)
    return found


def test_every_panel_is_on_one_drawing() -> None:
    drawn = [panel for sheet in SHEETS for panel in sheet.cells]
    assert sorted(drawn) == sorted(PANELS)


@pytest.mark.parametrize("sheet", SHEETS)
def test_a_drawing_fits_the_card_of_the_smallest_screen(sheet: Sheet) -> None:
    assert {len(line) for line in sheet.art} == {WIDTH}
    assert len(sheet.art) == HEIGHT
    assert PANE[0] >= WIDTH
    assert PANE[1] >= HEIGHT + 1


@pytest.mark.parametrize("sheet", SHEETS)
def test_regions_lie_in_the_drawing_and_none_lies_on_another(sheet: Sheet) -> None:
    drawing = draw(sheet, dict.fromkeys(PANELS, "·"))
    taken: set[tuple[int, int]] = set()
    for region in drawing.regions:
        spots = {
            (row, column)
            for row in range(region.row, region.row + region.height)
            for column in range(region.column, region.column + region.width)
        }
        assert not spots & taken, region.panel
        assert all(0 <= row < HEIGHT and 0 <= column < WIDTH for row, column in spots)
        assert {drawing.at(row, column) for row, column in spots} == {region.panel}
        taken |= spots


@pytest.mark.parametrize("panel", PANELS)
def test_the_panel_in_hand_stands_between_brackets_with_its_sign(panel: Panel) -> None:
    """It reads without colour: the brackets, and nothing else, are what changes."""
    sheet = sheet_of(panel)
    signs = dict.fromkeys(PANELS, "·")
    bare = "".join(draw(sheet, signs).lines)
    text = "".join(draw(sheet, {**signs, panel: "3"}, panel).lines)
    assert (text.count("["), text.count("]"), text.count("3")) == (1, 1, 1)
    assert text.index("[") < text.index("3") < text.index("]")
    assert text.translate({91: " ", 93: " ", 51: "·"}) == bare


@pytest.mark.parametrize("sheet", SHEETS)
def test_every_sign_is_seen_and_a_panel_not_asked_for_has_none(sheet: Sheet) -> None:
    drawing = draw(sheet, dict.fromkeys(PANELS, "✓"))
    assert "".join(drawing.lines).count("✓") == len(sheet.cells)
    assert all(len(line) == WIDTH for line in drawing.lines)
    one = next(iter(sheet.cells))
    alone = draw(sheet, {one: "✓"})
    assert "".join(alone.lines).count("✓") == 1
    assert [region.panel for region in alone.regions] == [one]


@pytest.mark.parametrize("panel", PANELS)
def test_arrows_lead_from_every_panel_to_every_other(panel: Panel) -> None:
    assert reached(PANELS, panel) == set(PANELS)


@given(SUBSETS)
def test_arrows_lead_to_every_panel_of_any_list(asked: list[Panel]) -> None:
    assert all(reached(asked, panel) == set(asked) for panel in asked)


@pytest.mark.parametrize(
    ("panel", "way", "to"),
    [
        ("roof", "left", "windshield"),
        ("roof", "right", "rear-window"),
        ("left-front-door", "right", "left-rear-door"),
        ("left-front-door", "down", "left-front-wheel"),
        ("left-front-door", "up", "left-mirror"),
        ("right-front-door", "down", "right-mirror"),
        ("hood", "up", "right-mirror"),
        ("left-rear-wheel", "down", "right-door-trim"),
        ("console", "left", "dash-centre"),
        ("console", "up", "right-front-seat"),
        ("right-front-wheel", "up", "right-front-wheel"),
        ("right-front-wheel", "left", "right-front-wheel"),
        ("carpet", "right", "carpet"),
    ],
)
def test_an_arrow_leads_to_the_panel_that_lies_there(panel: Panel, way: str, to: Panel) -> None:
    assert move(PANELS, panel, way) == to  # type: ignore[arg-type]


NAMES: dict[Panel, str] = {
    "hood": "Hood",
    "left-front-door": "Left front door",
    "right-front-door": "Right front door",
    "roof": "Roof",
}


@pytest.mark.parametrize(
    ("typed", "at", "to"),
    [
        ("h", "roof", "hood"),
        ("d", "hood", "left-front-door"),
        ("d", "left-front-door", "right-front-door"),
        ("r", "hood", "right-front-door"),
        ("ro", "right-front-door", "roof"),
        ("do", "left-front-door", "left-front-door"),
        ("FRONT D", "hood", "left-front-door"),
        ("x", "hood", None),
    ],
)
def test_letters_lead_to_the_next_panel_of_that_name(
    typed: str, at: Panel, to: Panel | None
) -> None:
    assert named(NAMES, typed, at) == to
