"""Where I am: the lines that stay on the screen around the card, and the sequence beside it."""

from collections.abc import Callable, Sequence
from datetime import datetime
from typing import NamedTuple

from baycompanion.job.deciding.mentoring import in_hands
from baycompanion.job.state.gates import missing
from baycompanion.job.state.order import next_step, standing_now, step_state
from baycompanion.job.state.state import PhaseTime, State
from baycompanion.job.state.timing import seconds_since_last
from baycompanion.job.state.words import moment_words
from baycompanion.procedure.model import Gate, Procedure
from baycompanion.procedure.paths import applies
from baycompanion.procedure.steps import Step
from baycompanion.text.duration import rough_duration
from baycompanion.views.card.card import Card
from baycompanion.views.card.cards import last_finished
from baycompanion.views.card.signs import GATE_SIGNS, MARKS
from baycompanion.views.card.wording import answered

MUST = "! MUST STAY TRUE:"


class Line(NamedTuple):  # a tuple, since all of them are made and compared after every key
    """One line of the sequence: a phase, a gate, or a step."""

    name: str
    kind: str
    sign: str
    short: str
    """The state, as short as can be."""
    word: str
    text: str
    number: int | None = None


def where(procedure: Procedure, state: State) -> str:
    """Return which job this is: it stays on the screen in every view."""
    opened = state.opened
    parts = [
        opened.work_order,
        opened.vehicle.description,
        f"{procedure.title}, revision {procedure.revision}",
        in_hands(state.technician, state.mentor),
    ]
    return " · ".join(part for part in parts if part)


def return_line(left_at: str, torn: bool, when: datetime) -> str:
    """Return when the job was left, and what a crash did to the last line of its journal."""
    crash = "The last line of the journal was cut off by a crash and is set aside. " if torn else ""
    return f"{crash}Last entry {moment_words(left_at, when)}."


def phase_line(procedure: Procedure, state: State, when: datetime) -> str:
    """Return the step of how many, then the clock of the phase in hand against its target.

    A narrow window cuts the end off: that is the title of the phase, which the sequence shows too.
    """
    return " · ".join(_phase_parts(procedure, state, when))


def phase_above(card: Card, procedure: Procedure, state: State, when: datetime) -> str:
    """Return the same line as it is read out before `card`: without the step, if `card` says it."""
    number, *clock = _phase_parts(procedure, state, when)
    parts = clock if clock and card.heading.startswith(number) else [number, *clock]
    return " · ".join(parts)


def phase_strip(
    procedure: Procedure,
    state: State,
    when: datetime,
    phrases: Sequence[str],
    fits: Callable[[str], bool],
) -> str:
    """Return the line of the phase with as much of when the job will be ready as `fits`.

    The title of the phase gives way to it, since the sequence shows that too. `phrases` say the
    same thing shorter and shorter; without any, or where none fits, it is the line by itself.
    """
    *needed, named = _phase_parts(procedure, state, when)
    lines = [" · ".join((*needed, phrases[0], named))] if phrases and needed else []
    lines += [" · ".join((*(needed or [named]), phrase)) for phrase in phrases]
    return next(filter(fits, lines), phase_line(procedure, state, when))


def _phase_parts(procedure: Procedure, state: State, when: datetime) -> list[str]:
    """Return the parts of that line: the step, the clock, and the phase by its title."""
    count = len(procedure.steps)
    taken_up = state.current if state.taken_up else None  # in practice, out of its place
    step = procedure.steps[taken_up] if taken_up else next_step(procedure, state)
    number = f"Step {procedure.number[step.id]} of {count}" if step else f"All {count} steps"
    if state.phase is None:
        return [number]
    phase = procedure.phase_named[state.phase]
    place = list(procedure.phase_named).index(phase.phase) + 1
    worked = state.phases.get(phase.phase, PhaseTime()).worked // 1000
    if state.status == "open" and state.gap is None:
        worked += seconds_since_last(state, when)
    target = f" of {rough_duration(phase.target)}" if phase.target else ""
    over = " (over target)" if phase.target and worked > phase.target else ""
    named = f"phase {place} of {len(procedure.phases)}: {phase.title}"
    return [number, f"{rough_duration(worked)}{target}{over}", named]


def standing_words(procedure: Procedure, state: State) -> tuple[str, ...]:
    """Return each condition that must stay true right now."""
    return tuple(standing.says for standing in standing_now(procedure, state))


def standing_line(procedure: Procedure, state: State) -> str:
    """Return what must stay true right now, empty where nothing has to."""
    says = standing_words(procedure, state)
    return f"{MUST} {' · '.join(says)}" if says else ""


def standing_strip(procedure: Procedure, state: State, fits: Callable[[str], bool]) -> str:
    """Return as much of what must stay true as `fits`, and how much more there is to read."""
    line = standing_line(procedure, state)
    if fits(line):
        return line
    says = standing_words(procedure, state)
    for shown in range(len(says) - 1, 0, -1):
        strip = f"{MUST} {' · '.join(says[:shown])} · AND {len(says) - shown} MORE: F9"
        if fits(strip):
            return strip
    return f"{MUST} {len(says)} things. To read them: F9"


def gate_ahead(procedure: Procedure, state: State) -> str:
    """Return the next gate that is not open, and what it still needs.

    Of several at one step it is the first that needs anything: behind one that is settled, such as
    that of the tools, the step is still held.
    """
    gates = () if state.status == "abandoned" else _next_gates(procedure, state)
    if not gates:
        return "No gate ahead."
    for gate in gates:
        things = missing(procedure, state, gate)
        if things:
            more = f", and {len(things) - 1} more" if len(things) > 1 else ""
            first = things[0].words.removesuffix(".") if more else things[0].words
            return f"Next gate: {gate.gate} – needs {first}{more}"
    return f"Next gate: {gates[0].gate} – everything it waits for is settled."


def _next_gates(procedure: Procedure, state: State) -> tuple[Gate, ...]:
    """Return the gates that are not open at the next step that has one."""
    step = next_step(procedure, state)
    start = procedure.number[step.id] if step is not None else len(procedure.steps) + 1
    for other in list(procedure.steps.values())[start - 1 :]:
        gates = tuple(
            gate
            for gate in procedure.gates_on[other.id]
            if not _passed(state, gate) and applies(gate, state.choices)
        )
        if gates:
            return gates
    return ()


def _passed(state: State, gate: Gate) -> bool:
    track = state.gates.get(gate.gate)
    return track is not None and track.standing in ("open", "overridden")


def last_line(procedure: Procedure, state: State) -> str:
    """Return the step finished last with its answer, empty before the first."""
    name = last_finished(state)
    if name is None:
        return ""
    step = procedure.steps[name]
    mark = MARKS[step_state(procedure, state, step)]
    answer = answered(procedure, state, step)
    return f"{mark.sign} {procedure.number[name]}. {step.text} {answer}"


def sequence(procedure: Procedure, state: State) -> tuple[Line, ...]:
    """Return the whole sequence: phases, the gates that hold them, and steps with their marks."""
    lines: list[Line] = []
    shown: set[str] = set()
    for phase in procedure.phases:
        lines.append(Line(phase.phase, "phase", "", "", "", phase.title))
        for step in phase.steps:
            for gate in procedure.gates_on[step.id]:
                if gate.gate not in shown and applies(gate, state.choices):
                    shown.add(gate.gate)
                    lines.append(_gate_line(state, gate))
            lines.append(step_line(procedure, state, step))
    return tuple(lines)


def step_line(procedure: Procedure, state: State, step: Step) -> Line:
    """Return the line of one step."""
    mark = MARKS[step_state(procedure, state, step)]
    number = procedure.number[step.id]
    return Line(step.id, "step", mark.sign, mark.short, mark.word, step.text, number)


def _gate_line(state: State, gate: Gate) -> Line:
    track = state.gates.get(gate.gate)
    sign, word = GATE_SIGNS[track.standing if track else None]
    return Line(gate.gate, "gate", sign, "gate", word, gate.gate)
