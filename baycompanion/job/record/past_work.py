"""What a job that has ended says of its work: the parts of its record that tell who did what."""

from typing import Literal

from pydantic import BaseModel, ConfigDict

from baycompanion.job.record.work import (
    FaultRecord,
    OverrideRecord,
    ProcedureNamed,
    RevisionRecord,
    StepRecord,
)


class PastWork(BaseModel):
    """A job that has ended, as its record tells how each step was answered."""

    model_config = ConfigDict(extra="ignore", frozen=True, defer_build=True)

    record: Literal[1]
    status: Literal["closed", "abandoned"]
    procedure: ProcedureNamed
    revisions: list[RevisionRecord]
    ended_at: str
    steps: list[StepRecord]
    overrides: list[OverrideRecord]
    faults: list[FaultRecord]
