"""What is found at a step of the made-up vehicle: as values that an honest answer is made of."""

from dataclasses import dataclass
from datetime import date, timedelta

from baycompanion.job.actions import FoundMark
from baycompanion.job.events.carried import PanelMark
from baycompanion.job.state.panel_marks import mark_words
from baycompanion.job.state.state import State
from baycompanion.job.state.tray import count_out
from baycompanion.learning.drawing_lots import lot
from baycompanion.learning.practice.made_entries import entry_of, first_entry
from baycompanion.learning.practice.made_up import MadeUpVehicle, mark_on
from baycompanion.learning.practice.showing import showing
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Check, Count, Inspect, Item, Measure, Record, Wait


@dataclass(frozen=True, slots=True)
class LineFound:
    """How one line of a condition sheet is."""

    outcome: str
    words: str = ""
    marks: tuple[FoundMark, ...] = ()


def is_so(made: MadeUpVehicle, procedure: Procedure, state: State, step: Check) -> bool:
    """Return whether what `step` checks is so now."""
    return not any(showing(procedure, state, made.planted, step))


def reading_at(made: MadeUpVehicle, procedure: Procedure, state: State, step: Measure) -> str:
    """Return what the instrument shows at `step` now, in the unit of the step."""
    wrong = (spot.reading for _, spot in showing(procedure, state, made.planted, step))
    return next(filter(None, wrong), made.readings[step.id])


def left_over(made: MadeUpVehicle, procedure: Procedure, state: State, step: Count) -> set[str]:
    """Return the lines of a count back of which one fastener still lies in the tray."""
    if step.matches is None:
        return set()
    return {spot.line for _, spot in showing(procedure, state, made.planted, step) if spot.line}


def count_at(
    made: MadeUpVehicle, procedure: Procedure, state: State, step: Count, line: str
) -> int:
    """Return how many fasteners of `line` came off, or went back where `step` counts back."""
    out = count_out(procedure, step).id
    ticked = state.track(out).ticks.get(line)
    added = (ticked.answer.count if ticked is not None else None) or 0
    off = made.counts.get(out, {}).get(line, added)
    short = line in left_over(made, procedure, state, step)
    return max(0, off - 1) if short else off


def line_at(
    made: MadeUpVehicle, procedure: Procedure, state: State, step: Inspect, item: Item
) -> LineFound:
    """Return how a line of the condition sheet `step` is now."""
    wrong = [
        spot for _, spot in showing(procedure, state, made.planted, step) if spot.line == item.item
    ]
    if procedure.looks_for(step) != "marks":
        if not wrong:
            return LineFound("works")
        return LineFound("faulty", wrong[0].seen or f"{item.name}: it does nothing.")
    stood = made.marks.get((step.compares or step.id, item.item))
    marks = [stood] if stood is not None else []
    for spot in wrong:
        # One that was there before is the same mark on both sheets.
        told = spot.seen or item.item
        marks.append(mark_on(made.seed, told, item.panel, "planted"))
    words = "; ".join(mark_in_words(mark) for mark in marks)
    return LineFound("marked", words, tuple(marks)) if marks else LineFound("unmarked")


def mark_in_words(mark: FoundMark) -> str:
    """Return a mark in words: what it is, how large, where."""
    kept = PanelMark(mark=mark.mark, size_mm=mark.size_mm, place=mark.place, words=mark.words)
    return mark_words(kept)


def entry_at(made: MadeUpVehicle, procedure: Procedure, state: State, step: Record) -> list[str]:
    """Return what is to be written down at `step`, line by line; one line for anything else."""
    if step.takes == "date":
        days = lot(made.seed, "days", first_entry(procedure, step).id).randint(1, 9)
        return [(date.fromisoformat(state.opened_at[:10]) + timedelta(days=days)).isoformat()]
    return entry_of(made, procedure, step, state.figures.get("region", ""))


def instrument_of(made: MadeUpVehicle, tool: str) -> tuple[str, int]:
    """Return what the label of an instrument says: its name, and in how many days it is due."""
    chance = lot(made.seed, "instrument", tool)
    return f"P-{chance.randint(1, 40)}", chance.randint(30, 300)


def due_on(state: State, days: int) -> date:
    """Return the day so many days after the practice began."""
    return date.fromisoformat(state.opened_at[:10]) + timedelta(days=days)


def seconds_to_wait(made: MadeUpVehicle, step: Wait) -> int:
    """Return how long a wait lasts for this vehicle where the procedure leaves it open."""
    return 60 * lot(made.seed, "wait", step.id).randint(1, 20)


WAIT_SOURCE = "A made-up figure for practice"
"""Where the length of such a wait comes from."""
