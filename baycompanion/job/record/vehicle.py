"""What a job record holds of the vehicle: parts, tray, marks, joins, circuits, the owner's word."""

from typing import Literal

from baycompanion.job.events.carried import Method, PanelMark, PlanFile, PlanLine
from baycompanion.job.record.work import Part


class TrayRecord(Part):
    """Fasteners of one kind that came off one panel, and what of them went back."""

    step: str
    """The step that counted them out."""
    back_step: str | None
    """The step that counted them back; null before."""
    item: str
    panel: str
    kind: str
    """What they are."""
    size: str
    slot: str
    """Where in the tray they lay."""
    added: bool
    """Whether the line was added at the vehicle."""
    out: int | None
    back: int | None
    exchanged: int
    """How many of those that went back are others; the old ones lie with the old parts."""
    exchanged_for: str
    exchanged_why: str
    left: int | None
    """How many did not go back, below zero where more did; null before both are counted."""
    words: str
    """All of it in one line."""


class SplicePlanRecord(Part):
    """The splice plan, with the files it was made from."""

    joins: list[PlanLine]
    left_over: list[PlanLine]
    files: list[PlanFile]


class MarkRecord(Part):
    """One mark of a panel, before and after."""

    before: PanelMark | None
    after: PanelMark | None
    word: Literal["unchanged", "larger", "smaller", "new", "gone"] | None
    """Null where nothing could be compared: not walked again yet, not seen, or told in words."""


class PanelRecord(Part):
    """One panel that is looked over for marks, before the work and after."""

    item: str
    name: str
    group: str
    panel: str | None
    """Its place in the drawing."""
    before: str | None
    """How it was answered: unmarked, marked, not fitted, could not see; null without an answer."""
    before_words: str
    after: str | None
    after_words: str
    word: Literal["unchanged", "better", "worse", "unresolved", "not compared"] | None
    """How it compares; null until it was walked again."""
    marks: list[MarkRecord]


class PartRecord(Part):
    """One part: of the procedure, of the order, or of both."""

    part: str | None
    """Its id in the procedure; null where only the order has it."""
    name: str
    count: int
    ordered: str | None
    """What the order calls it; null where it is not on the order, or there is no order."""
    code: str | None
    outcome: str
    """here, missing, wrong or damaged; empty where nobody has looked."""
    words: str
    serial: str | None


class OwnerWordRecord(Part):
    """What the owner said to the condition sheet before the work."""

    word: Literal["agreed", "refused", "absent"]
    words: str
    """Who and when, or how the owner was told; where `written` is false, why that is not known."""
    written: bool
    at: str
    by: str
    step: str


class DifferenceRecord(Part):
    """A line of the condition sheet that is worse than the earlier job left it."""

    step: str
    """The sheet that it was found at."""
    item: str
    name: str
    """What it is, what it was, what it is now."""
    origin: str | None
    """from our work, from elsewhere, could not tell; null while nobody said."""
    words: str


class CircuitRecord(Part):
    """One circuit of the vehicle that the job taps, splices into or grounds to."""

    number: int
    circuit: str
    place: str
    method: Method
    fuse_a: str | None
    """In A, an exact decimal."""
    load_a: str | None
    """In A, an exact decimal."""
    step: str | None
    at: str
    by: str
    given_back_at: str | None
    given_back_by: str | None
    given_back_words: str


class LoadRecord(Part):
    """What the job adds to one circuit, against its fuse."""

    circuit: str
    added_a: str
    fuse_a: str | None
    over: bool
