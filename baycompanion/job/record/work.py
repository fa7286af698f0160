"""What a job record holds of the work: steps, gates, times, faults, pauses, photos, events."""

from typing import Any, Literal

from pydantic import BaseModel, ConfigDict

from baycompanion.job.events.carried import PanelMark
from baycompanion.job.state.order import StepState
from baycompanion.job.state.words import undone_words

RECORD_FORMAT = 1


class Part(BaseModel):
    """Parent of the pieces of a record."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)


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
    signed: Literal["pin"] | None
    """How a second person showed who they are; null where their id was taken at its word."""
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
    together: bool | None = None
    """Whether one key answered it with others; null where it was answered by itself."""


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

    @property
    def lines_undone(self) -> str:
        """Which lines keep its list from being complete, each with what was said of it."""
        if not self.attempts or self.attempts[-1].outcome != "incomplete":
            return ""
        apart = (line for line in self.lines if line.outcome not in ("done", "here"))
        return "; ".join(undone_words(line.name, line.outcome, line.words) for line in apart)


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
    signed: Literal["pin"] | None
    """How whoever allowed it showed who they are; null where their id was taken at its word."""


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


class SignOnRecord(Part):
    """Somebody took a seat before the job."""

    at: str
    by: str
    role: str
    signed: Literal["pin"] | None
    """How they showed who they are; null where their id was taken at its word."""


class WrongPinRecord(Part):
    """A wrong PIN was given."""

    at: str
    who: str
    """The staff id that it was given for."""
    tries: int
    """Wrong ones in a row, this one included."""


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
