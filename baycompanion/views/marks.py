"""The place-keeping marks: for each state of a step its sign, its word, and a short word."""

from typing import NamedTuple

from baycompanion.job.order import StepState


class Mark(NamedTuple):
    """How one state is shown; the word says it without colour, the sign at a glance."""

    sign: str
    word: str
    short: str
    """At most four letters, for a narrow list."""


MARKS: dict[StepState, Mark] = {
    "not reached": Mark("·", "not reached", ""),
    "in progress": Mark("▶", "now", "now"),
    "done": Mark("✓", "done", "done"),
    "done with deviation": Mark("!", "deviation", "dev"),
    "not applicable": Mark("–", "not applicable", "n/a"),
    "held": Mark("■", "held", "held"),
    "overridden": Mark("»", "overridden", "over"),
}

GATE_SIGNS = {
    None: ("□", "ahead"),
    "held": ("■", "shut"),
    "open": ("✓", "open"),
    "overridden": ("»", "overridden"),
    "shut again": ("□", "shut again"),
}
"""Sign and word for what has happened at a gate."""
