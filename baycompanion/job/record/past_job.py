"""What a job that has ended says of its times: the first fields of its record, no more."""

from typing import Literal

from pydantic import BaseModel, ConfigDict

from baycompanion.job.record.work import PhaseRecord, ProcedureNamed


class PastJob(BaseModel):
    """A job that has ended, as its record tells of it before it comes to the steps."""

    model_config = ConfigDict(extra="ignore", frozen=True, defer_build=True)

    record: Literal[1]
    status: Literal["closed", "abandoned", "provisional"]
    job: str
    procedure: ProcedureNamed
    people: dict[str, int]
    ended_at: str | None
    phases: list[PhaseRecord]

    @property
    def whole(self) -> bool:
        """Whether its times count: it was closed, and none of them lies below 0."""
        times = (phase.worked_seconds for phase in self.phases)
        return self.status == "closed" and self.ended_at is not None and min(times, default=0) >= 0

    @property
    def worked(self) -> dict[str, int]:
        """The seconds worked in each phase that applied, in the order of the phases."""
        return {phase.phase: phase.worked_seconds for phase in self.phases}
