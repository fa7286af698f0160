"""The honest action on the made-up vehicle: of somebody who looks and tells what is there."""

from decimal import Decimal

from baycompanion.job.actions import (
    Accept,
    Acknowledge,
    Action,
    Answer,
    Borrow,
    ClearFault,
    Close,
    Confirm,
    Reopen,
    Settle,
    SetWait,
    TickLine,
)
from baycompanion.job.deciding.circuits import unlogged
from baycompanion.job.deciding.draft import Person
from baycompanion.job.deciding.practising import MENTOR
from baycompanion.job.deciding.ticking import ELSEWHERE
from baycompanion.job.events.kinds import Ticked
from baycompanion.job.hands_actions import ExplainGap, Resume
from baycompanion.job.state.gates import gates_holding, missing
from baycompanion.job.state.order import (
    items_that_apply,
    next_step,
    rests_on,
    standing_now,
    standings_unasked,
)
from baycompanion.job.state.second_looks import taken_afresh
from baycompanion.job.state.state import State
from baycompanion.learning.practice.finding import (
    WAIT_SOURCE,
    count_at,
    due_on,
    entry_at,
    instrument_of,
    is_so,
    line_at,
    reading_at,
    seconds_to_wait,
)
from baycompanion.learning.practice.made_up import MadeUpVehicle
from baycompanion.learning.practice.showing import showing, shows_to_second_person
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import (
    Check,
    Choose,
    Count,
    Do,
    Inspect,
    Item,
    Measure,
    Record,
    Step,
    Sum,
    Wait,
    Witness,
)

Done = tuple[Action, Person]
"""An action, and who does it."""


def truthful(made: MadeUpVehicle, procedure: Procedure, state: State) -> Done | None:
    """Return the honest answer to whatever is asked now, and who gives it.

    It never overrides a gate. None is returned where the practice is ended, or where honest work
    alone leads no further. A wait is answered at once: whoever acts on it lets it run out first.
    """
    who = Person(state.technician, state.opened.role)
    if state.status in ("closed", "abandoned"):
        return None
    if state.gap is not None:
        return ExplainGap(explain="worked"), who
    if state.status == "paused":
        standing = tuple(each.standing for each in standing_now(procedure, state))
        return Resume(resume="Read back.", still_true=standing, gate_checked=True), who
    if state.accepted_at is None:
        return Accept(accept="hazards"), who
    step = procedure.steps.get(state.current or "")
    held = step is None and bool(gates_holding(procedure, state))
    for fault in state.faults:
        if fault.open and (fault.cause == "work" or held) and not _unsettled(state, step):
            return ClearFault(clear=fault.number, words="Put right and tried again."), who
    if step is not None:
        return _at(made, procedure, state, step, who)
    if held:
        return _at_gate(procedure, state, who)
    return (Close(close="keys back"), who) if next_step(procedure, state) is None else None


def _unsettled(state: State, step: Step | None) -> bool:
    return step is not None and state.track(step.id).unsettled


_AGAIN = "It does not agree yet, and is looked at once more."
_MOST_BACK = 3
"""How often one step is done again for that reason; then honest work alone leads no further."""


def _may_go_back(state: State, step: str) -> bool:
    return state.track(step).reopened.count(_AGAIN) < _MOST_BACK


def _at_gate(procedure: Procedure, state: State, who: Person) -> Done | None:
    """Return what opens the gate that holds: the step that it waits for is done again."""
    for name in gates_holding(procedure, state):
        for thing in missing(procedure, state, procedure.all_gates[name]):
            track = state.track(thing.step or "")
            able = track.finished and track.settled is None
            if thing.step is not None and able and _may_go_back(state, thing.step):
                return Reopen(reopen=thing.step, reason=_AGAIN), who
    return None


def _at(made: MadeUpVehicle, procedure: Procedure, state: State, step: Step, who: Person) -> Done:
    """Return what is done next at the step in hand."""
    track = state.track(step.id)
    if any(place not in track.acknowledged for place in range(len(step.cautions))):
        return Acknowledge(acknowledge=step.id), who
    unasked = standings_unasked(procedure, state, step)
    if unasked:
        return Confirm(confirm=unasked[0].standing, held=True), who
    if isinstance(step, Do) and unlogged(state, step):
        return _borrowed(step), who
    if isinstance(step, Wait) and step.lasts is None and track.wait is None:
        lasts = seconds_to_wait(made, step)
        return SetWait(set_wait=step.id, lasts=lasts, source=WAIT_SOURCE), who
    for item in items_that_apply(procedure, state, step):
        wanted = _line(made, procedure, state, step, item)
        if not _says(track.ticks[item.item].answer if item.item in track.ticks else None, wanted):
            return wanted, who
    if _again_in_vain(made, procedure, state, step):
        return _go_back(made, procedure, state, step), who
    return _answer(made, procedure, state, step), MENTOR if isinstance(step, Witness) else who


def _borrowed(step: Do) -> Borrow:
    load = None if step.borrows == "ground" else Decimal(1)
    fuse = None if step.borrows == "ground" else Decimal(10)
    return Borrow(
        borrow="Made-up circuit",
        place="Made-up place",
        method=step.borrows or "tap",
        fuse_a=fuse,
        load_a=load,
    )


def _line(
    made: MadeUpVehicle, procedure: Procedure, state: State, step: Step, item: Item
) -> TickLine:
    """Return the honest answer to one line of `step`."""
    if isinstance(step, Count):
        count = count_at(made, procedure, state, step, item.item)
        return TickLine(tick=step.id, item=item.item, count=count)
    if isinstance(step, Inspect):
        found = line_at(made, procedure, state, step, item)
        marks = found.marks if item.panel is not None else ()
        return TickLine.model_validate(
            {
                "tick": step.id,
                "item": item.item,
                "outcome": found.outcome,
                "words": found.words,
                "marks": marks,
            }
        )
    if isinstance(step, Choose):
        choice = next(each for each in procedure.choices if each.choice == item.item)
        return TickLine(tick=step.id, item=item.item, value=made.fact(choice))
    if isinstance(step, Do) and step.each in ("tools", "parts"):
        return _staged(made, procedure, state, step, item)
    if isinstance(step, Do) and step.each == "differences":
        return TickLine(tick=step.id, item=item.item, outcome=ELSEWHERE, words="made up")
    return TickLine(tick=step.id, item=item.item, outcome="done")


def _staged(
    made: MadeUpVehicle, procedure: Procedure, state: State, step: Do, item: Item
) -> TickLine:
    tool = next((tool for tool in procedure.tools if tool.tool == item.item), None)
    if step.each == "parts" or tool is None or not tool.instrument:
        return TickLine(tick=step.id, item=item.item, outcome="here")
    label, days = instrument_of(made, item.item)
    due = due_on(state, days)
    return TickLine(tick=step.id, item=item.item, outcome="here", instrument=label, due=due)


def _says(ticked: Ticked | None, wanted: TickLine) -> bool:
    """Return whether a line was answered as it should be."""
    if ticked is None:
        return False
    if wanted.count is not None:
        return ticked.count == wanted.count
    return ticked.outcome == (wanted.outcome or wanted.value)


def _again_in_vain(made: MadeUpVehicle, procedure: Procedure, state: State, step: Step) -> bool:
    """Return whether the honest answer was given and came out badly: the reason lies elsewhere."""
    track = state.track(step.id)
    if not track.unsettled or any(showing(procedure, state, made.planted, step)):
        return False
    last = track.attempts[-1].answer
    match step:
        case Sum() | Count():
            return True
        case Record():
            entry = entry_at(made, procedure, state, step)
            return (last.entries if last.entries is not None else [last.words]) == entry
        case Witness():
            return last.outcome == "not agreeing"
    return False


def _go_back(made: MadeUpVehicle, procedure: Procedure, state: State, step: Step) -> Action:
    """Return what leads on from what stays bad: what it rests on, anew, where that can differ."""
    for name in rests_on(procedure, step):
        source = procedure.steps[name]
        as_found = isinstance(step, Sum) and _as_found(made, procedure, state, source)
        if state.track(name).finished and not as_found and _may_go_back(state, name):
            return Reopen(reopen=name, reason=_AGAIN)
    return Settle(settle=step.id, cause="vehicle", words="It comes to the same each time.")


def _as_found(made: MadeUpVehicle, procedure: Procedure, state: State, step: Step) -> bool:
    """Return whether what was answered at `step` is what is found there now."""
    last = state.track(step.id).last
    if isinstance(step, Measure):
        return last is not None and last.words == reading_at(made, procedure, state, step)
    if isinstance(step, Record):
        return last is not None and [last.words] == entry_at(made, procedure, state, step)
    return True


def _answer(made: MadeUpVehicle, procedure: Procedure, state: State, step: Step) -> Answer:
    """Return the honest answer to `step`, once its lines are answered."""
    name = step.id
    match step:
        case Check():
            so = is_so(made, procedure, state, step)
            return Answer(answer=name, outcome="passed" if so else "failed")
        case Measure():
            return Answer(answer=name, value=reading_at(made, procedure, state, step))
        case Record():
            entry = entry_at(made, procedure, state, step)
            if step.takes in ("list", "stations"):
                return Answer(answer=name, entries=tuple(entry))
            return Answer(answer=name, value=entry[0])
        case Choose() if not step.by_lines:
            [choice] = procedure.settled_by(step)
            return Answer(answer=name, value=made.fact(choice))
        case Sum():
            return _worked(procedure, state, step)
        case Witness():
            return _second_look(made, procedure, state, step)
    return Answer(answer=name)


def _worked(procedure: Procedure, state: State, step: Sum) -> Answer:
    """Return that the sum is worked, or that it cannot be where an input was not read."""
    for name in rests_on(procedure, step):
        last = state.track(name).last
        if last is None or last.weight == "neutral":
            words = f"No reading: {procedure.steps[name].text}"
            return Answer(answer=step.id, outcome="could not test", words=words)
    return Answer(answer=step.id)


def _second_look(made: MadeUpVehicle, procedure: Procedure, state: State, step: Witness) -> Answer:
    """Return what the second person says, who finds every reading afresh."""
    if shows_to_second_person(procedure, state, made.planted, step):
        return Answer(answer=step.id, outcome="failed", words="It is not so.")
    readings = {}
    for each in taken_afresh(procedure, state, step):
        if isinstance(each, Measure):
            readings[each.id] = reading_at(made, procedure, state, each)
        else:
            readings[each.id] = ", ".join(entry_at(made, procedure, state, each))
    return Answer(answer=step.id, outcome="passed", readings=readings)
