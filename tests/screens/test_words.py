"""A text of a screen that changes lays the screen out anew only where it takes other room."""

import asyncio

import pytest
from textual.app import App, ComposeResult
from textual.content import Content
from textual.widgets import Static

from baycompanion.screens.words import Words, put


class Two(App[None]):
    """A text with another one below it."""

    CSS = "#below { height: 1; }"

    def compose(self) -> ComposeResult:
        yield Words("said")
        yield Static("below", id="below")


@pytest.mark.parametrize(
    ("first", "then", "layouts", "below"),
    [
        ("One line.", "One line.", 0, 1),
        ("One line.", "Another line.", 0, 1),
        ("One line.", Content.styled("One line.", "bold"), 0, 1),
        ("One line.", "Two\nlines.", 1, 2),
        ("Two\nlines.", "One line.", 1, 1),
        ("One line.", "A line that has no room in so narrow a window.", 1, 3),
        ("", "One line.", 1, 1),
        ("One line.", "", 1, 0),
    ],
)
def test_only_a_text_of_another_height_lays_the_screen_out(
    first: str, then: str | Content, layouts: int, below: int
) -> None:
    async def walk() -> None:
        app, counted = Two(), []
        async with app.run_test(size=(20, 6)) as pilot:
            put(app.screen, "said", first)
            await pilot.pause()
            app.screen.screen_layout_refresh_signal.subscribe(app.screen, counted.append)
            put(app.screen, "said", then)
            await pilot.pause()
            assert len(counted) == layouts
            assert app.query_one("#below").region.y == below
            assert str(app.query_one("#said").render()) == str(then)

    asyncio.run(walk())
