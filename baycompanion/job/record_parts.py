"""What a job record holds: its parts, and their JSON Schema."""

from typing import Any, Literal

from pydantic import BaseModel, ConfigDict

from baycompanion.job.events import PanelMark, PlanFile, PlanLine, Vehicle
from baycompanion.job.order import StepState

RECORD_FORMAT = 1


class Part(BaseModel):
    """Parent of the pieces of a record."""

    model_config = ConfigDict(extra="forbid", frozen=True, use_attribute_docstrings=True)


class ProcedureNamed(Part):
    """Which procedure the job followed."""

    id: str
    title: str
    revision: int
    sha256: str
    """Of the pinned procedure file."""


class AttemptRecord(Part):
    """One answer to a step."""

    event: int
    at: str
    by: str
    meaning: Literal["did", "checked", "released"]
    """What the sign-off means: did the work, found how it is, or let it go on for now."""
    outcome: str
    words: str
    reading: str | None
    """An exact decimal, in the unit beside it."""
    unit: str | None
    limits: str | None
    instrument: str | None
    entries: list[str] | None
    details: dict[str, str] | None
    readings: dict[str, str] | None
    """What a second person found afresh, by the step that it was first found at."""
    claimed: str | None
    """For a late entry, when it is said to have happened."""
    on_paper: bool
    """Whether it was copied from the paper form."""


class LineRecord(Part):
    """One line of a step answered line by line."""

    item: str
    name: str
    outcome: str
    words: str
    count: int | None
    size: str | None
    """Of fasteners: their size, or the kind of the clip."""
    slot: str | None
    """Of fasteners: their place in the tray."""
    exchanged: int | None
    """Of fasteners counted back: how many are others."""
    exchanged_for: str | None
    exchanged_why: str | None
    code: str | None
    """What was read off the label of a part."""
    instrument: str | None
    due: str | None
    marks: list[PanelMark] | None
    """Every mark found on it, where it is looked over for marks."""
    at: str
    by: str
    claimed: str | None
    on_paper: bool


class StepRecord(Part):
    """One step and what came of it."""

    number: int
    id: str
    phase: str
    verb: str
    text: str
    state: StepState
    because: str
    """For a step that does not apply, why."""
    attempts: list[AttemptRecord]
    """Every answer, the first kept beside the later ones."""
    lines: list[LineRecord]
    cautions: int
    cautions_read: int
    fault: int | None
    """The fault that a bad outcome was put down as."""
    reopened: list[str]
    begun_at: str | None
    finished_at: str | None
    worked_seconds: int
    target_seconds: int | None
    shortest_seconds: int | None


class OverrideRecord(Part):
    """One override."""

    gate: str
    at: str
    by: str
    role: str
    reason: str
    words: str
    instead: str
    missing: list[str]


class GateRecord(Part):
    """One gate and how it came to open."""

    id: str
    holds: list[str]
    because: str
    may_override: str
    came_to: Literal[
        "opened by its condition",
        "overridden",
        "held",
        "shut again",
        "not reached",
        "not applicable",
    ]
    at: str | None
    missing: list[str]
    """What it still waits for, or was opened without."""


class PhaseRecord(Part):
    """The time of one phase, in seconds."""

    phase: str
    title: str
    target_seconds: int | None
    worked_seconds: int
    paused_seconds: int
    elapsed_seconds: int
    begun_at: str | None
    last_at: str | None


class PauseRecord(Part):
    """One pause, or change of hands."""

    at: str
    by: str
    reason: str
    loose: str
    first: str
    ended_at: str | None
    ended_by: str | None
    handed_to: str | None
    handed_words: str
    read_back: str


class FaultRecord(Part):
    """One fault."""

    fault: int
    cause: Literal["vehicle", "work"]
    words: str
    step: str | None
    item: str | None
    mark: PanelMark | None
    """The mark on a panel that it is about."""
    at: str
    by: str
    open: bool
    cleared_at: str | None
    cleared_by: str | None
    cleared_words: str


class NoteRecord(Part):
    """One note."""

    at: str
    by: str
    words: str
    step: str | None


class PhotoRecord(Part):
    """One photo."""

    at: str
    by: str
    file: str
    sha256: str
    size: int
    original: str
    step: str | None


class GapRecord(Part):
    """Time the program could not account for, and what it was said to be."""

    since: str
    seconds: int
    how: Literal["left", "slept"]
    meaning: str


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


class CircuitRecord(Part):
    """One circuit of the vehicle that the job taps, splices into or grounds to."""

    number: int
    circuit: str
    place: str
    method: Literal["tap", "splice", "ground"]
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


class RevisionRecord(Part):
    """A move to a newer revision of the procedure, and what it changed."""

    at: str
    by: str
    words: str
    was: int
    was_sha256: str
    revision: int
    added: list[str]
    gone: list[str]
    """Steps that are no more; their answers stand among the events."""
    changed: list[str]
    gates_added: list[str]
    gates_gone: list[str]
    gates_changed: list[str]


class ClockBackRecord(Part):
    """A clock that jumped back."""

    at: str
    seconds: int


class EventRecord(Part):
    """One line of the journal, as it was written."""

    seq: int
    at: str
    by: str
    kind: str
    data: dict[str, Any]
    prev: str
    hash: str


class JobRecord(Part):
    """The record of one job."""

    record: int
    """The format of this document."""
    status: Literal["closed", "abandoned", "provisional"]
    """Provisional: the job was still under way."""
    clean: bool | None
    """Nothing overridden, no deviation, no fault of the work open; null before the end."""
    provisional: list[str]
    """The steps released without a second person, and nobody else has looked at since."""
    job: str
    work_order: str
    vehicle: Vehicle
    procedure: ProcedureNamed
    """The one that it followed at the end, or follows now."""
    revisions: list[RevisionRecord]
    """Earlier revisions that it followed."""
    technician: str
    """In whose hands the job is, or was at the end."""
    people: dict[str, int]
    """Everybody who appears, with the number of events by them."""
    opened_at: str
    accepted_at: str | None
    ended_at: str | None
    ended_words: str
    choices: dict[str, str]
    totals: dict[str, int]
    """How many steps are in each state."""
    phases: list[PhaseRecord]
    steps: list[StepRecord]
    gates: list[GateRecord]
    overrides: list[OverrideRecord]
    faults: list[FaultRecord]
    panels: list[PanelRecord]
    """The body and the cabin before and after, panel by panel, mark by mark."""
    tray: list[TrayRecord]
    """The fastener tray: what came off in the order of the counts, and what went back."""
    order: str | None
    """The number of the order of its parts; null where there was none."""
    parts: list[PartRecord]
    """What this job needs, and then what else is on the order."""
    owner_word: OwnerWordRecord | None
    """What the owner said before the work; null where nobody asked."""
    splice_plan: SplicePlanRecord | None
    """Which lead joins which, as the job went by it."""
    circuits: list[CircuitRecord]
    """The register of borrowed circuits."""
    loads: list[LoadRecord]
    """The load added to each circuit still borrowed."""
    pauses: list[PauseRecord]
    gaps: list[GapRecord]
    clock_backs: list[ClockBackRecord]
    notes: list[NoteRecord]
    photos: list[PhotoRecord]
    events: list[EventRecord]
    last_hash: str
    fingerprint: str
