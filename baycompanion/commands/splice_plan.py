"""`splice-plan`: which lead joins which, from the files of connectors."""

import textwrap
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from typing import Any

import click

from baycompanion.commands.opening import shop_folder
from baycompanion.exits import Exit
from baycompanion.mishaps import Chosen
from baycompanion.out import data, data_json, talk
from baycompanion.store.reading import read_text
from baycompanion.store.settings import figures_of
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.clean import clean_line
from baycompanion.text.problem import BadFile, Problem
from baycompanion.trade.splicing import Cap
from baycompanion.wiring.caps import CapChoice, read_caps
from baycompanion.wiring.connector import Connector, Lead, read_connector
from baycompanion.wiring.functions import FUNCTIONS
from baycompanion.wiring.plan import Join, LeftOver, Plan, Trouble, plan_splices

WIDTH = 80


def print_plan(chosen: Chosen, files: Sequence[str], typed_caps: str | None, as_json: bool) -> int:
    """Print the plan; return 0, 1 with forbidden joins or unknown leads, 2 with unusable files.

    Raises:
        UsageError: There is one file only, or the caps cannot be read.
        BadFile: The files do not say what they should, or the settings of the shop do not.
        StoreTrouble: The settings of the shop cannot be read.
    """
    if len(files) < 2:
        raise click.UsageError("One connector joins nothing. Name the file of another one too")
    caps = _caps(chosen, typed_caps)
    connectors = _read(files)
    if connectors is None:
        return Exit.UNUSABLE
    plan = plan_splices(connectors, caps)
    if as_json:
        data_json(_as_dict(connectors, plan))
    else:
        for line in _lines(plan):
            data(line)
    talk(_summary(plan))
    return Exit.REFUSED if plan.problems else Exit.DONE


def _caps(chosen: Chosen, typed: str | None) -> tuple[Cap, ...]:
    """Return the caps that were typed, else those of the shop, which is not made for that."""
    own = "" if typed is not None else figures_of(shop_folder(chosen)).get("caps", "")
    text = own if typed is None else clean_line(typed)
    if typed is None and not text:
        return ()
    try:
        return read_caps(text)
    except ValueError as wrong:
        raise click.UsageError(str(wrong)) from None


def _read(files: Iterable[str]) -> list[Connector] | None:
    """Return the connectors, or None once everything that is wrong with the files was told."""
    connectors: list[Connector] = []
    unreadable = False
    problems: list[Problem] = []
    for file in files:
        try:
            connectors.append(read_connector(read_text(Path(file)), file))
        except StoreTrouble as trouble:
            unreadable = True
            talk(str(trouble))
        except BadFile as bad:
            problems += bad.problems
    if problems:
        raise BadFile(dict.fromkeys(problems))
    return None if unreadable else connectors


# --- as text -----------------------------------------------------------------------------------


def _lines(plan: Plan) -> Iterator[str]:
    """Yield the plan, no line wider than `WIDTH`; what must not be done comes first."""
    yield from _problem_lines(plan.problems)
    if plan.joins:
        yield f"JOINS ({len(plan.joins)}): make each, tug it, tick it"
    for join in plan.joins:
        yield from _join_lines(join)
    if plan.left_over:
        yield f"LEFT OVER ({len(plan.left_over)}): insulate each by itself"
    for each in plan.left_over:
        yield from _left_over_lines(each)


def _problem_lines(problems: Sequence[Trouble]) -> Iterator[str]:
    for kind, heading in (("forbidden", "NEVER JOIN"), ("unknown", "NOT KNOWN")):
        told = [each for each in problems if each.kind == kind]
        if told:
            yield f"{heading} ({len(told)})"
        for each in told:
            yield from _wrapped(str(each), "  ")
            yield ""
        how = next((each.how for each in told if each.how), ())
        if how:
            yield "  How to measure it:"
        for number, step in enumerate(how, 1):
            yield from _wrapped(f"{number}. {step}", "    ")
        if how:
            yield ""


def _join_lines(join: Join) -> Iterator[str]:
    yield from _wrapped(f"[ ] {join.id}  {FUNCTIONS[join.function].meaning}", "  ", "    ")
    for lead in join.leads:
        yield f"      {_row(lead)}"
    yield from _wrapped(f"cap: {_cap(join.cap)}", "      ")
    for note in join.notes:
        yield from _wrapped(f"! {note}", "      ")
    yield ""


def _left_over_lines(each: LeftOver) -> Iterator[str]:
    yield f"  [ ] {_row(each.lead)}"
    yield from _wrapped(f"{each.lead.function}. {each.why}", "      ")


def _row(lead: Lead) -> str:
    """Return one lead in columns: side, connector with pin, colour, gauge."""
    wire = lead.wire.said if lead.wire else "?"
    name = f"{lead.connector} {lead.pin}"
    return f"{lead.side:<8}  {name:<27}  {lead.colours or '?':<22}  {wire}"


def _cap(cap: CapChoice) -> str:
    name = f"{cap.name}. " if cap.name else ""
    return f"{name}{cap.because}"


def _wrapped(text: str, indent: str, more: str = "  ") -> list[str]:
    return textwrap.wrap(
        text, WIDTH, initial_indent=indent, subsequent_indent=indent + more, break_on_hyphens=False
    )


def _summary(plan: Plan) -> str:
    kinds = [each.kind for each in plan.problems]
    return (
        f"{len(plan.joins)} joins, {len(plan.left_over)} left over, "
        f"{kinds.count('forbidden')} forbidden, {kinds.count('unknown')} not known."
    )


# --- as JSON -----------------------------------------------------------------------------------


def _as_dict(connectors: Sequence[Connector], plan: Plan) -> dict[str, Any]:
    """Return the plan as programs read it."""
    return {
        "connectors": [
            {"connector": each.id, "title": each.title, "side": each.side, "source": each.source}
            for each in sorted(connectors, key=lambda each: each.id)
        ],
        "joins": [_join(each) for each in plan.joins],
        "left_over": [{"lead": _lead(each.lead), "why": each.why} for each in plan.left_over],
        "problems": [_problem(each) for each in plan.problems],
    }


def _join(join: Join) -> dict[str, Any]:
    cap = join.cap
    return {
        "id": join.id,
        "function": join.function,
        "leads": [_lead(lead) for lead in join.leads],
        "cap": {
            "verdict": cap.verdict,
            "name": cap.name,
            "area_cmil": None if cap.area_cmil is None else float(cap.area_cmil),
            "because": cap.because,
        },
        "notes": list(join.notes),
    }


def _lead(lead: Lead) -> dict[str, Any]:
    wire = lead.wire
    return {
        "id": lead.id,
        "connector": lead.connector,
        "pin": lead.pin,
        "side": lead.side,
        "function": lead.function,
        "colour": lead.colour,
        "stripe": lead.stripe,
        "awg": wire.gauge if wire else None,
        "area_mm2": float(wire.area) if wire and wire.area is not None else None,
        "current_a": None if lead.current_a is None else float(lead.current_a),
    }


def _problem(trouble: Trouble) -> dict[str, Any]:
    place = trouble.place
    return {
        "kind": trouble.kind,
        "rule": trouble.rule,
        "leads": [_lead(lead) for lead in trouble.leads],
        "file": place.file,
        "line": place.line,
        "column": place.column,
        "what": trouble.what,
        "instead": trouble.instead,
        "how": list(trouble.how),
    }
