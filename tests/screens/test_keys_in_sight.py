"""In every window each key of a card can be seen and touched: long lists make room."""

import pytest
from bay import SMALL_TEXT
from bench import Bench, job_screen, press
from panels import PANELS_TEXT
from textual.pilot import Pilot
from textual.widgets import Button

from baycompanion.screens.too_small import LEAST_HEIGHT, LEAST_WIDTH

LINE = "          - {item: horn, name: Horn}\n"
LAMPS = "".join(LINE.replace("horn", f"lamp-{n}").replace("Horn", f"Lamp {n}") for n in range(30))
SIZES = [(LEAST_WIDTH, LEAST_HEIGHT), (LEAST_WIDTH, 32), (70, 24), (80, 24), (80, 32), (100, 32)]
CARDS = {
    "long list": (SMALL_TEXT.replace(LINE, LINE + LAMPS), "before"),
    "drawn panels": (PANELS_TEXT, "panels-after"),
    "parts": (SMALL_TEXT, "parts"),
    "count": (SMALL_TEXT, "out"),
    "answers": (SMALL_TEXT, "joins-hold"),
}


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("card", CARDS)
def test_every_key_is_in_sight(bench: Bench, card: str, size: tuple[int, int]) -> None:
    """The last keys of a long list lay below the edge of a small window, or of large keys."""
    text, step = CARDS[card]
    bench.use(text)

    async def walk(pilot: Pilot[int]) -> None:
        for _ in ("as it comes", "and in its other view"):
            screen = job_screen(pilot)
            keys = [key for key in screen.query(Button) if key.display]
            assert keys
            for key in keys:
                x, y = key.region.offset
                assert screen.get_widget_at(x + 1, y)[0] is key, f"{key.label} is out of sight"
            await press(pilot, "tab")
            await pilot.pause()

    bench.run(walk, bench.job(to=step), size=size)
