"""Two small procedures: one that leaves a condition sheet, and one of a vehicle that came back."""

from baycompanion.job.actions import Accept, Action, Answer, Close, TickRest

_SHEETS = """\
procedure: {name}
title: {title}
revision: 1
fits: Is it this one?
hazards: none
tools: none
parts: none
phases:
  - phase: look
    title: Look
    target: 5 min
    steps:
      - inspect: Try every function.
        id: functions
        of:
          - {{ item: horn, name: Horn }}
          - {{ item: clock, name: Clock }}
          - {{ item: hood, name: Hood release }}
      - inspect: Look over the body.
        id: marks
        looks-for: marks
        of:
          - {{ item: hood, name: Hood, panel: hood }}
          - {{ item: roof, name: Roof, panel: roof }}
"""

LOOK_OVER = _SHEETS.format(name="look-over", title="Look a vehicle over")
COME_BACK = (
    _SHEETS.format(name="comeback", title="Look at what came back")
    + """\
      - do: Say where each difference comes from.
        id: traced
        each: differences
"""
)

ALL_WELL: tuple[Action, ...] = (
    TickRest(tick_rest="functions"),
    Answer(answer="functions"),
    TickRest(tick_rest="marks"),
    Answer(answer="marks"),
)
"""What answers both sheets, as far as nothing was answered before."""

LOOKED_OVER: tuple[Action, ...] = (
    Accept(accept="hazards"),
    *ALL_WELL,
    Close(close="keys back"),
)
"""A whole job by `LOOK_OVER` in which everything is well."""
