"""How long the phases took as one HTML page to print, with both charts of each phase drawn."""

from datetime import datetime
from itertools import groupby
from typing import Any

from baycompanion.audit.choice import Choice
from baycompanion.audit.phases.chart import figures, signal_words, why_no_chart
from baycompanion.audit.phases.drawing import (
    LETTERS,
    MOST_DRAWN,
    WIDTH,
    draw_ranges,
    draw_times,
)
from baycompanion.audit.phases.reading import PhasesRead
from baycompanion.audit.phases.times import PhaseTold
from baycompanion.sheets.page import fill
from baycompanion.spread.silence import Silence
from baycompanion.text.counted import counted


def phase_page(seen: PhasesRead, choice: Choice, when: datetime) -> str:
    """Return the page; no script, nothing fetched, and every text in it is shown as text.

    `choice` is to what the jobs were narrowed, `when` the time in UTC at which it is made.
    """
    many = len({each.shop for each in seen.told}) > 1
    form = {
        "when": f"Made {when:%Y-%m-%d %H:%M} UTC",
        "jobs": counted(seen.jobs, "closed job"),
        "only": choice.words,
        "width": WIDTH,
        "revisions": [
            (f"{f'{shop} · ' if many else ''}{named}, revision {revision}", [*map(_phase, phases)])
            for (shop, named, revision), phases in groupby(
                seen.told, key=lambda each: (each.shop, each.procedure, each.revision)
            )
        ],
        "unread": seen.unread,
    }
    return fill("phase_times.html", form, f"Phase times, {when:%Y-%m-%d}")


def _phase(told: PhaseTold) -> dict[str, Any]:
    head = {"title": told.title, "phase": told.phase, "figures": list(figures(told))}
    if isinstance(told.chart, Silence):
        return {**head, "charts": [], "why": why_no_chart(told.chart), "signals": []}
    left_out = len(told.times) > MOST_DRAWN
    newest = f" The newest {MOST_DRAWN} are drawn." if left_out else ""
    return {
        **head,
        "why": "",
        "charts": [
            (f"Time worked, oldest to newest.{newest}", draw_times(told, told.chart)),
            (
                "Moving range: how many times as long as the job before, or as short.",
                draw_ranges(told, told.chart),
            ),
        ],
        "signals": [
            (LETTERS[signal.rule], signal_words(told, told.chart, signal))
            for signal in reversed(told.chart.signals)
        ],
    }
