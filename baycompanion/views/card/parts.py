"""Parts ticked off against their order: what is said of them, a code read, and why work stops."""

from baycompanion.job import actions
from baycompanion.job.state.gates import gates_holding
from baycompanion.job.state.order import items_that_apply
from baycompanion.job.state.parts_list import not_needed, not_ordered, part_ticked
from baycompanion.job.state.parts_order import for_part, with_code
from baycompanion.job.state.state import State
from baycompanion.procedure.conditions import OnBench, leaves
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.paths import applies
from baycompanion.procedure.steps import Do, Item, Step
from baycompanion.text.clean import clean_line
from baycompanion.views.card.card import Deed, Entry, Form, Key, Piece, key_called
from baycompanion.views.forms.answer_forms import coded_form, wrong_part_form
from baycompanion.views.forms.job_forms import pause_form

BAD = ("missing", "wrong", "damaged")
LONGEST_SHOWN = 60
"""Characters that are said again of what was read; a text of thousands would hide the card."""

PASTED_NOWHERE = "No field stands here for what was pasted, and nothing was answered by it."


def ticks_parts(step: Step) -> bool:
    """Return whether `step` ticks off the parts."""
    return isinstance(step, Do) and step.each == "parts"


def parts_pieces(procedure: Procedure, state: State, step: Step) -> tuple[Piece, ...]:
    """Return what is said at the parts: which order, where it differs, and what F4 offers."""
    if not ticks_parts(step):
        return ()
    pieces = []
    order = state.opened.order
    if order is not None:
        pieces.append(Piece("label", f"Order {order.order}"))
    for said, names in (
        ("Not on the order", not_ordered(procedure, state)),
        ("On the order, and not needed here", not_needed(procedure, state)),
    ):
        if names:
            pieces.append(Piece("bad", f"{said}: {', '.join(names)}"))
    reason = why_parts_stop(procedure, state)
    if reason:
        pieces.append(Piece("bad", f"{reason}. 6 or F4 pauses the job with that reason.", "F4"))
    return tuple(pieces)


def why_parts_stop(procedure: Procedure, state: State) -> str:
    """Return why the work stops for parts: while they are ticked off, or where they hold a phase.

    Empty where nothing is missing, wrong or damaged.
    """
    step = procedure.steps.get(state.current or "")
    if not (step is not None and ticks_parts(step)) and not _held_by_parts(procedure, state):
        return ""
    said: dict[str, list[str]] = {}
    for part in procedure.parts:
        ticked = part_ticked(procedure, state, part.part)
        if ticked is not None and ticked.outcome in BAD and applies(part, state.choices):
            short = f" ({ticked.words})" if ticked.count is not None and ticked.words else ""
            said.setdefault(ticked.outcome, []).append(f"{part.name}{short}")
    listed = [f"{word.capitalize()}: {', '.join(said[word])}" for word in BAD if word in said]
    return "; ".join(listed)[:490]


def _held_by_parts(procedure: Procedure, state: State) -> bool:
    gates = (procedure.all_gates[name] for name in gates_holding(procedure, state))
    return any(isinstance(leaf, OnBench) for gate in gates for leaf in leaves(gate.until))


def off_order(state: State, step: Step, item: Item) -> str:
    """Return that a part is not on the order of the job, to stand beside its name; else nothing."""
    order = state.opened.order
    known = not ticks_parts(step) or order is None or for_part(order, item.item) is not None
    return "" if known else " (not on the order)"


def pause_key(procedure: Procedure, state: State, step: Step) -> Key | None:
    """Return the key that pauses for parts, where any is missing, wrong or damaged."""
    reason = why_parts_stop(procedure, state) if ticks_parts(step) else ""
    return Key("6", "Pause for parts…", pause_form(reason)) if reason else None


def code_keys(state: State, step: Step, item: Item) -> tuple[Key, ...]:
    """Return the key that ticks a part off with its code, where there is no order to hold it to."""
    answered = item.item in state.track(step.id).ticks
    if not ticks_parts(step) or state.opened.order is not None or answered:
        return ()
    return (Key("5", "Here, with its code…", coded_form(step, item)),)


def code_entry(
    procedure: Procedure, state: State, step: Step, keys: tuple[Key, ...]
) -> Entry | None:
    """Return the field that takes codes; a key's number or label, typed into it, is that key."""
    order = state.opened.order
    if not ticks_parts(step) or order is None:
        return None
    items = items_that_apply(procedure, state, step)
    pausing = pause_key(procedure, state, step)
    known = (*keys, *((pausing,) if pausing is not None else ()))

    def make(text: str) -> Deed | Form[Deed]:
        typed = text.strip()
        key = key_called(known, typed)
        if key is not None and isinstance(key.does, Deed | Form):
            return key.does
        if with_code(order, typed) is None:
            return wrong_part_form(step, _awaited(state, step, items), typed, order.order)
        return Deed(actions.Scan(scan=step.id, code=typed))

    hint = "or the number of an answer"
    return Entry("Scan or type a code", make, lambda text: None, hint, at_once=True)


def _awaited(state: State, step: Step, items: tuple[Item, ...]) -> tuple[Item, ...]:
    """Return the parts that a wrong one can have come for: those that are not here yet, or all."""
    ticks = state.track(step.id).ticks
    here = {item for item, tick in ticks.items() if tick.answer.outcome == "here"}
    return tuple(item for item in items if item.item not in here) or items


def no_field_for(code: str) -> str:
    """Return what is said of a code that was read where nothing is typed."""
    return f"Scanned {_short(code)}: no field for it here, and nothing was answered."


def _short(text: str) -> str:
    line = clean_line(text)
    return line if len(line) <= LONGEST_SHOWN else f"{line[:LONGEST_SHOWN]}…"


def takes_codes(procedure: Procedure, state: State, code: str) -> str:
    """Return which step of the job takes `code`, and how."""
    step = next((step for step in procedure.steps.values() if ticks_parts(step)), None)
    if step is None:
        return "No step of this job takes codes."
    order = state.opened.order
    line = with_code(order, code) if order is not None else None
    what = line.name if line is not None else "it"
    named = f"Step {procedure.number[step.id]}, “{step.text}”,"
    if state.track(step.id).finished:
        return f"{named} takes {what}: reopen it with F6 to scan there again."
    how = "" if order is not None else ", part by part with its key 5"
    return f"{named} takes {what}{how}."
