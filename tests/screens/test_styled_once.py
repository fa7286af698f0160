"""How often a screen is styled before it is seen: each time takes a slow laptop a while."""

from collections import Counter
from collections.abc import Callable

import pytest
from bench import Bench
from textual.css.stylesheet import Stylesheet
from textual.dom import DOMNode
from textual.pilot import Pilot
from textual.screen import Screen
from textual.widget import Widget

WHERE_IT_CAME_AND_IN_FRONT = 2
"""The library styles a widget where it is mounted, and a screen whenever it comes in front."""


@pytest.fixture
def styled(monkeypatch: pytest.MonkeyPatch) -> Callable[[Screen[object]], Counter[str]]:
    """Return what tells how often each named widget of a screen was styled since it was asked."""
    nodes: list[DOMNode] = []
    styles = Stylesheet.apply

    def noted(sheet: Stylesheet, node: DOMNode, **more: object) -> None:
        nodes.append(node)
        styles(sheet, node, **more)  # type: ignore[arg-type]

    def told(screen: Screen[object]) -> Counter[str]:
        of_it = [node for node in nodes if isinstance(node, Widget) and screen in node.ancestors]
        nodes.clear()
        return Counter(node.id for node in of_it if node.id is not None)

    monkeypatch.setattr(Stylesheet, "apply", noted)
    return told


def test_a_job_is_styled_no_oftener_than_it_must_be(
    bench: Bench, styled: Callable[[Screen[object]], Counter[str]]
) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        counted = styled(pilot.app.screen)
        assert {"title", "message", "sequence", "key-0"} <= set(counted)
        in_focus = {"sequence"}
        for name, times in counted.items():
            assert times <= WHERE_IT_CAME_AND_IN_FRONT + (name in in_focus), name

    bench.run(walk, bench.job(to="show"))


def test_a_form_leaves_the_styles_of_the_job_behind_it_as_they_are(
    bench: Bench, styled: Callable[[Screen[object]], Counter[str]]
) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        job = pilot.app.screen
        styled(job)
        await pilot.press("f2")
        assert pilot.app.screen is not job
        assert not styled(job)

    bench.run(walk, bench.job(to="show"))


def test_the_window_that_grows_under_a_form_widens_the_job_behind_it(bench: Bench) -> None:
    """What is not styled for a form is still styled for what it is about: the size."""

    async def walk(pilot: Pilot[int]) -> None:
        job = pilot.app.screen
        assert job.has_class("-narrow", "-low")
        await pilot.press("f2")
        assert pilot.app.screen.has_class("-narrow", "-low")
        await pilot.resize_terminal(120, 36)
        await pilot.pause()
        assert pilot.app.screen.has_class("-wide", "-high")
        assert not pilot.app.screen.has_class("-narrow")
        await pilot.press("escape")
        await pilot.pause()
        assert pilot.app.screen is job
        assert job.has_class("-wide", "-high")
        assert not job.has_class("-low")

    bench.run(walk, bench.job(to="show"))
