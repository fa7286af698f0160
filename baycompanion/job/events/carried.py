"""What an event carries besides words: a vehicle, an order, a mark, a plan, an earlier job."""

from typing import Literal

from pydantic import BaseModel, ConfigDict

from baycompanion.procedure.panels import PanelPlace


class Vehicle(BaseModel):
    """The vehicle of one job."""

    model_config = ConfigDict(extra="forbid", frozen=True)
    description: str
    vin: str = ""
    plate: str = ""


class OrderedPart(BaseModel):
    """One line of an order of parts."""

    model_config = ConfigDict(extra="forbid", frozen=True)
    name: str
    part: str | None = None
    """The part of the procedure that it is."""
    code: str | None = None
    """What its label says."""
    count: int = 1


class PartsOrdered(BaseModel):
    """The order that the parts of a job came by."""

    model_config = ConfigDict(extra="forbid", frozen=True)
    order: str
    """Its number."""
    parts: list[OrderedPart]


MarkKind = Literal["scratch", "dent", "chip", "crack", "stain", "tear", "worn", "missing", "other"]
"""What a mark is, in the trade's own words; `other` is told in words."""


class Practice(BaseModel):
    """That a job is practice, on a vehicle that is made up."""

    model_config = ConfigDict(extra="forbid", frozen=True)
    seed: int
    """What the vehicle and its faults are drawn from: the same seed gives the same."""
    faults: int
    """How many faults were asked for, 0 or more; some procedures have room for fewer."""
    phase: str | None = None
    """The one phase that is practised by itself; what lies before it is done by the program."""


class PanelMark(BaseModel):
    """One mark on a panel."""

    model_config = ConfigDict(extra="forbid", frozen=True)
    mark: MarkKind
    size_mm: int | None = None
    """Its longest extent in mm; none where something is missing."""
    place: PanelPlace
    words: str = ""
    photo: str | None = None
    """The file name of its photo, which was copied into the job."""


class PlanLine(BaseModel):
    """One join of a splice plan, or one lead that is left over."""

    model_config = ConfigDict(extra="forbid", frozen=True)
    item: str
    """Its name, the same wherever the plan comes from the same connectors."""
    name: str
    """What is joined, in words."""


class PlanFile(BaseModel):
    """A connector file that a splice plan was made from."""

    model_config = ConfigDict(extra="forbid", frozen=True)
    file: str
    sha256: str


class EarlierLine(BaseModel):
    """One line of a condition sheet, as it stood when the earlier job was left."""

    model_config = ConfigDict(extra="forbid", frozen=True)
    item: str
    name: str
    outcome: str
    words: str = ""
    marks: list[PanelMark] | None = None


Remark = Literal["override", "deviation", "fault", "circuit", "lead"]
"""What an earlier job can have left behind: a gate opened with authority, a step not done as it
should be, a fault still open, a borrowed circuit, a lead that joins nothing."""


Method = Literal["tap", "splice", "ground"]
"""How a circuit of the vehicle is used."""


class EarlierRemark(BaseModel):
    """One thing that the earlier job left behind, in words."""

    model_config = ConfigDict(extra="forbid", frozen=True)
    kind: Remark
    words: str
    gate: str | None = None
    """The gate that was opened."""


class EarlierJob(BaseModel):
    """An earlier job on the same vehicle, as the job that it comes back in keeps it."""

    model_config = ConfigDict(extra="forbid", frozen=True)
    job: str
    last_hash: str
    """Of its journal when this was taken from it."""
    work_order: str
    vehicle: Vehicle
    procedure: str
    title: str
    revision: int
    technician: str
    status: Literal["closed", "abandoned"]
    ended_at: str
    lines: list[EarlierLine]
    """Every line of its condition sheets, by its last answer."""
    left: list[EarlierRemark]
