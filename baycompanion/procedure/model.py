"""The procedure: phases of steps, the gates that hold them, and what the job needs."""

from collections.abc import Iterator
from functools import cached_property
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from baycompanion.procedure.cautions import AnyCaution
from baycompanion.procedure.conditions import Condition, OnBench
from baycompanion.procedure.fields import LONGEST_ID, LONGEST_LINE, Day, Id, Line, Some, Span
from baycompanion.procedure.steps import Applying, Choose, Count, Do, Ids, Inspect, Item, Step
from baycompanion.text.problem import quoted
from baycompanion.text.to_model import Written, wrong

Override = Literal["technician", "supervisor", "nobody"]

BENCH_GATE = "on-bench-for-"
"""Begins the name of the gate that every phase gets which needs tools or parts on the bench."""


def _none_is_empty(value: Any) -> Any:
    """Let the word `none` stand where nothing is needed: it is written, never implied."""
    if isinstance(value, str) and value != "none":
        what = f"{quoted(value)} is no list" if value else "Nothing is written here"
        raise wrong(what, "Write none, or a list, each item after a dash")
    return [] if value == "none" else value


def _or_none(items: Any) -> BeforeValidator:
    """Return what lets `none` stand in place of `items`, which is what the JSON Schema shows."""
    return BeforeValidator(_none_is_empty, json_schema_input_type=Literal["none"] | items)


class Choice(Written):
    """A fact about this vehicle that switches steps on or off."""

    choice: Id
    """Its name, as `when` and `unless` use it."""
    title: Line
    """What it is about, in words, like Amplified factory system."""
    answers: Annotated[tuple[Id, ...], Some] = ("yes", "no")
    """The answers it can have; yes and no where it does not say."""
    group: Line | None = None
    """A heading, where it is one line of several that a step settles."""


class Tool(Applying):
    """A tool, and the phase before which it must lie on the bench."""

    tool: Id
    """Its name, as steps use it."""
    name: Line
    """What it is called in the bay, with its size or kind."""
    by: Id | None = None
    """The phase before which it must lie on the bench; left out, any time will do."""
    instrument: bool = False
    """A meter or torque tool: named with the date its calibration is due; it needs `by`."""


class Part(Applying):
    """A part from the work order, and the phase before which it must lie on the bench."""

    part: Id
    """Its name in this file."""
    name: Line
    """What it is called on the work order."""
    count: Annotated[int, Field(ge=1, le=9999)] = 1
    """How many, 1 to 9999."""
    by: Id | None = None
    """The phase before which it must lie on the bench; left out, any time will do."""


class OwnerLine(Applying):
    """One thing that the owner is told on the hand-over sheet."""

    tell: Line
    """What the owner does, leaves be or looks out for, in a sentence."""


class Standing(Written):
    """Something that must stay true from the end of one step to the start of another."""

    standing: Id
    """Its name in this file."""
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
    """Its name, which no step and no other phase may have."""
    title: Line
    """What it is called on the screen."""
    target: Span | None = None
    """How long it should take; every phase needs one."""
    steps: Annotated[tuple[Step, ...], Some]
    """What is done in it, strictly in this order."""


class Gate(Applying):
    """A condition that holds a phase or a step shut until it is met."""

    gate: Id
    """Its name in this file."""
    holds: Ids
    """The phase or the step that it keeps shut, or a list of them."""
    until: Annotated[tuple[Condition, ...], Some]
    """What opens it: every one of these."""
    because: Line
    """Why it stands here, in a sentence for whoever is held up by it."""
    override: Override
    """Who may open it without its conditions being met."""


class Procedure(Written):
    """One whole procedure, as its file says it."""

    procedure: Id
    """Its name, the same as that of its file."""
    title: Line
    """What it is called on the screen."""
    revision: Annotated[int, Field(ge=1, le=999_999)]
    """1 at first, one more with every change."""
    author: Line | None = None
    """The staff id of whoever wrote this revision."""
    date: Day | None = None
    """The day of this revision."""
    source: Line | None = None
    """What the procedure was written from."""
    changes: tuple[Line, ...] = ()
    """What is new in this revision."""
    fits: Line
    """Which vehicles and work it fits, put as a question before the first step."""
    hazards: Annotated[tuple[AnyCaution, ...], _or_none(list[AnyCaution])]
    """The hazards of the whole job, accepted before the first step; `none` where it has none."""
    choices: tuple[Choice, ...] = ()
    """Facts about this vehicle that switch steps on or off."""
    tools: Annotated[tuple[Tool, ...], _or_none(list[Tool])]
    """The tools it needs, or `none`."""
    parts: Annotated[tuple[Part, ...], _or_none(list[Part])]
    """The parts it needs, or `none`."""
    standing: tuple[Standing, ...] = ()
    """What must stay true from one step to another."""
    phases: Annotated[tuple[Phase, ...], Some]
    """Its phases in order; `- include: path` puts those of a shared file in place."""
    gates: tuple[Gate, ...] = ()
    """What keeps a phase or a step shut, and until when."""
    for_the_owner: tuple[OwnerLine, ...] = ()
    """What the owner is told on the hand-over sheet."""

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
    def optional(self) -> frozenset[str]:
        """The steps that may not apply: each that depends on a choice, by itself or its phase."""
        return frozenset(
            step.id
            for phase in self.phases
            for step in phase.steps
            if step.when or step.unless or phase.when or phase.unless
        )

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

    def needed_by(self, phase: str) -> dict[str, tuple[Tool, ...] | tuple[Part, ...]]:
        """Return the tools and the parts that must be on the bench before `phase`."""
        return {
            "tools": tuple(tool for tool in self.tools if tool.by == phase),
            "parts": tuple(part for part in self.parts if part.by == phase),
        }

    def looks_for(self, step: Inspect) -> str:
        """Return whether `step` looks for function or for marks, as the sheet it compares with."""
        before = self.steps.get(step.compares or "")
        return before.looks_for if isinstance(before, Inspect) else step.looks_for

    def settled_by(self, step: Choose) -> tuple[Choice, ...]:
        """Return the choices that `step` settles, in its order."""
        named = {choice.choice: choice for choice in self.choices}
        return tuple(named[name] for name in step.settles if name in named)

    def items_of(self, step: Step) -> tuple[Item, ...]:
        """Return the lines that `step` is answered by, none for a step answered whole."""
        if isinstance(step, Choose):
            return tuple(map(_line_of, self.settled_by(step))) if step.by_lines else ()
        if isinstance(step, Do):
            if step.each == "tools":
                return tuple(
                    Item(item=tool.tool, name=tool.name, when=tool.when, unless=tool.unless)
                    for tool in self.tools
                )
            if step.each == "parts":
                return tuple(
                    Item(item=part.part, name=_counted(part), when=part.when, unless=part.unless)
                    for part in self.parts
                )
            return () if isinstance(step.each, str) else step.each
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


def _line_of(choice: Choice) -> Item:
    """Return the line that `choice` is where several are settled together."""
    line = Item(item=choice.choice, name=choice.title)
    return line.model_copy(update={"group": choice.group}) if choice.group else line


def _counted(part: Part) -> str:
    count = f" × {part.count}" if part.count > 1 else ""
    return f"{part.name[: LONGEST_LINE - len(count)]}{count}"


class Shared(Written):
    """A file of phases, and what goes with them, that several procedures include."""

    shared: Id
    """Its name, the same as that of its file."""
    hazards: tuple[AnyCaution, ...] = ()
    """What comes before the hazards of the procedure."""
    choices: tuple[Choice, ...] = ()
    """What comes before the choices of the procedure."""
    tools: tuple[Tool, ...] = ()
    """What comes before the tools of the procedure."""
    parts: tuple[Part, ...] = ()
    """What comes before the parts of the procedure."""
    standing: tuple[Standing, ...] = ()
    """What comes before the standing conditions of the procedure."""
    phases: tuple[Phase, ...] = ()
    """The phases that come in place of the include."""
    gates: tuple[Gate, ...] = ()
    """What comes before the gates of the procedure."""
    for_the_owner: tuple[OwnerLine, ...] = ()
    """What comes before what the procedure tells the owner."""
