"""The procedure: phases of steps, the gates that hold them, and what the job needs."""

from collections.abc import Iterator
from functools import cached_property
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from baycompanion.procedure.conditions import Condition, OnBench
from baycompanion.procedure.fields import LONGEST_ID, Day, Id, Line, Some, Span
from baycompanion.procedure.steps import AnyCaution, Applying, Count, Do, Ids, Inspect, Item, Step
from baycompanion.text.to_model import Written

Override = Literal["technician", "supervisor", "nobody"]

BENCH_GATE = "on-bench-for-"
"""Begins the name of the gate that every phase gets which needs tools or parts on the bench."""


def _none_is_empty(value: Any) -> Any:
    """Let the word `none` stand where nothing is needed: it is written, never implied."""
    return [] if value == "none" else value


def _or_none(items: Any) -> BeforeValidator:
    """Return what lets `none` stand in place of `items`, which is what the JSON Schema shows."""
    return BeforeValidator(_none_is_empty, json_schema_input_type=Literal["none"] | items)


class Choice(Written):
    """A fact about this vehicle that switches steps on or off."""

    choice: Id
    title: Line
    answers: Annotated[tuple[Id, ...], Some] = ("yes", "no")


class Tool(Written):
    """A tool, and the phase before which it must lie on the bench."""

    tool: Id
    name: Line
    by: Id | None = None
    instrument: bool = False
    """A meter or torque tool: named with the date its calibration is due."""


class Part(Written):
    """A part from the work order, and the phase before which it must lie on the bench."""

    part: Id
    name: Line
    count: Annotated[int, Field(ge=1, le=9999)] = 1
    by: Id | None = None


class Standing(Written):
    """Something that must stay true from the end of one step to the start of another."""

    standing: Id
    says: Line
    """The condition, like The battery stays off."""
    begins: Id
    """The step whose finish begins it."""
    ends: Id
    """The step before which it is asked a last time."""
    ask: Line
    """The question put at the end."""


class Phase(Applying):
    """A timed stretch of steps."""

    phase: Id
    title: Line
    target: Span | None = None
    steps: Annotated[tuple[Step, ...], Some]


class Gate(Applying):
    """A condition that holds a phase or a step shut until it is met."""

    gate: Id
    holds: Ids
    until: Annotated[tuple[Condition, ...], Some]
    because: Line
    override: Override


class Procedure(Written):
    """One whole procedure, as its file says it."""

    procedure: Id
    title: Line
    revision: Annotated[int, Field(ge=1, le=999_999)]
    author: Line | None = None
    """The staff id of whoever wrote this revision."""
    date: Day | None = None
    source: Line | None = None
    """What the procedure was written from."""
    changes: tuple[Line, ...] = ()
    """What is new in this revision."""
    fits: Line
    """Which vehicles and work it fits, put as a question before the first step."""
    hazards: Annotated[tuple[AnyCaution, ...], _or_none(list[AnyCaution])]
    """The hazards of the whole job, accepted before the first step."""
    choices: tuple[Choice, ...] = ()
    tools: Annotated[tuple[Tool, ...], _or_none(list[Tool])]
    parts: Annotated[tuple[Part, ...], _or_none(list[Part])]
    standing: tuple[Standing, ...] = ()
    phases: Annotated[tuple[Phase, ...], Some]
    gates: tuple[Gate, ...] = ()

    @cached_property
    def steps(self) -> dict[str, Step]:
        """Every step by its id, in order."""
        return {step.id: step for phase in self.phases for step in phase.steps}

    @cached_property
    def number(self) -> dict[str, int]:
        """The place of every step in the whole order, counted from 1."""
        return {name: number for number, name in enumerate(self.steps, start=1)}

    @cached_property
    def phase_of(self) -> dict[str, Phase]:
        """The phase of every step."""
        return {step.id: phase for phase in self.phases for step in phase.steps}

    @cached_property
    def phase_named(self) -> dict[str, Phase]:
        """Every phase by its id."""
        return {phase.phase: phase for phase in self.phases}

    @cached_property
    def all_gates(self) -> dict[str, Gate]:
        """Every gate by its id: those written, and one for each phase that needs things staged."""
        return {gate.gate: gate for gate in (*self._bench_gates(), *self.gates)}

    @cached_property
    def gates_on(self) -> dict[str, tuple[Gate, ...]]:
        """The gates that hold each step, by itself or with its phase."""
        return {
            step.id: tuple(
                gate
                for gate in self.all_gates.values()
                if step.id in gate.holds or phase.phase in gate.holds
            )
            for phase in self.phases
            for step in phase.steps
        }

    @cached_property
    def staging(self) -> dict[str, tuple[str, ...]]:
        """The steps that tick off the tools, and those that tick off the parts."""
        return {
            what: tuple(
                step.id
                for step in self.steps.values()
                if isinstance(step, Do) and step.each == what
            )
            for what in ("tools", "parts")
        }

    def needed_by(self, phase: str) -> dict[str, tuple[str, ...]]:
        """Return the tools and the parts that must be on the bench before `phase`."""
        return {
            "tools": tuple(tool.tool for tool in self.tools if tool.by == phase),
            "parts": tuple(part.part for part in self.parts if part.by == phase),
        }

    def items_of(self, step: Step) -> tuple[Item, ...]:
        """Return the lines that `step` is answered by, none for a step answered whole."""
        if isinstance(step, Do):
            if step.each == "tools":
                return tuple(Item(item=tool.tool, name=tool.name) for tool in self.tools)
            if step.each == "parts":
                return tuple(Item(item=part.part, name=_counted(part)) for part in self.parts)
            return step.each
        if isinstance(step, Count) and step.matches:
            return self.items_of(self.steps[step.matches])
        if isinstance(step, Inspect) and step.compares:
            return self.items_of(self.steps[step.compares])
        return step.of if isinstance(step, Count | Inspect) else ()

    def _bench_gates(self) -> Iterator[Gate]:
        for phase in self.phases:
            if any(self.needed_by(phase.phase).values()):
                yield Gate(
                    gate=f"{BENCH_GATE}{phase.phase}"[:LONGEST_ID].rstrip("-"),
                    holds=(phase.phase,),
                    until=(OnBench(on_bench=phase.phase),),
                    because="Work that stops for a missing tool or part leaves the vehicle open.",
                    override="supervisor",
                )


def _counted(part: Part) -> str:
    return f"{part.name} × {part.count}" if part.count > 1 else part.name


class Shared(Written):
    """A file of phases, and what goes with them, that several procedures include."""

    shared: Id
    hazards: tuple[AnyCaution, ...] = ()
    choices: tuple[Choice, ...] = ()
    tools: tuple[Tool, ...] = ()
    parts: tuple[Part, ...] = ()
    standing: tuple[Standing, ...] = ()
    phases: tuple[Phase, ...] = ()
    gates: tuple[Gate, ...] = ()
