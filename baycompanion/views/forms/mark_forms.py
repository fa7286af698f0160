"""What is asked about a mark found on a panel: what it is, how large, where, and its photo."""

from collections.abc import Mapping
from typing import Any, get_args

from baycompanion.job import actions
from baycompanion.job.events.carried import MarkKind
from baycompanion.job.state.state import State
from baycompanion.procedure.panels import places_of
from baycompanion.procedure.steps import Inspect, Item
from baycompanion.views.card.card import NEWEST_PICTURE, Deed, Field, Form, Piece

KINDS: tuple[str, ...] = get_args(MarkKind)
LARGEST_MM = 9999


def mark_form(state: State, step: Inspect, item: Item) -> Form[Deed]:
    """Ask about one mark on the panel of `item`; it joins those that are known there."""

    def make(given: Mapping[str, str]) -> Deed:
        said: dict[str, Any] = {name: given[name] for name in ("mark", "place", "words")}
        mark = actions.FoundMark(**said, size_mm=_millimetres(given["size"], given["mark"]))
        tick = actions.TickLine(tick=step.id, item=item.item, outcome="marked", marks=(mark,))
        return Deed(tick, picture=given["photo"].strip())

    tick = state.track(step.id).ticks.get(item.item)
    known = len(tick.answer.marks or ()) if tick is not None else 0
    lead = (
        (
            Piece("label", f"{known} known here; this is one more."),
            Piece("plain", "To take one back, answer Unmarked, and enter the others again."),
        )
        if known
        else ()
    )
    fields = (
        Field("mark", "What is it?", KINDS),
        Field(
            "size", "Longest extent in mm", hint="empty if something is missing", may_be_empty=True
        ),
        Field("place", "Where on the panel?", places_of(item.panel), value="middle"),
        Field("words", "In your words", may_be_empty=True),
        Field(
            "photo",
            "Photo",
            hint=f"its path, or {NEWEST_PICTURE} for the newest taken; empty for none",
            may_be_empty=True,
        ),
    )
    return Form(f"A mark: {item.name}", fields, make, lead, accept="Add the mark")


def _millimetres(typed: str, kind: str) -> int | None:
    bare = typed.strip().removesuffix("mm").strip()
    if not bare and kind == "missing":
        return None
    if not (bare.isdecimal() and len(bare) <= len(str(LARGEST_MM)) and int(bare) >= 1):
        raise ValueError(f"Type the longest extent in mm: a whole number from 1 to {LARGEST_MM}.")
    return int(bare)
