"""Counting fasteners out and back: where they lie, what was exchanged, and lines nobody foresaw."""

from typing import Any

from baycompanion.job.actions import AddToTray, TickLine
from baycompanion.job.deciding.draft import Draft, refuse
from baycompanion.job.deciding.late import happened
from baycompanion.job.events.kinds import Ticked, TrayLineAdded
from baycompanion.job.state import tray
from baycompanion.job.state.gates import Missing
from baycompanion.job.state.state import State
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Count, Item


def count_line(draft: Draft, step: Count, item: Item, action: TickLine) -> Ticked:
    """Return what was counted of one line; what is not said again of it stays as it was."""
    if action.count is None:
        refuse(f"How many? Type the number of: {item.name}.")
    more = _counted_out(draft, step, item, action)
    if step.matches is not None:
        more = _counted_back(draft, step, item, action)
    return Ticked(
        step=step.id,
        item=item.item,
        outcome="counted",
        weight="good",
        count=action.count,
        words=action.words,
        **more,
    )


def _counted_out(draft: Draft, step: Count, item: Item, action: TickLine) -> dict[str, Any]:
    """Return size and slot, which stay what they were until others are said."""
    stated = action.exchanged or action.exchanged_for or action.exchanged_why
    if step.matches is None and stated:
        refuse("An exchange is stated where the fasteners are counted back, not out.")
    size, slot = tray.places(draft.state.track(step.id), item.item)
    return {"size": action.size or size or None, "slot": action.slot or slot or None}


def _counted_back(draft: Draft, step: Count, item: Item, action: TickLine) -> dict[str, Any]:
    """Return the exchange: the one stated now, else the one that stands."""
    out = tray.count_out(draft.procedure, step)
    if action.size or action.slot:
        refuse(
            "Size and slot are written down where the fasteners are counted out.",
            Missing(out.text, out.id),
        )
    count = action.count or 0
    number, instead, why = action.exchanged, action.exchanged_for, action.exchanged_why
    if number is None and (instead or why):
        refuse(f"How many were exchanged? Type the number of: {item.name}.")
    before = draft.state.track(step.id).ticks.get(item.item)
    if number is None and before is not None:
        said = before.answer
        number, instead = said.exchanged, said.exchanged_for or ""
        why = said.exchanged_why or ""
    if not number:
        return {}
    if number > count:
        refuse(
            f"{number} exchanged, and {count} back: {item.name}. "
            "What was exchanged is among those that went back. State the exchange again."
        )
    if not instead or not why:
        refuse(f"Say what went in instead of the old ones, and why: {item.name}.")
    return {"exchanged": number, "exchanged_for": instead, "exchanged_why": why}


def add_to_tray(draft: Draft, action: AddToTray) -> None:
    """Add a line to the count out that is in hand, and count it."""
    step = draft.step(action.add_to_tray)
    if not isinstance(step, Count):
        refuse(f"“{step.text}” counts nothing into the tray.")
    if step.matches is not None:
        out = tray.count_out(draft.procedure, step)
        refuse("A line is added where the fasteners are counted out.", Missing(out.text, out.id))
    draft.read_first(step.id)
    _refuse_twin(draft, step, action)
    item = Item(
        item=_free_name(draft.procedure, draft.state), name=action.fastener, group=action.panel
    )
    draft.say(
        TrayLineAdded(
            step=step.id,
            item=item.item,
            panel=action.panel,
            name=action.fastener,
            size=action.size or None,
            slot=action.slot or None,
        )
    )
    counted = TickLine(tick=step.id, item=item.item, count=action.count)
    ticked = count_line(draft, step, item, counted)
    draft.say(ticked.model_copy(update=happened(draft, action)))


def _refuse_twin(draft: Draft, step: Count, action: AddToTray) -> None:
    """Refuse a line that nobody could tell from one that is there."""
    said = [action.panel, action.fastener, action.size, action.slot]
    wanted = [word.casefold() for word in said]
    for line in tray.balance(draft.procedure, draft.state, step):
        if [word.casefold() for word in (line.panel, line.kind, line.size, line.slot)] == wanted:
            refuse(f"The tray has this line already: {line.label}. Count it there.")


def _free_name(procedure: Procedure, state: State) -> str:
    """Return the first of t1, t2 … that is the name of no line, and never was."""
    written = {
        item.item
        for step in procedure.steps.values()
        if isinstance(step, Count)
        for item in step.of
    }
    number = len(state.tray) + 1
    taken = {*written, *(line.item for line in state.tray)}
    while f"t{number}" in taken:
        number += 1
    return f"t{number}"


def refuse_lost_lines(old: Procedure, state: State, new: Procedure) -> None:
    """Refuse a revision in which a line of the tray has no place, or is counted back nowhere.

    A line of the file matters while its fasteners lie in the tray, one added at the vehicle always.
    """
    for line in state.tray:
        step = new.steps.get(line.step)
        if not isinstance(step, Count) or step.matches is not None:
            refuse(
                f"Revision {new.revision} counts nothing out at “{line.step}”, and a line was "
                f"added there: {line.panel}, {line.name}.",
                "Keep that count in the newer revision.",
            )
        if any(line.item == item.item for item in step.of):
            refuse(
                f"Revision {new.revision} has a line “{line.item}” at “{line.step}”, which is the "
                "name of a line that was added at the vehicle.",
                "Give it another name in the newer revision.",
            )
    lost = [line for line in tray.still_there(old, state) if not _has_place(line, state, new)]
    if lost:
        refuse(
            f"The tray holds what revision {new.revision} counts back nowhere: "
            f"{'; '.join(map(str, lost))}.",
            "Count it back first, or keep its count and its line in the newer revision.",
        )


def _has_place(line: tray.TrayLine, state: State, new: Procedure) -> bool:
    """Return whether `new` has this line, and some count that takes it back.

    A choice that is not settled yet could leave both out, when what was counted is asked anew.
    """
    step = new.steps.get(line.step)
    written = isinstance(step, Count) and any(line.item == item.item for item in step.of)
    open_yet = {choice.choice: "" for choice in new.choices if choice.choice not in state.choices}
    choices = {**state.choices, **open_yet}
    return (written or line.added) and line.step in tray.outs_counted_back(new, choices)
