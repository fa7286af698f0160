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
    ("first", "then", "laid_out", "below"),
    [
        ("One line.", "One line.", False, 1),
        ("One line.", "Another line.", False, 1),
        ("One line.", Content.styled("One line.", "bold"), False, 1),
        ("One line.", "Two\nlines.", True, 2),
        ("Two\nlines.", "One line.", True, 1),
        ("One line.", "A line that has no room in so narrow a window.", True, 3),
        ("", "One line.", True, 1),
        ("One line.", "", True, 0),
    ],
)
def test_only_a_text_of_another_height_lays_the_screen_out(
    first: str, then: str | Content, laid_out: bool, below: int
) -> None:
    async def walk() -> None:
        app, counted = Two(), []
        async with app.run_test(size=(20, 6)) as pilot:
            put(app.screen, "said", first)
            await pilot.pause()
            app.screen.screen_layout_refresh_signal.subscribe(app.screen, counted.append)
            put(app.screen, "said", then)
            await pilot.pause()
            assert bool(counted) is laid_out
            assert app.query_one("#below").region.y == below
            assert str(app.query_one("#said").render()) == str(then)

    asyncio.run(walk())
