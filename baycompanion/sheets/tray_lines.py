"""The lines of a count on paper: what came off each panel, where it lies, and what went back."""

from baycompanion.job.state.tray import TrayLine, balance, lines
from baycompanion.procedure.steps import Count, Item
from baycompanion.sheets.form import Blank, Line, Source
from baycompanion.sheets.words import applying_note, why_not

BLANK_LINES = 3
"""Lines to write in what nobody foresaw."""


def tray_heads(source: Source, step: Count) -> tuple[str, ...]:
    """Return what heads the numbers of `step`."""
    if step.matches is None:
        return ("how many",)
    return (f"out (step {source.procedure.number[step.matches]})", "back", "others")


def tray_lines(source: Source, step: Count) -> tuple[Line, ...]:
    """Return the lines of `step`, and as long as it is not finished a few to write in by hand."""
    found = {line.item: line for line in balance(source.procedure, source.state, step)}
    items = lines(source.procedure, source.state, step)
    written = tuple(_line(source, step, item, found.get(item.item)) for item in items)
    if source.state.track(step.id).finished or source.state.ended_at is not None:
        return written
    more = (Blank("Size"), Blank("Slot")) if step.matches is None else ()
    counts = ("",) * len(tray_heads(source, step))
    by_hand = Line("", counts=counts, blanks=(Blank("Panel"), Blank("Kind"), *more))
    return (*written, *[by_hand] * BLANK_LINES)


def _line(source: Source, step: Count, item: Item, found: TrayLine | None) -> Line:
    note = applying_note(source, item)
    if found is not None and why_not(source, item):
        note = ""  # it came off before the choice that shuts it out, so it goes back
    if found is None:
        return Line(item.name, group=item.group, note=note)
    tick = source.state.track(step.id).ticks.get(item.item)
    words = tick.answer.words if tick is not None else ""
    if step.matches is None:
        return Line(
            item.name,
            counts=(_number(found.out),),
            group=item.group,
            note=note,
            words=words,
            blanks=(Blank("Size", found.size), Blank("Slot", found.slot)),
        )
    slot = f"slot {found.slot}" if found.slot else ""
    exchanged = _number(found.exchanged) if tick is not None else ""
    return Line(
        ", ".join(part for part in (found.kind, found.size, slot) if part),
        counts=(_number(found.out), _number(found.back), exchanged),
        group=item.group,
        note=note,
        words=", ".join(part for part in (found.comes_to, found.exchange, words) if part),
    )


def _number(number: int | None) -> str:
    return str(number) if number is not None else ""
