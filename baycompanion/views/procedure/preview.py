"""The screens of a procedure as a job would show them, one after the other, without a job.

Every card is made by the same functions as that of a job, from a state in which nothing but the
choices is answered: each caution by itself, each gate with all that it waits for, each step.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from types import MappingProxyType

from baycompanion.job.events.carried import Vehicle
from baycompanion.job.events.kinds import Answered, Opened
from baycompanion.job.state.state import Attempt, GateTrack, State, StepTrack
from baycompanion.procedure.model import Gate, Phase, Procedure
from baycompanion.procedure.paths import Answers, applies, step_applies
from baycompanion.procedure.steps import Step
from baycompanion.views.card.card import Card
from baycompanion.views.card.cards import job_card


@dataclass(frozen=True, slots=True)
class Shown:
    """One screen of a procedure."""

    name: str
    """What finds it again after the file was changed."""
    make: Callable[[], Card]
    phase: Phase | None = None
    """None before the first phase."""
    why: str = ""
    """What a trainee reads besides."""

    @property
    def card(self) -> Card:
        """The card, made when it is looked at: a procedure may have some hundred."""
        return self.make()


def screens_of(
    procedure: Procedure, when: datetime, choices: Answers = MappingProxyType({})
) -> tuple[Shown, ...]:
    """Return every screen of `procedure` in the order of the work.

    What hangs on a choice is there as in a job in which `choices` are settled; a choice that is
    left open leaves nothing out.
    """
    return tuple(_screens(procedure, _Blank(procedure, when, choices)))


def place_of(screens: tuple[Shown, ...], name: str, number: int) -> int:
    """Return where the screen called `name` stands now; without it, `number` or the last one."""
    names = [shown.name for shown in screens]
    return names.index(name) if name in names else max(0, min(number, len(screens) - 1))


def heading(procedure: Procedure, screens: tuple[Shown, ...], number: int) -> str:
    """Return where the screen of this number, counted from 0, stands in the whole."""
    phase = screens[number].phase
    title = f"{procedure.title}, revision {procedure.revision}" if phase is None else phase.title
    return f"Screen {number + 1} of {len(screens)} · {title}"


@dataclass(frozen=True, slots=True)
class _Blank:
    """A job of which nothing is known but its choices, to make cards from."""

    procedure: Procedure
    when: datetime
    choices: Answers

    def applies(self, step: str) -> bool:
        """Return whether the step of this id belongs to the job."""
        return step_applies(self.procedure, step, self.choices)

    def card(
        self,
        current: str | None = None,
        steps: dict[str, StepTrack] | None = None,
        held: Gate | None = None,
        accepted: bool = True,
    ) -> Card:
        """Return the card of a job that stands there."""
        opened = Opened(
            job="",
            procedure=self.procedure.procedure,
            title=self.procedure.title,
            revision=self.procedure.revision,
            procedure_hash="",
            work_order="",
            vehicle=Vehicle(description=""),
            role="",
        )
        at = self.when.isoformat()
        state = State(
            opened,
            at,
            "",
            "",
            last_at=at,
            accepted_at=at if accepted else None,
            steps=steps or {},
            current=current,
            choices=self.choices,
            gates={held.gate: GateTrack("held", at, "")} if held else {},
        )
        return job_card(self.procedure, state, (), self.when)


def _screens(procedure: Procedure, blank: _Blank) -> Iterator[Shown]:
    yield Shown("hazards", partial(blank.card, accepted=False))
    told: set[str] = set()
    for phase in procedure.phases:
        for step in filter(lambda each: blank.applies(each.id), phase.steps):
            for gate in procedure.gates_on[step.id]:
                if gate.gate not in told and applies(gate, blank.choices):
                    told.add(gate.gate)
                    card = partial(blank.card, None, _before(blank, step), gate)
                    yield Shown(f"gate {gate.gate}", card, phase)
            yield from _of_step(procedure, blank, phase, step)
    yield Shown("end", partial(blank.card, None, _before(blank, None)), procedure.phases[-1])


def _of_step(procedure: Procedure, blank: _Blank, phase: Phase, step: Step) -> Iterator[Shown]:
    """Yield the cautions of `step` that must be read, what is asked to have held, and the step."""
    read: frozenset[int] = frozenset()
    for place, caution in enumerate(step.cautions):
        if caution.signal in ("danger", "warning"):
            card = partial(blank.card, step.id, {step.id: StepTrack(acknowledged=read)})
            yield Shown(f"caution {place} {step.id}", card, phase)
            read |= {place}
    for standing in procedure.standing:
        if standing.ends == step.id and blank.applies(standing.begins):
            tracks = {
                standing.begins: _answered(standing.begins, "done", "good"),
                step.id: StepTrack(acknowledged=read, since_seq=2),
            }
            card = partial(blank.card, step.id, tracks)
            yield Shown(f"standing {standing.standing}", card, phase)
    card = partial(blank.card, step.id, {step.id: StepTrack(acknowledged=read)})
    yield Shown(f"step {step.id}", card, phase, step.why or "")


def _before(blank: _Blank, step: Step | None) -> dict[str, StepTrack]:
    """Return every step before `step` as passed by without an answer; all where it is None."""
    numbers = blank.procedure.number
    number = numbers[step.id] if step is not None else len(numbers) + 1
    return {
        name: _answered(name, "not answered yet", "neutral")
        for name, its in numbers.items()
        if its < number and blank.applies(name)
    }


def _answered(step: str, outcome: str, weight: str) -> StepTrack:
    answer = Answered.model_validate({"step": step, "outcome": outcome, "weight": weight})
    return StepTrack((Attempt(answer, "", "", 1),), finished=True)
