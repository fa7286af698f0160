"""The record of one job, whole, and its JSON Schema."""

from typing import Literal

from baycompanion.job.events.carried import EarlierJob, Vehicle
from baycompanion.job.record.vehicle import (
    CircuitRecord,
    DifferenceRecord,
    LoadRecord,
    OwnerWordRecord,
    PanelRecord,
    PartRecord,
    SplicePlanRecord,
    TrayRecord,
)
from baycompanion.job.record.work import (
    ClockBackRecord,
    EventRecord,
    FaultRecord,
    GapRecord,
    GateRecord,
    NoteRecord,
    OverrideRecord,
    Part,
    PauseRecord,
    PhaseRecord,
    PhotoRecord,
    ProcedureNamed,
    RevisionRecord,
    SignOnRecord,
    StepRecord,
    WrongPinRecord,
)


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
    mentor: str | None
    """Who stands, or stood, beside the technician, a trainee."""
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
    earlier: EarlierJob | None
    """The earlier job that the vehicle came back from; null where it did not."""
    differences: list[DifferenceRecord]
    """What was worse when it came in than the earlier job left it, and where that comes from."""
    splice_plan: SplicePlanRecord | None
    """Which lead joins which, as the job went by it."""
    circuits: list[CircuitRecord]
    """The register of borrowed circuits."""
    loads: list[LoadRecord]
    """The load added to each circuit still borrowed."""
    pauses: list[PauseRecord]
    gaps: list[GapRecord]
    sign_ons: list[SignOnRecord]
    wrong_pins: list[WrongPinRecord]
    clock_backs: list[ClockBackRecord]
    notes: list[NoteRecord]
    photos: list[PhotoRecord]
    events: list[EventRecord]
    last_hash: str
    fingerprint: str
