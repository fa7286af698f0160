"""What must stay true is on the screen, or counted there and one key away."""

import pytest
from bay import SMALL_TEXT
from bench import Bench, job_screen, press, shown
from pictures import text_of
from textual.pilot import Pilot
from textual.widgets import Static

SAYS = [f"Plug {number} of the loom under the seat stays apart, and taped." for number in range(9)]


def _standing(number: int) -> str:
    says = SAYS[number]
    spans = "begins: disconnect, ends: keys"
    return f"  - {{standing: plug-{number}, says: '{says}', {spans}, ask: 'Was it so?'}}"


@pytest.fixture
def many(bench: Bench) -> Bench:
    """Return a shop whose procedure has ten things that must stay true at once."""
    lines = "\n".join(_standing(number) for number in range(len(SAYS)))
    bench.use(SMALL_TEXT.replace("\nphases:", f"\n{lines}\n\nphases:", 1))
    return bench


@pytest.mark.parametrize("size", [(80, 24), (64, 21), (120, 36), (200, 60)])
def test_every_standing_condition_is_in_sight_or_counted_there(
    many: Bench, size: tuple[int, int]
) -> None:
    folder = many.job(to="out")

    async def walk(pilot: Pilot[int]) -> None:
        strip = pilot.app.screen.query_one("#standing")
        text = shown(pilot, "#standing")
        seen = sum(says in text for says in SAYS)
        assert strip.region.height <= size[1] // 6
        if seen == len(SAYS):
            return
        assert f"AND {len(SAYS) - seen} MORE: F9" in text
        lines = text_of(pilot.app).splitlines()[strip.region.y : strip.region.bottom]
        assert lines[-1].rstrip().endswith("F9"), "the end of the strip is in sight"
        await press(pilot, "f9")
        await press(pilot, "end", "enter")
        page = str(pilot.app.screen.query_one("#page Static", Static).content)
        assert all(says in page for says in SAYS)
        await press(pilot, "escape")
        assert job_screen(pilot).card.step == "out"

    many.run(walk, folder, size=size)


def test_the_strip_takes_more_when_the_window_grows(many: Bench) -> None:
    folder = many.job(to="out")

    async def walk(pilot: Pilot[int]) -> None:
        small = shown(pilot, "#standing")
        await pilot.resize_terminal(160, 60)
        assert "MORE" in small
        assert "MORE" not in shown(pilot, "#standing")

    many.run(walk, folder)
