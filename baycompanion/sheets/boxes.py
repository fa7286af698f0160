"""The boxes of a step that is answered by one word."""

from baycompanion.job.events.kinds import Answered
from baycompanion.sheets.form import Box

NEED_REASON = ("not done", "could not test", "provisional")
"""Answers to a step that say nothing without a reason."""


def boxes(last: Answered | None, *outcomes: str) -> tuple[Box, ...]:
    """Return a box for each of `outcomes`, the one of the newest answer ticked."""
    return tuple(_box(last, outcome) for outcome in outcomes)


def _box(last: Answered | None, outcome: str) -> Box:
    ticked = last is not None and last.outcome == outcome
    given = last.words if last is not None and ticked else ""
    return Box(outcome, ticked, reason=given if outcome in NEED_REASON else None)
