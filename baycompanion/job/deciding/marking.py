"""Marks found on a panel, taken down one by one."""

from baycompanion.job.actions import FoundMark, TickLine
from baycompanion.job.deciding.draft import Draft, refuse
from baycompanion.job.events.carried import PanelMark
from baycompanion.procedure.panels import places_of
from baycompanion.procedure.steps import Inspect, Item, Step
from baycompanion.text.problem import quoted


def marks_now(draft: Draft, step: Step, item: Item, action: TickLine) -> list[PanelMark]:
    """Return every mark on the panel of `item` once those of `action` are found there too."""
    if action.outcome != "marked":
        if action.marks:
            refuse(f"{item.name}: only a line that is answered marked has marks.")
        return []
    assert isinstance(step, Inspect)
    tick = draft.state.track(step.id).ticks.get(item.item)
    known = tick.answer.marks or [] if tick is not None else []
    found = [_mark(draft, item, each) for each in action.marks]
    if item.panel is not None and not (known or found):
        refuse(f"{item.name}: say which mark, how large, and in which field of the panel.")
    return [*known, *found]


def _mark(draft: Draft, item: Item, found: FoundMark) -> PanelMark:
    places = places_of(item.panel)
    if found.place not in places:
        refuse(f"{item.name} has no field {quoted(found.place)}. It has: {', '.join(places)}.")
    if found.size_mm is None and found.mark != "missing":
        refuse(f"{item.name}: how large is the {found.mark}, in mm?")
    if found.mark == "other" and not found.words:
        refuse(f"{item.name}: say in a few words what the mark is.")
    return PanelMark(
        mark=found.mark,
        size_mm=found.size_mm,
        place=found.place,
        words=found.words,
        photo=_file(draft, found.photo) if found.photo else None,
    )


def _file(draft: Draft, name: str) -> str:
    """Return the file in the job of the photo called `name`, the newest of several."""
    for photo in reversed(draft.state.photos):
        if name in (photo.data.file, photo.data.original):
            return photo.data.file
    refuse(f"This job has no photo {quoted(name)}.", "Add the photo first.")
