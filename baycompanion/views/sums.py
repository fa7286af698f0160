"""A sum at the bench: what it asks for, how its result reads, and the note that keeps it."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from baycompanion.job import actions
from baycompanion.trade.catalogue import Worked, kind_of, work
from baycompanion.trade.figures import Figures, with_figures
from baycompanion.trade.kind import Input, SumKind
from baycompanion.views.card.card import Again, Card, Deed, Field, Form, Key, Piece, Return

KEEP = "Keep as a note"

VERDICTS = {"good": "✓ GOOD", "bad": "! BAD"}
"""Sign and word of each verdict."""


@dataclass(frozen=True, slots=True)
class Tried:
    """A sum that was worked from a form, and what was typed for it."""

    typed: Mapping[str, str]
    worked: Worked


# --- asking ------------------------------------------------------------------------------------


def sum_form(
    kind: SumKind, figures: Figures, typed: Mapping[str, str] | None = None
) -> Form[Tried]:
    """Ask what the sum takes; `typed` stands in the fields where it was worked before.

    `figures` are the shop's own.
    """

    def make(given: Mapping[str, str]) -> Tried:
        return Tried(given, work(kind.name, with_figures(kind, given, figures)))

    before = figures if typed is None else typed
    ways = ways_of(kind)
    lead = (Piece("plain", kind.title), *([Piece("label", ways)] if ways else []))
    fields = tuple(_field(each, before) for each in kind.inputs)
    return Form(f"Sum: {kind.name}", fields, make, lead, accept="Work it out")


def _field(each: Input, before: Mapping[str, str]) -> Field:
    """Return the question for one input; its choices say by themselves what it takes."""
    label = f"{each.name}: {each.description.rstrip('.')}"
    value = before.get(each.name, each.default or "")
    if each.choices:
        return Field(each.name, label, each.choices, value=value)
    empty = "" if each.required or each.default else "; may stay empty"
    hint = f"{each.takes}{empty}"
    return Field(each.name, label, hint=hint, value=value, may_be_empty=not each.required)


def ways_of(kind: SumKind) -> str:
    """Return which inputs say the same thing, of which one is typed; empty where none do."""
    if not kind.one_of:
        return ""
    ways = ", or ".join(" and ".join(way) for way in kind.one_of)
    return f"Type {ways}: one of the two, not both."


# --- showing -----------------------------------------------------------------------------------


def result_card(worked: Worked, in_job: bool) -> Card:
    """Return what a sum came to, with the keys that keep it, where a job does, and try again."""
    keep = [Key("2", KEEP, Deed(actions.Note(note=note_of(worked))))] if in_job else []
    return Card(
        kind="sum",
        heading=f"Sum: {worked.name}",
        title=worked.because,
        before=(Piece(worked.verdict, VERDICTS[worked.verdict]),),
        pieces=(
            *(Piece("plain", f"• {line}") for line in results_of(worked)),
            Piece("label", f"From: {', '.join(inputs_of(worked))}"),
            Piece("label", f"How: {worked.shown}"),
        ),
        keys=(Key("1", "Other values…", Again()), *keep, Key("Esc", "Back", Return())),
    )


def results_of(worked: Worked) -> Iterator[str]:
    """Yield each result with its unit, `none` for what came to nothing."""
    for each in kind_of(worked.name).results:
        found = worked.results.get(each.name, "").replace(",", ", ")
        yield f"{each.name}: {found} {each.unit}".rstrip() if found else f"{each.name}: none"


def inputs_of(worked: Worked) -> Iterator[str]:
    """Yield each input that was used, with its unit; defaults too."""
    for each in kind_of(worked.name).inputs:
        if each.name in worked.inputs:
            value = worked.inputs[each.name]
            unit = "" if "mm²" in value else each.unit  # a wire given by its area says so itself
            yield f"{each.name} {value} {unit}".rstrip()


def note_of(worked: Worked) -> str:
    """Return the line by which a job keeps a sum: its name, inputs, results and verdict."""
    inputs, results = ", ".join(inputs_of(worked)), ", ".join(results_of(worked))
    return f"Sum {worked.name}: {inputs}; {results}; {worked.verdict}: {worked.because}"


# --- reading what there is ---------------------------------------------------------------------


def listed(kinds: Iterable[SumKind]) -> list[str]:
    """Return one line for each sum: its name, and the question that it answers."""
    known = list(kinds)
    width = max(len(kind.name) for kind in known)
    return [f"{kind.name:<{width}}  {kind.title}" for kind in known]


def about_input(each: Input, figures: Figures) -> tuple[str, str]:
    """Return an input in two lines: its name and what it is, then what to type."""
    default = figures.get(each.name, each.default)
    if each.required:
        standing = "needed"
    else:
        standing = f"{default} if left out" if default else "may be left out"
    return f"{each.name} ({standing}): {each.description}", f"  {_first_large(each.takes)}."


def _first_large(words: str) -> str:
    return words[:1].upper() + words[1:]
