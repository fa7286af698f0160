"""The place-keeping marks: for each state of a step its sign, its word, and a short word."""

from typing import NamedTuple

from baycompanion.job.state.order import StepState


class Mark(NamedTuple):
    """How one state is shown; the word says it without colour, the sign at a glance."""

    sign: str
    word: str
    short: str
    """For a narrow list: four letters at most, but nothing stands for an override."""


MARKS: dict[StepState, Mark] = {
    "not reached": Mark("·", "not reached", ""),
    "in progress": Mark("▶", "now", "now"),
    "done": Mark("✓", "done", "done"),
    "done with deviation": Mark("!", "deviation", "dev"),
    "not applicable": Mark("–", "not applicable", "n/a"),
    "held": Mark("■", "held", "held"),
    "overridden": Mark("»", "overridden", "overridden"),
}

GATE_SIGNS = {
    None: ("□", "ahead"),
    "held": ("■", "shut"),
    "open": ("✓", "open"),
    "overridden": ("»", "overridden"),
    "shut again": ("□", "shut again"),
}
"""Sign and word for what has happened at a gate."""
