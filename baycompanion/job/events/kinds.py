"""What can happen in a job: the kinds of event, and what each carries.

A kind is a stable word in the files of every shop; it is never renamed, only joined by others.
"""

import inspect
import sys
from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from baycompanion.job.events import hands_kinds, practice_kinds
from baycompanion.job.events.carried import (
    EarlierJob,
    Method,
    PanelMark,
    PartsOrdered,
    PlanFile,
    PlanLine,
    Practice,
    Vehicle,
)
from baycompanion.job.events.data import Data

FORMAT = 1
"""The format of journals written now; the first event carries it."""

Weight = Literal["good", "neutral", "bad"]
"""Good opens gates; neutral is finished with a deviation; bad stops on the step until settled."""

Cause = Literal["vehicle", "work"]
"""Where a fault comes from: it was there before, or the work caused it."""


def _in_order(details: dict[str, str]) -> dict[str, str]:
    """Return `details` in the order in which the journal keeps them, before and after it did."""
    return dict(sorted(details.items()))


class Opened(Data):
    """The job began: keys in."""

    kind = "opened"
    format: int = FORMAT
    job: str
    procedure: str
    title: str
    revision: int
    procedure_hash: str
    work_order: str
    vehicle: Vehicle
    role: str
    figures: Annotated[dict[str, str], AfterValidator(_in_order)] | None = None
    """What the shop gave to the sums of the job: its splice caps, its radio region."""
    order: PartsOrdered | None = None
    """The order of its parts, where there is one to hold them against."""
    signed: Literal["pin"] | None = None
    """How whoever took the keys showed who they are."""
    mentor: str | None = None
    """Who stands beside a trainee."""
    practice: Practice | None = None
    """That it is practice on a made-up vehicle, which counts nowhere."""
    earlier: EarlierJob | None = None
    """The earlier job that the vehicle comes back from."""


class HazardsAccepted(Data):
    """The technician says that the procedure fits, and has read the hazards of the whole job."""

    kind = "hazards-accepted"
    count: int


class Begun(Data):
    """A step became the one in hand."""

    kind = "begun"
    step: str
    phase: str
    taken_up: bool | None = None
    """True where it was taken up out of its place, in practice."""


class Acknowledged(Data):
    """A caution of a step was read."""

    kind = "acknowledged"
    step: str
    caution: int
    """Its place among the cautions of the step, counted from 0."""


class Answered(Data):
    """A step was answered; a bad outcome leaves it in hand."""

    kind = "answered"
    step: str
    outcome: str
    weight: Weight
    words: str = ""
    """What was typed, chosen, or the reason given."""
    number: str | None = None
    """A reading as an exact decimal."""
    unit: str | None = None
    limits: str | None = None
    """The limits in force, in words."""
    instrument: str | None = None
    entries: list[str] | None = None
    """A list, in order."""
    details: Annotated[dict[str, str], AfterValidator(_in_order)] | None = None
    """Inputs and results of a sum, or how each line of a sheet compares."""
    readings: Annotated[dict[str, str], AfterValidator(_in_order)] | None = None
    """What a second person found afresh, by the step that it was first found at."""
    signed: Literal["pin"] | None = None
    """How a second person showed who they are."""
    settles: str | None = None
    """The choice that this answer settles."""
    settled: Annotated[dict[str, str], AfterValidator(_in_order)] | None = None
    """The choices that it settles together, each with its answer."""
    claimed: str | None = None
    """For a late entry, when it is said to have happened."""
    on_paper: bool | None = None
    """True where it is copied from the paper form."""


class Ticked(Data):
    """One line of a step was answered."""

    kind = "ticked"
    step: str
    item: str
    outcome: str
    weight: Weight
    words: str = ""
    count: int | None = None
    size: str | None = None
    """Of fasteners counted out: their size, or the kind of the clip."""
    slot: str | None = None
    """Of fasteners counted out: their place in the tray."""
    exchanged: int | None = None
    """Of fasteners counted back: how many are others; the old ones lie with the old parts."""
    exchanged_for: str | None = None
    """What went in instead of the old ones."""
    exchanged_why: str | None = None
    code: str | None = None
    """What was read off the label of a part."""
    instrument: str | None = None
    due: str | None = None
    """The date on which the instrument's calibration is due."""
    marks: list[PanelMark] | None = None
    """Every mark on a panel, as known by now."""
    together: bool | None = None
    """True where one key answered it with others: all of a group, or all that was left."""
    claimed: str | None = None
    """For a late entry, when it is said to have happened."""
    on_paper: bool | None = None
    """True where it is copied from the paper form."""


class TrayLineAdded(Data):
    """A count out has a line that its procedure does not foresee."""

    kind = "tray-line-added"
    step: str
    item: str
    """Its name beside those of the file: t1, t2 and so on."""
    panel: str
    name: str
    size: str | None = None
    slot: str | None = None


class WaitSet(Data):
    """How long a wait lasts for this vehicle, and where the figure comes from."""

    kind = "wait-set"
    step: str
    seconds: int
    source: str


class Settled(Data):
    """A bad outcome was put down as a fault, and the step left behind."""

    kind = "settled"
    step: str
    fault: int


class GateHeld(Data):
    """The job arrived at a shut gate."""

    kind = "gate-held"
    gate: str
    step: str
    missing: list[str]


class GateOpened(Data):
    """The job arrived at a gate whose conditions are met."""

    kind = "gate-opened"
    gate: str
    step: str


class GateShutAgain(Data):
    """A gate that was open rests on a step that was reopened, or is changed by a newer revision."""

    kind = "gate-shut-again"
    gate: str
    step: str
    """The step that was reopened; of a gate that is another now, the one it held."""


class Overridden(Data):
    """A shut gate was opened with authority."""

    kind = "overridden"
    gate: str
    role: str
    reason: str
    words: str
    instead: str
    """What protects in place of the condition."""
    missing: list[str]
    steps: list[str]
    """The steps that the gate was still waiting for."""
    signed: Literal["pin"] | None = None
    """How whoever allowed it showed who they are."""


class Noted(Data):
    """A note."""

    kind = "noted"
    words: str
    step: str | None = None


class PhotoAdded(Data):
    """A photo was copied into the job."""

    kind = "photo-added"
    file: str
    sha256: str
    size: int
    original: str
    step: str | None = None


class FaultRaised(Data):
    """Something was found wrong."""

    kind = "fault-raised"
    fault: int
    cause: Cause
    words: str
    step: str | None = None
    item: str | None = None
    mark: PanelMark | None = None
    """The mark that it is about."""


class FaultCleared(Data):
    """A fault was put right."""

    kind = "fault-cleared"
    fault: int
    words: str


class CircuitBorrowed(Data):
    """A tap, splice or ground was made on the vehicle."""

    kind = "circuit-borrowed"
    number: int
    circuit: str
    place: str
    method: Method
    fuse_a: str | None = None
    """The rating of the fuse that protects it, in A, as an exact decimal."""
    load_a: str | None = None
    """The load added, in A, as an exact decimal."""
    step: str | None = None


class CircuitGivenBack(Data):
    """A borrowed circuit is as it was before."""

    kind = "circuit-given-back"
    number: int
    words: str


class SplicePlanned(Data):
    """The job has a splice plan: which lead joins which, and which are left over."""

    kind = "splice-planned"
    joins: list[PlanLine]
    left_over: list[PlanLine]
    files: list[PlanFile]


class Reopened(Data):
    """A finished step is to be done again."""

    kind = "reopened"
    step: str
    reason: str
    lines_kept: bool | None = None
    """True where its lines keep their answers, and only those that are new are asked."""


class Revised(Data):
    """The job goes on by a newer revision of its procedure; what this changes is listed."""

    kind = "revised"
    title: str
    was: int
    revision: int
    procedure_hash: str
    words: str
    """Why."""
    added: list[str]
    gone: list[str]
    changed: list[str]
    phases_gone: list[str]
    gates_added: list[str]
    gates_gone: list[str]
    gates_changed: list[str]
    hazards: bool
    """Whether the hazards of the whole job are others, and are accepted anew."""


class StandingAsked(Data):
    """A standing condition was asked about at its end."""

    kind = "standing-asked"
    standing: str
    held: bool
    words: str = ""


class Abandoned(Data):
    """The job is given up."""

    kind = "abandoned"
    reason: str


class Closed(Data):
    """The job is finished: keys back."""

    kind = "closed"
    clean: bool
    """No gate overridden, no step with a deviation, no fault of the work open."""
    provisional: list[str] = Field([])
    """The steps released without a second person, who is still to look."""


KINDS: dict[str, type[Data]] = {
    kind.kind: kind
    for module in (sys.modules[__name__], hands_kinds, practice_kinds)
    for _, kind in inspect.getmembers(module, inspect.isclass)
    if issubclass(kind, Data) and kind is not Data
}
"""Every kind of event that a journal can hold, by the stable word for it."""
