"""The page of phase times: its charts stand where the figures say, and its texts are only text.

The limits are held against the worked example of the NIST/SEMATECH e-Handbook, 6.3.2.2, which
`tests/spread/test_control_chart.py` has in full: the ten flow rates are taken as logarithms of
times, so that the drawing itself, measured with a rule, must give the handbook's numbers.
"""

import re
import shutil
import subprocess
import xml.etree.ElementTree as ET
from datetime import UTC, datetime
from itertools import pairwise
from math import exp, log
from pathlib import Path
from random import Random

import pytest

from baycompanion.audit.choice import Choice
from baycompanion.audit.phases.drawing import (
    APART,
    LETTERS,
    MOST_DRAWN,
    Drawing,
    draw_ranges,
    draw_times,
)
from baycompanion.audit.phases.page import phase_page
from baycompanion.audit.phases.reading import PhasesRead
from baycompanion.audit.phases.times import Chart, JobTime, PhaseTold, chart_of
from baycompanion.spread.control import Limits, limits, signals
from baycompanion.spread.logs import logs

FLOW_RATE = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]
CENTRE, UPPER, LOWER, MEAN_RANGE = 50.81, 55.8041, 45.8159, 1.8778
WHEN = datetime(2026, 3, 2, 12, tzinfo=UTC)
BROWSER = next(filter(None, map(shutil.which, ("chromium", "chromium-browser"))), None)


def told_of(worked: list[int], chart: Chart | None = None, title: str = "Fit it") -> PhaseTold:
    times = tuple(
        JobTime(f"2026-03-02T08:{n // 60:02}:{n % 60:02}.000Z", f"job-{n}", each)
        for n, each in enumerate(worked)
    )
    made = chart or chart_of(worked)
    return PhaseTold("shop", "lamp", 2, "fit", title, 600, len(worked), 3, times, made)


def steady(count: int, seed: int = 3) -> list[int]:
    chance = Random(seed)
    return [round(600 * chance.lognormvariate(0, 0.2)) for _ in range(count)]


def uneasy() -> list[int]:
    """Return times with every kind of signal."""
    worked = steady(40)
    worked[12] = 6000
    worked[20:29] = [900 + n for n in range(9)]
    return worked


def flow_rate_told() -> tuple[PhaseTold, Chart]:
    """Return the flow rates, a tenth of each and 10 more, as the logarithms of whole seconds."""
    worked = [round(exp(rate / 10 + 10)) for rate in FLOW_RATE]
    drawn = limits(logs(worked), fewest=10)
    assert isinstance(drawn, Limits)
    chart = Chart(drawn, signals(logs(worked), drawn))
    return told_of(worked, chart), chart


def rule_of(drawing: Drawing, points: list[float]) -> tuple[float, float]:
    """Return height and unit of the axis, from the first two points, whose values are known."""
    first, second = drawing.points[:2]
    unit = (second.y - first.y) / (points[1] - points[0])
    return first.y - unit * points[0], unit


def test_measured_with_a_rule_the_lines_stand_at_the_limits_of_the_handbook() -> None:
    told, chart = flow_rate_told()
    drawing = draw_times(told, chart)
    zero, unit = rule_of(drawing, FLOW_RATE)
    read = {line.name.split()[0]: (line.y - zero) / unit for line in drawing.lines}
    assert read["centre"] == pytest.approx(CENTRE, abs=0.01)
    assert read["upper"] == pytest.approx(UPPER, abs=0.01)
    assert read["lower"] == pytest.approx(LOWER, abs=0.01)
    assert [(p.y - zero) / unit for p in drawing.points] == pytest.approx(FLOW_RATE, abs=0.01)


def test_measured_with_a_rule_the_ranges_are_those_of_the_handbook() -> None:
    told, chart = flow_rate_told()
    drawing = draw_ranges(told, chart)
    zero, unit = rule_of(drawing, [2.0, 2.3])
    read = {line.name.split()[0]: (line.y - zero) / unit for line in drawing.lines}
    assert read["mean"] == pytest.approx(MEAN_RANGE, abs=0.03)
    assert read["limit"] == pytest.approx(3.267 * MEAN_RANGE, abs=0.1)
    assert len(drawing.points) == len(FLOW_RATE) - 1


def test_the_marks_of_the_axis_stand_where_the_times_belong() -> None:
    told = told_of(steady(30))
    assert isinstance(told.chart, Chart)
    drawing = draw_times(told, told.chart)
    zero, unit = rule_of(drawing, logs(told.worked))
    at = {mark.name: mark.at for mark in drawing.levels}
    assert at["10 min"] == pytest.approx(zero + unit * log(600), abs=0.1)
    [target] = [line for line in drawing.lines if line.kind == "target"]
    assert (target.name, target.y) == ("target 10 min", at["10 min"])


def test_names_do_not_lie_on_one_another() -> None:
    told = told_of([600 + n % 2 for n in range(30)])
    assert isinstance(told.chart, Chart)
    for drawing in (draw_times(told, told.chart), draw_ranges(told, told.chart)):
        for names in ([line.name_y for line in drawing.lines], [m.at for m in drawing.levels]):
            ordered = sorted(names)
            assert all(b - a >= APART for a, b in pairwise(ordered))


def test_every_signal_has_its_letter_and_shape_at_its_point() -> None:
    told = told_of(uneasy())
    assert isinstance(told.chart, Chart)
    assert {signal.rule for signal in told.chart.signals} == set(LETTERS)
    times, ranges = draw_times(told, told.chart), draw_ranges(told, told.chart)
    for signal in told.chart.signals:
        letter = LETTERS[signal.rule]
        points = times.points if letter != "R" else ranges.points
        [point] = [p for p in points if p.words.startswith(f"job-{signal.index}:")]
        assert letter in point.letters
        assert point.shape != "circle"
    marked = [p for p in (*times.points, *ranges.points) if p.letters]
    assert sum(len(p.letters) for p in marked) == len(told.chart.signals)


def test_only_the_newest_are_drawn_and_the_page_says_so() -> None:
    told = told_of(steady(MOST_DRAWN + 7))
    assert isinstance(told.chart, Chart)
    drawing = draw_times(told, told.chart)
    assert drawing.points[0].words.startswith("job-7:")
    assert len(drawing.points) == len(draw_ranges(told, told.chart).points) == MOST_DRAWN
    assert f"The newest {MOST_DRAWN} are drawn." in page(told)
    assert "are drawn." not in page(told_of(steady(MOST_DRAWN)))


def page(*told: PhaseTold) -> str:
    seen = PhasesRead(list(told), 40, ["a.json is no record."])
    return phase_page(seen, Choice(since="2026-03-02"), WHEN)


def test_the_page_has_two_charts_for_each_phase_and_the_signals_in_words() -> None:
    text = page(told_of(uneasy()))
    assert text.count("<svg ") == 2
    for pictured in re.findall(r"<svg .*?</svg>", text, flags=re.DOTALL):
        assert ET.fromstring(pictured).get("role") == "img"
    assert "<b>L</b>job-12: 1 h 40 min, beyond a limit" in text
    assert "Only jobs: since 2026-03-02." in text
    assert "a.json is no record." in text
    assert "logarithmic" in text


def test_a_phase_without_a_chart_says_why() -> None:
    text = page(told_of(steady(19)))
    assert "<svg" not in text
    assert "No chart: 19 of the 20 jobs that limits are drawn from." in text


def test_hostile_text_is_shown_as_text_and_no_script_is_allowed() -> None:
    hostile = "</title><script>document.title='it ran'</script>\u202e\"'"
    text = page(told_of(uneasy(), title=hostile))
    assert "<script" not in text
    assert "\u202e" not in text
    assert "default-src 'none'" in text


@pytest.mark.skipif(BROWSER is None, reason="there is no headless Chromium")
def test_a_browser_draws_it_and_nothing_is_too_wide(tmp_path: Path) -> None:
    assert BROWSER is not None
    text = page(told_of(uneasy(), title="w" * 400))
    probe = (
        "<script>const wide = [...document.querySelectorAll('body *')].filter((each) =>"
        " each.getBoundingClientRect().right > document.documentElement.clientWidth + 1);"
        "document.body.dataset.wide = wide.length;"
        "document.body.dataset.drawn = document.querySelector('.point').getBoundingClientRect()"
        ".width > 2;</script></body>"
    )
    bare = re.sub(r'<meta http-equiv="Content-Security-Policy"[^>]*>', "", text)
    assert bare != text
    file = tmp_path / "page.html"
    file.write_text(bare.replace("</body>", probe), encoding="utf-8")
    done = subprocess.run(
        [
            *(BROWSER, "--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage"),
            *(f"--user-data-dir={tmp_path / 'browser'}", "--dump-dom", "--window-size=800,1100"),
            file.as_uri(),
        ],
        capture_output=True,
        text=True,
        timeout=120,
        check=True,
    )
    assert 'data-wide="0"' in done.stdout
    assert 'data-drawn="true"' in done.stdout
