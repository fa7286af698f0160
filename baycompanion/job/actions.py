"""What a person can do in a job: one model for each action, as screens and scripts spell it."""

from datetime import date
from typing import TYPE_CHECKING, Annotated, Literal, TypeAlias

from pydantic import AfterValidator, AwareDatetime, Field

from baycompanion.job.events.carried import MarkKind, Method
from baycompanion.job.events.chain import LARGEST_INTEGER
from baycompanion.job.events.kinds import Cause
from baycompanion.job.hands_actions import (
    ExplainGap,
    FindGap,
    HandOver,
    PauseWork,
    RefusePin,
    Resume,
    SignOn,
)
from baycompanion.job.practice_actions import LookAt, SayNext, TakeUp
from baycompanion.job.typed import Entry, Words, check_words
from baycompanion.procedure.fields import Id, Line, Number, Span
from baycompanion.procedure.panels import PanelPlace
from baycompanion.text.clean import clean_line
from baycompanion.text.to_model import Written, begun_by


class Later(Written):
    """An entry made after the fact."""

    claimed: AwareDatetime | None = None
    """When it is said to have happened; left out, now."""
    on_paper: bool = False
    """Whether it was written on the paper form then, and is copied from it."""


class Accept(Written):
    """Say that the procedure fits this vehicle and that the hazards of the job were read."""

    accept: Literal["hazards"]


class Acknowledge(Written):
    """Say that a caution of the step in hand was read; without a number, all of them."""

    acknowledge: Id
    caution: Annotated[int, Field(ge=0)] | None = None


class Answer(Later):
    """Answer the step in hand, or finish it once each of its lines is answered."""

    answer: Id
    outcome: (
        Literal[
            "done", "not done", "passed", "failed", "not fitted", "could not test", "provisional"
        ]
        | None
    ) = None
    value: Entry | None = None
    """A reading, words, or the answer to a choice."""
    entries: tuple[Entry, ...] | None = None
    """A list, in order."""
    readings: dict[Id, Entry] = Field(default_factory=dict)
    """What a second person found afresh, by the step that it was first found at."""
    words: Words = ""
    """Why it was not done or not tested, or anything to add."""


class FoundMark(Written):
    """One mark found on a panel."""

    mark: MarkKind
    size_mm: Annotated[int, Field(ge=1, le=9999)] | None = None
    """Its longest extent in mm, 1 to 9999; none where something is missing."""
    place: PanelPlace
    """The field of the panel that it lies in."""
    words: Entry = ""
    photo: Entry = ""
    """A photo of this job: its file name there, or the name that it was handed in under."""


class TickLine(Later):
    """Answer one line of a step."""

    tick: Id
    item: Id
    outcome: (
        Literal[
            "here",
            "missing",
            "wrong",
            "damaged",
            "done",
            "not done",
            "works",
            "faulty",
            "unmarked",
            "marked",
            "could not see",
            "not fitted",
            "could not test",
            "from our work",
            "from elsewhere",
            "could not tell",
        ]
        | None
    ) = None
    value: Entry = ""
    """The answer to the choice that the line settles."""
    count: Annotated[int, Field(ge=0, le=9999)] | None = None
    size: Entry = ""
    """Of fasteners counted out: their size, or the kind of the clip."""
    slot: Entry = ""
    """Of fasteners counted out: their place in the tray."""
    exchanged: Annotated[int, Field(ge=0, le=9999)] | None = None
    """Of fasteners counted back: how many of them are others; left out, as it was said before."""
    exchanged_for: Entry = ""
    """What went in instead of the old ones."""
    exchanged_why: Entry = ""
    words: Entry = ""
    code: Entry = ""
    """What the label of a part says."""
    instrument: Entry = ""
    """Which instrument it is, as its label says."""
    due: date | None = None
    """The date on which its calibration is due."""
    marks: tuple[FoundMark, ...] = ()
    """The marks found; they join those that the line has by now."""


class AddToTray(Later):
    """Count fasteners out that no line foresaw."""

    add_to_tray: Id
    """The step that counts out."""
    panel: Line
    """The panel that they come off."""
    fastener: Line
    """What they are, like Screws of the lower cover."""
    count: Annotated[int, Field(ge=0, le=9999)]
    size: Entry = ""
    """Their size, or the kind of the clip."""
    slot: Entry = ""
    """Their place in the tray."""


class TickRest(Later):
    """Say that all lines not answered yet are well, or those of one group."""

    tick_rest: Id
    group: Entry = ""
    value: Entry = ""
    """The answer to each choice that the lines settle; left out, no."""


class Scan(Later):
    """Tick off the part on the order whose code was read off its label; one of several counts."""

    scan: Id
    """The step that ticks off the parts."""
    code: Annotated[Line, AfterValidator(clean_line)]


class SetWait(Written):
    """Enter how long a wait lasts for this vehicle, with where the figure comes from."""

    set_wait: Id
    lasts: Span
    source: Line


class Settle(Written):
    """Put a bad outcome down as a fault and leave the step behind."""

    settle: Id
    cause: Cause
    words: Line


class Note(Written):
    """Write a note on the step in hand."""

    note: Annotated[str, AfterValidator(check_words), Field(min_length=1)]


class AddPhoto(Written):
    """Say that a photo was copied into the job."""

    photo: Entry
    """Its file name in the job's folder."""
    sha256: Annotated[str, Field(pattern="^[0-9a-f]{64}$")]
    size: Annotated[int, Field(ge=1, le=LARGEST_INTEGER)]
    original: Entry


class RaiseFault(Written):
    """Say that something was found wrong."""

    fault: Line
    cause: Cause


class ClearFault(Written):
    """Say that a fault was put right."""

    clear: Annotated[int, Field(ge=1)]
    words: Line


class Borrow(Written):
    """Write down a tap, splice or ground made on the vehicle."""

    borrow: Line
    """The circuit, as the vehicle's fuse list calls it."""
    place: Line
    """Where on the vehicle it is."""
    method: Method
    fuse_a: Number | None = None
    """The fuse that protects the circuit, in A; refused for a ground."""
    load_a: Number | None = None
    """The load that it adds, in A; refused for a ground, which adds none."""


class GiveBack(Written):
    """Say that a borrowed circuit is as it was before."""

    give_back: Annotated[int, Field(ge=1)]
    """Its number in the register."""
    words: Line


class PlannedLine(Written):
    """One join of a splice plan, or one lead that is left over."""

    item: Id
    name: Line


class PlannedFrom(Written):
    """A connector file that a splice plan was made from."""

    file: Line
    sha256: Annotated[str, Field(pattern="^[0-9a-f]{64}$")]


class PlanSplices(Written):
    """Give the job its splice plan, in place of the one it had."""

    splice_plan: tuple[PlannedLine, ...]
    """The joins."""
    left_over: tuple[PlannedLine, ...]
    """The leads that are insulated one by one."""
    files: tuple[PlannedFrom, ...]


class Reopen(Written):
    """Do a finished step again."""

    reopen: Id
    reason: Line


class Confirm(Written):
    """Say whether a standing condition held until its end."""

    confirm: Id
    held: bool
    words: Words = ""


class Override(Written):
    """Open a shut gate with authority."""

    override: Id
    reason: Line
    """One of the shop's reasons."""
    words: Line
    instead: Line
    """What protects in place of the condition."""


class Abandon(Written):
    """Give the job up."""

    abandon: Line


class Close(Written):
    """Finish the job."""

    close: Literal["keys back"]


ACTIONS = (
    Accept,
    Acknowledge,
    Answer,
    TickLine,
    AddToTray,
    TickRest,
    Scan,
    SetWait,
    Settle,
    Note,
    AddPhoto,
    RaiseFault,
    ClearFault,
    Borrow,
    GiveBack,
    PlanSplices,
    PauseWork,
    Resume,
    FindGap,
    ExplainGap,
    Reopen,
    Confirm,
    Override,
    HandOver,
    SignOn,
    RefusePin,
    SayNext,
    TakeUp,
    LookAt,
    Abandon,
    Close,
)
if TYPE_CHECKING:
    Action: TypeAlias = (
        Accept
        | Acknowledge
        | Answer
        | TickLine
        | AddToTray
        | TickRest
        | Scan
        | SetWait
        | Settle
        | Note
        | AddPhoto
        | RaiseFault
        | ClearFault
        | Borrow
        | GiveBack
        | PlanSplices
        | PauseWork
        | Resume
        | FindGap
        | ExplainGap
        | Reopen
        | Confirm
        | Override
        | HandOver
        | SignOn
        | RefusePin
        | SayNext
        | TakeUp
        | LookAt
        | Abandon
        | Close
    )
else:
    Action = begun_by("action", ACTIONS)
