"""The paper form as plain values: what is printed, what is ticked, what is left to write in."""

from dataclasses import dataclass, field
from datetime import datetime

from baycompanion.job.events.kinds import Answered
from baycompanion.job.state.state import State
from baycompanion.procedure.cautions import Signal
from baycompanion.procedure.model import Procedure


@dataclass(frozen=True, slots=True)
class Source:
    """What a form is made from; `when` carries the zone in which every time is written."""

    procedure: Procedure
    state: State
    when: datetime
    hidden: frozenset[str] = frozenset()
    """The steps whose answers a second person is finding afresh, without seeing them."""

    def last(self, step: str) -> Answered | None:
        """Return the answer that stands at `step`, unless nobody may see it now."""
        return None if step in self.hidden else self.state.track(step).last


@dataclass(frozen=True, slots=True)
class Stamp:
    """When something was done and by whom; what is empty is left to write in."""

    at: str = ""
    by: str = ""
    by_label: str = "by"
    at_label: str = "Done at"


@dataclass(frozen=True, slots=True)
class Box:
    """One box to tick."""

    word: str
    ticked: bool = False
    then: str = ""
    """What follows from it."""
    reason: str | None = None
    """The reason given, empty where one is to be written; None where it takes none."""


@dataclass(frozen=True, slots=True)
class Blank:
    """One line to write on; `written` is what stands on it already."""

    label: str
    written: str = ""
    unit: str = ""
    wide: bool = False


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a list."""

    text: str
    boxes: tuple[Box, ...] = ()
    counts: tuple[str, ...] = ()
    """How many, where it is counted; empty text is left to write in."""
    group: str = ""
    """The heading above it, where it is the first below one."""
    note: str = ""
    """When it applies, or why it does not."""
    words: str = ""
    blanks: tuple[Blank, ...] = ()


@dataclass(frozen=True, slots=True)
class Lines:
    """The lines of a step in two columns, with what heads their boxes."""

    heads: tuple[str, ...]
    columns: tuple[tuple[Line, ...], ...]
    wanting_words: tuple[str, ...] = ()
    """The answers that say nothing without a few words."""


@dataclass(frozen=True, slots=True)
class Ask:
    """What a step asks for, as its verb takes it."""

    says: tuple[str, ...] = ()
    blanks: tuple[Blank, ...] = ()
    boxes: tuple[Box, ...] = ()
    lines: Lines | None = None
    fine_print: tuple[str, ...] = ()
    outline: bool = False
    """Whether marks are drawn into an outline of the vehicle."""
    can_be_bad: bool = False
    stamp_label: str = "by"


@dataclass(frozen=True, slots=True)
class CautionPart:
    """A caution whole; `read` is None where it needs no mark of having been read."""

    signal: Signal
    hazard: str
    consequence: str
    avoid: str
    read: bool | None


@dataclass(frozen=True, slots=True)
class Asked:
    """A standing condition, asked a last time before the step that ends it."""

    says: str
    ask: str
    boxes: tuple[Box, ...]


@dataclass(frozen=True, slots=True)
class Need:
    """One thing that a gate waits for; deeper ones belong to the one above them."""

    depth: int
    words: str


@dataclass(frozen=True, slots=True)
class GatePart:
    """A gate before the step that it holds."""

    name: str
    holds: str
    standing: str
    because: str = ""
    until: tuple[Need, ...] = ()
    waits_for: tuple[str, ...] = ()
    """What is still missing, in a job that has come this far."""
    note: str = ""
    """When it applies, or why it does not."""
    may: str = ""
    opened: Stamp | None = None
    override: Stamp | None = None
    """None where nobody may."""
    open: bool = False
    overridden: bool = False
    blanks: tuple[Blank, ...] = ()
    """Reason, words, and what protects instead, of the override."""
    again: str = ""
    """Where it stands in full, if that is further up."""


@dataclass(frozen=True, slots=True)
class StepPart:
    """One step with everything it carries."""

    number: int
    verb: str
    text: str
    state: str = ""
    note: str = ""
    """When it applies, or why it does not."""
    applies: bool = True
    gates: tuple[GatePart, ...] = ()
    cautions: tuple[CautionPart, ...] = ()
    asked: tuple[Asked, ...] = ()
    carried: tuple[tuple[str, str], ...] = ()
    """A label and what it labels: tools, torque, limits, photo."""
    details: tuple[str, ...] = ()
    ask: Ask = field(default_factory=Ask)
    photo: Box | None = None
    """Whether the picture that belongs to it was taken."""
    bad: tuple[Box, ...] = ()
    """What can follow from a bad answer."""
    earlier: tuple[str, ...] = ()
    """Answers that count no more, reasons for reopening, notes."""
    begins: tuple[str, ...] = ()
    stamp: Stamp = field(default_factory=Stamp)


@dataclass(frozen=True, slots=True)
class PhasePart:
    """A phase with its steps."""

    title: str
    target: str
    note: str
    steps: tuple[StepPart, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """Something that is written down line by line at the end, with blank rows to go on."""

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    blank_rows: int


@dataclass(frozen=True, slots=True)
class Form:
    """The whole paper form."""

    title: str
    running: str
    """What stands at the top of every page, so that a loose one is told whose it is."""
    facts: tuple[Blank, ...]
    explained: tuple[str, ...]
    stands: tuple[tuple[str, str], ...]
    """Where the job stands: a label and what it labels; empty on a form without a job."""
    fits: str
    hazards: tuple[CautionPart, ...]
    accepted: Stamp
    fitting: bool
    standing: tuple[str, ...]
    phases: tuple[PhasePart, ...]
    for_the_owner: tuple[Line, ...]
    """What the owner is told when the keys go back."""
    ending: str
    """What comes after the last step; empty where the job has ended."""
    tables: tuple[Table, ...]
