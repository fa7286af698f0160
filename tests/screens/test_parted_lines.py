"""Lines of the board without room are broken where a dot joins two parts, and nothing is lost."""

import asyncio

import pytest
from hypothesis import given
from hypothesis import strategies as st
from textual.app import App, ComposeResult
from textual.content import Content
from textual.widgets.option_list import Option

from baycompanion.screens.board.parted_lines import (
    DOT,
    SET_IN,
    WIDEST_SIGN,
    Parted,
    PartedLines,
    broken,
)
from baycompanion.screens.listing import Listing

LINE = "D-2222 · green hatchback · Wire a dash camera · closed"


@pytest.mark.parametrize(
    ("width", "rows"),
    [
        (56, [f"  {LINE}"]),
        (55, ["  D-2222 · green hatchback · Wire a dash camera", "    closed"]),
        (40, ["  D-2222 · green hatchback", "    Wire a dash camera · closed"]),
        (24, ["  D-2222", "    green hatchback", "    Wire a dash camera", "    closed"]),
        (
            14,
            [
                "  D-2222",
                "    green",
                "    hatchback",
                "    Wire a",
                "    dash",
                "    camera",
                "    closed",
            ],
        ),
    ],
)
def test_a_line_is_broken_at_its_dots_then_between_words(width: int, rows: list[str]) -> None:
    assert list(broken(Parted(LINE, column=2), width)) == rows


SIGNS = st.text("ab 的é·-", max_size=60)


@given(SIGNS, st.integers(0, 4), st.integers(1, 90))
def test_no_sign_is_lost_and_none_stands_outside(text: str, column: int, width: int) -> None:
    rows = list(broken(Parted(text, column=column), width))
    kept = "".join(rows).replace(" ", "").replace("·", "")
    assert kept == text.replace(" ", "").replace("·", "")
    assert all(row.startswith(" " * column) for row in rows)
    least = column + SET_IN + WIDEST_SIGN
    assert all(Content(row).cell_length <= max(width, least) for row in rows)
    drawn = PartedLines([Parted(text, column=column)])
    assert drawn.get_height({}, width) == len(rows)


@given(SIGNS.filter(lambda text: text.strip() == text))
def test_a_line_with_room_stands_as_it_is(text: str) -> None:
    room = Content(text).cell_length
    assert list(broken(Parted(text), max(room, 1))) == [text]
    assert PartedLines([Parted(text)]).get_optimal_width({}, 80) == room


def _listed(rows: int) -> list[Option]:
    """Return a line that takes two rows as soon as a bar takes columns from it, then others."""
    first = PartedLines([Parted(f"{'a' * 38}{DOT}{'b' * 37}"), Parted("the last of it")])
    return [Option(first), *(Option(Content(f"row {n}")) for n in range(rows))]


def test_a_scroll_bar_that_comes_and_goes_cuts_nothing_off() -> None:
    class Shows(App[None]):
        CSS = "Listing {height: 1fr; border: none; padding: 0 1;}"

        def compose(self) -> ComposeResult:
            yield Listing(*_listed(5), compact=True)

    def seen(listing: Listing) -> list[str]:
        return [listing.render_line(y).text.strip() for y in range(4)]

    async def show() -> None:
        app = Shows()
        async with app.run_test(size=(80, 10)) as pilot:
            for rows, bar in ((5, False), (30, True), (5, False)):
                listing = app.query_one(Listing)
                listing.clear_options()
                listing.add_options(_listed(rows))
                await pilot.pause()
                await pilot.pause()
                assert listing.show_vertical_scrollbar is bar
                parts = ["a" * 38, "b" * 37] if bar else [f"{'a' * 38}{DOT}{'b' * 37}"]
                assert seen(listing)[: len(parts) + 2] == [*parts, "the last of it", "row 0"]
                assert listing.virtual_size.height == rows + len(parts) + 1

    asyncio.run(show())
