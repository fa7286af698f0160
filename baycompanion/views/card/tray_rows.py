"""The lines of a count: what is typed for each, and what is asked beside a number."""

import re
from collections.abc import Mapping
from dataclasses import replace

from baycompanion.job import actions
from baycompanion.job.state.state import State
from baycompanion.job.state.tray import TrayLine, balance, tray_words
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Count
from baycompanion.text.problem import quoted
from baycompanion.views.card.card import Deed, Entry, Field, Form, Key, Piece, Row, Tone

_COMMA = re.compile(r"\s*(?:;|,(?![0-9]))\s*")
"""Stands between a number, a size and a slot; 5,5 mm is one size."""


def tray_rows(procedure: Procedure, state: State, step: Count) -> tuple[Row, ...]:
    """Return the lines of `step`: counted out as they come off, counted back the last off first."""
    ticks = state.track(step.id).ticks
    return tuple(
        Row(
            name=line.item,
            sign="·" if line.item not in ticks else "!" if line.left else "✓",
            word=_word(step, line) if line.item in ticks else "",
            text=_text(line, told=step.matches is None or line.back is not None),
            group=line.panel,
            keys=_keys(step, line),
            entry=_out_entry(step, line, line.item in ticks)
            if step.matches is None
            else _back_entry(step, line),
            answered=line.item in ticks,
        )
        for line in balance(procedure, state, step)
    )


def _text(line: TrayLine, told: bool) -> str:
    """Return what a line is and where it lies; how many came off, unless its answer tells it."""
    off = "" if told else f"{line.out} off"
    slot = f"in {line.slot}" if line.slot else ""
    return ", ".join(part for part in (line.kind, line.size, off, slot) if part)


def _word(step: Count, line: TrayLine) -> str:
    if step.matches is None:
        return str(line.out)
    exchanged = f"{line.exchanged} exchanged" if line.exchanged else ""
    parts = (f"{line.back} of {line.out}", line.comes_to, exchanged)
    return ", ".join(part for part in parts if part)


def _keys(step: Count, line: TrayLine) -> tuple[Key, ...]:
    if step.matches is None:
        return ()
    return (Key("F7", "Exchanged…", exchange_form(step, line)),)


def tray_keys(step: Count) -> tuple[Key, ...]:
    """Return the key that adds a line which nobody foresaw, where fasteners are counted out."""
    return () if step.matches else (Key("F7", "Another panel…", add_form(step)),)


def _out_entry(step: Count, line: TrayLine, asked: bool) -> Entry:
    """Return the field for a number; it asks for a slot that nobody said, unless it `asked`."""
    stays = ", ".join(part for part in (line.size, line.slot and f"slot {line.slot}") if part)
    hint = f"how many; stays {stays}" if stays else "how many; with size and slot 4, M5 × 12, A3"

    def make(text: str) -> Deed | Form[Deed]:
        count, size, slot = _parts(text, line.kind)
        tick = actions.TickLine(tick=step.id, item=line.item, count=count, size=size, slot=slot)
        known = slot or line.slot or asked or count == 0
        return Deed(tick) if known else slot_form(line, tick)

    return Entry(line.kind, make, lambda text: _says_out(text, line), hint)


def slot_form(line: TrayLine, tick: actions.TickLine) -> Form[Deed]:
    """Ask where in the tray lies what `tick` counts; that there is no slot is an answer."""

    def make(given: Mapping[str, str]) -> Deed:
        return Deed(tick.model_copy(update={"slot": given["slot"].strip()}))

    lead = (
        Piece("plain", "The slot says where to look when they go back."),
        Piece("quiet", "A size (4, M5 × 12, A3) tells a long screw from a short one."),
    )
    field = Field("slot", "Slot in the tray", hint="like A3; empty for none", may_be_empty=True)
    return Form(f"{line.kind}: {tick.count} off", (field,), make, lead)


def _says_out(text: str, line: TrayLine) -> Piece | None:
    """Return how size and slot are understood, once there is more than a number."""
    try:
        count, size, slot = _parts(text, line.kind)
    except ValueError:
        return None
    if not (size or slot):
        return None
    return Piece("quiet", str(replace(line, out=count, size=size or "", slot=slot or "")))


def _parts(text: str, kind: str) -> tuple[int, str, str]:
    """Return the number, the size and the slot in `text`."""
    parts = [part.strip() for part in _COMMA.split(text.strip())]
    if len(parts) > 3:
        raise ValueError("Type how many, the size and the slot, like 4, M5 × 12, A3.")
    number, size, slot = (*parts, "", "")[:3]
    return _number(number, kind), size, slot


def _number(text: str, kind: str) -> int:
    try:
        number = int(text.strip())
    except ValueError:
        raise ValueError(f"{quoted(text)} is no whole number. Type how many: {kind}.") from None
    if not 0 <= number <= 9999:
        raise ValueError("Type a number from 0 to 9999.")
    return number


def _back_entry(step: Count, line: TrayLine) -> Entry:
    def make(text: str) -> Deed:
        count = _number(text, line.kind)
        return Deed(actions.TickLine(tick=step.id, item=line.item, count=count))

    return Entry(line.kind, make, lambda text: _says_back(text, line), "how many went back")


def _says_back(text: str, line: TrayLine) -> Piece | None:
    """Return what is left over or too many, before the number is saved."""
    try:
        comes_to = replace(line, back=_number(text, line.kind)).comes_to
    except ValueError:
        return None
    return Piece("bad", comes_to) if comes_to else None


def exchange_form(step: Count, line: TrayLine) -> Form[Deed]:
    """Ask how many of what went back are others, what they are, and why."""

    def make(given: Mapping[str, str]) -> Deed:
        tick = actions.TickLine(
            tick=step.id,
            item=line.item,
            count=_number(given["back"], line.kind),
            exchanged=_number(given["exchanged"], line.kind),
            exchanged_for=given["instead"],
            exchanged_why=given["why"],
        )
        return Deed(tick)

    back = line.back if line.back is not None else line.out
    fields = (
        Field("back", f"How many went back, {line.out} came off", value=str(back)),
        Field("exchanged", "How many of them are others", value=str(line.exchanged or 1)),
        Field(
            "instead",
            "What went in instead",
            hint="like M5 × 16",
            value=line.exchanged_for,
        ),
        Field("why", "Why", value=line.exchanged_why),
    )
    lead = (Piece("plain", "The old ones lie with the old parts then, and not in the tray."),)
    return Form(f"Exchanged: {line.label}", fields, make, lead)


def add_form(step: Count) -> Form[Deed]:
    """Ask what comes off that no line foresaw."""

    def make(given: Mapping[str, str]) -> Deed:
        add = actions.AddToTray(
            add_to_tray=step.id,
            panel=given["panel"],
            fastener=given["fastener"],
            count=_number(given["count"], quoted(given["fastener"])),
            size=given["size"],
            slot=given["slot"],
        )
        return Deed(add)

    fields = (
        Field("panel", "Panel that it comes off"),
        Field("fastener", "What they are", hint="like Screws of the lower cover"),
        Field("count", "How many"),
        Field(
            "size", "Size, or kind of clip", hint="like M5 × 12; may stay empty", may_be_empty=True
        ),
        Field("slot", "Slot in the tray", hint="like A3; may stay empty", may_be_empty=True),
    )
    return Form("Into the tray", fields, make)


def tray_piece(procedure: Procedure, state: State, tone: Tone) -> tuple[Piece, ...]:
    """Return what lies in the tray, panel by panel; nothing where it is empty."""
    lies = tray_words(procedure, state)
    return (Piece(tone, f"In the tray: {lies}"),) if lies else ()
