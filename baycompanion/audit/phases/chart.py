"""The times of a phase for people: figures in one line, the chart as text, signals by rule."""

import textwrap
from collections.abc import Iterator
from dataclasses import dataclass
from math import exp

from baycompanion.audit.phases.text_plot import LABEL, MARKED, WIDTH, Across, plot
from baycompanion.audit.phases.times import Chart, PhaseTold, range_points
from baycompanion.spread.control import Rule, Signal
from baycompanion.spread.logs import logs
from baycompanion.spread.silence import Silence
from baycompanion.text.counted import counted
from baycompanion.text.duration import measured_duration


@dataclass(frozen=True, slots=True)
class PlotSize:
    """How many jobs have room, and the rows of the plot of the times and of that of the ranges."""

    jobs: int
    high: int
    low: int

    @property
    def width(self) -> int:
        """The columns of a line at most."""
        return self.jobs + LABEL + 3


PRINTED = PlotSize(WIDTH, 11, 6)
"""For paper and a terminal of 80 columns."""

MOST_SIGNALS = 12
"""Signals that are listed, the newest."""

RANGE: Rule = "range beyond its limit"


def told_lines(told: PhaseTold, size: PlotSize = PRINTED) -> Iterator[str]:
    """Yield the lines about one phase, none wider than `size` but for long names."""
    yield f"{told.title} ({told.phase})"
    for line in figures(told):
        yield from _wrapped(line, size)
    if isinstance(told.chart, Silence):
        yield from _wrapped(why_no_chart(told.chart), size)
        return
    yield from _plots(told, told.chart, size)
    yield from _signals(told, told.chart, size)


def phase_line(told: PhaseTold) -> str:
    """Return a phase in one line of a list: its title, jobs, median and signals."""
    first = next(iter(figures(told))).rpartition(" · ")[0]
    if isinstance(told.chart, Silence):
        return f"{told.title}: {first} · no chart"
    many = len(told.chart.signals)
    return f"{told.title}: {first} · {many or 'no'} signal{'s' if many != 1 else ''}"


def figures(told: PhaseTold) -> Iterator[str]:
    """Yield how many jobs there were, their median and spread, and how they kept the target."""
    first, middle, third = told.quartiles
    jobs = counted(told.jobs, "job")
    half = f"half of them {measured_duration(first)} to {measured_duration(third)}"
    yield " · ".join((jobs, f"median {measured_duration(middle)}", half))
    if told.target is not None:
        yield f"Target {measured_duration(told.target)}: {told.over} of {told.jobs} took longer."
    if told.jobs > len(told.times):
        yield f"All but the target is said of the newest {len(told.times)}."


def why_no_chart(silence: Silence) -> str:
    """Return why there is no chart, in a sentence."""
    if silence.reason == "too few":
        return (
            f"No chart: {silence.values} of the {silence.needed} jobs that limits are drawn from."
        )
    return "No chart: all took the same time, so there is no spread to judge by."


def _plots(told: PhaseTold, chart: Chart, size: PlotSize) -> Iterator[str]:
    """Yield the plot of the times and that of the moving ranges, of the newest jobs."""
    worked, drawn = told.worked, chart.limits
    begin = max(0, len(worked) - size.jobs)
    on_times = {each.index - begin for each in chart.signals if each.rule != RANGE}
    on_ranges = {each.index - begin for each in chart.signals if each.rule == RANGE}
    newest = f", the newest {size.jobs}" if begin else ""
    yield from _wrapped(f"Time worked, oldest to newest{newest}:", size)
    lines = [
        Across(drawn.lower, f"lower {measured_duration(exp(drawn.lower))}", "-"),
        Across(drawn.upper, f"upper {measured_duration(exp(drawn.upper))}", "-"),
        Across(drawn.centre, f"centre {measured_duration(exp(drawn.centre))}", "."),
    ]
    yield from plot(logs(worked)[begin:], lines, on_times, size.high)
    yield f"{'':>{LABEL}} +{'-' * len(worked[begin:])}"
    said = "Moving range, how many times as long as the job before, or as short:"
    yield from _wrapped(said, size)
    lines = [
        Across(0, "same ×1", " "),
        Across(drawn.range_limit, f"limit ×{exp(drawn.range_limit):.2f}", "-"),
        Across(drawn.mean_range, f"mean ×{exp(drawn.mean_range):.2f}", "."),
    ]
    yield from plot(range_points(worked)[begin:], lines, on_ranges, size.low)


def _signals(told: PhaseTold, chart: Chart, size: PlotSize) -> Iterator[str]:
    """Yield the signals by rule and job, the newest first."""
    if not chart.signals:
        yield "  No signals."
        return
    newest = chart.signals[::-1][:MOST_SIGNALS]
    said = f"Signals ({MARKED}), the newest first; each is a question, and no fault by itself:"
    yield from _wrapped(said, size)
    for signal in newest:
        yield from _wrapped(signal_words(told, chart, signal), size, "    ")
    if len(chart.signals) > len(newest):
        yield f"    and {len(chart.signals) - len(newest)} earlier"


def _wrapped(line: str, size: PlotSize, indent: str = "  ") -> list[str]:
    """Return a line in lines that fit; the name of a job stays whole."""
    return textwrap.wrap(
        line,
        size.width - 1,  # a scroll bar beside it takes two
        initial_indent=indent,
        subsequent_indent=f"{indent}  ",
        break_long_words=False,
        break_on_hyphens=False,
    )


def signal_words(told: PhaseTold, chart: Chart, signal: Signal) -> str:
    """Return a signal in words: the job, its time, the rule, and since when."""
    time, first = told.times[signal.index], told.times[signal.first]
    where = ""
    if signal.rule == "eight on one side":
        side = "longer" if time.worked > exp(chart.limits.centre) else "shorter"
        where = f", {side} than the centre since {first.job}"
    elif signal.rule == RANGE:
        where = f", after {measured_duration(first.worked)} in {first.job}"
    return f"{time.job}: {measured_duration(time.worked)}, {signal.rule}{where}"
