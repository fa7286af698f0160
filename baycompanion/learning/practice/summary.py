"""What came of a practice: what was caught, what slipped through, what was run into."""

from collections.abc import Sequence
from typing import Literal

from pydantic import BaseModel, ConfigDict

from baycompanion.job.events.event import Event
from baycompanion.job.events.kinds import Cause
from baycompanion.job.events.practice_kinds import NextSaid, RanInto, Unprotected
from baycompanion.job.state.fold import fold_all
from baycompanion.learning.practice.catching import (
    caught_at,
    how_it_slipped,
    put_down_as,
    steps_not_looked_at,
)
from baycompanion.learning.practice.made_up import MadeUpVehicle, make_vehicle
from baycompanion.learning.practice.planting import Planted
from baycompanion.procedure.model import Procedure


class _Kept(BaseModel):
    """Parent of what practice.json holds."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)


class PlantedOutcome(_Kept):
    """What became of one planted fault."""

    fault: str
    name: str
    caught_at: str | None
    """The step at which it was told, None where it slipped through."""
    would_have_caught: tuple[str, ...]
    """The steps at which it shows."""
    cause: Cause
    """What it comes from: it was there before, or the work caused it."""
    put_down_as: Cause | None
    """What it was put down as, where it was put down as a fault at all."""
    slipped: str
    """How it slipped through, in words; empty where it was caught."""


class RunInto(_Kept):
    """A gate, or a standing condition, that a wrong order ran into."""

    step: str
    gate: str | None
    standing: str | None
    because: str
    """Why it stands there, in the words of the procedure."""
    missing: tuple[str, ...]
    """What the gate still waited for, in words."""


class PracticeSummary(_Kept):
    """What came of one practice, as practice.json keeps it."""

    practice: Literal[True]
    id: str
    who: str
    procedure: str
    title: str
    revision: int
    seed: int
    phase: str | None = None
    """The one phase that was practised by itself; what lies before it the program did."""
    begun_at: str
    ended_at: str | None
    planted: tuple[PlantedOutcome, ...]
    ran_into: tuple[RunInto, ...]
    next_right: int
    next_asked: int
    not_looked: tuple[str, ...]
    """The steps that were answered without a look at the made-up vehicle, in their order."""


def summarise(procedure: Procedure, events: Sequence[Event]) -> PracticeSummary:
    """Return what came of the practice by `procedure` whose journal holds `events`."""
    state = fold_all(events)
    opened, practice = state.opened, state.opened.practice
    assert practice is not None
    made = make_vehicle(procedure, practice.seed, practice.faults)
    said = [event.data for event in events if isinstance(event.data, NextSaid)]
    return PracticeSummary(
        practice=True,
        id=opened.job,
        who=state.opened_by,
        procedure=opened.procedure,
        title=opened.title,
        revision=opened.revision,
        seed=practice.seed,
        phase=practice.phase,
        begun_at=state.opened_at,
        ended_at=state.ended_at,
        planted=tuple(_outcome(procedure, made, each, events) for each in made.planted),
        ran_into=tuple(_ran_into(procedure, events)),
        next_right=sum(each.right for each in said),
        next_asked=len(said),
        not_looked=steps_not_looked_at(procedure, events),
    )


def _outcome(
    procedure: Procedure, made: MadeUpVehicle, planted: Planted, events: Sequence[Event]
) -> PlantedOutcome:
    caught = caught_at(procedure, made, planted, events)
    slipped = "" if caught else how_it_slipped(procedure, made, planted, events)
    return PlantedOutcome(
        fault=planted.fault,
        name=planted.name,
        caught_at=caught,
        would_have_caught=planted.steps,
        cause=planted.cause,
        put_down_as=put_down_as(planted, events),
        slipped=slipped,
    )


def _ran_into(procedure: Procedure, events: Sequence[Event]) -> list[RunInto]:
    found = []
    says = {standing.standing: standing.says for standing in procedure.standing}
    for event in events:
        match event.data:
            case RanInto(gate=gate, step=step, missing=missing):
                because = procedure.all_gates[gate].because if gate in procedure.all_gates else ""
                each = RunInto(
                    step=step, gate=gate, standing=None, because=because, missing=tuple(missing)
                )
            case Unprotected(standing=standing, step=step):
                each = RunInto(
                    step=step, gate=None, standing=standing, because=says[standing], missing=()
                )
            case _:
                continue
        if each not in found:
            found.append(each)
    return found
