"""`sum`: the sums of the trade, what each takes, and working one."""

from collections.abc import Iterable, Sequence
from typing import Any

from baycompanion.commands.opening import shop_folder, typed_again
from baycompanion.exits import Exit
from baycompanion.mishaps import Chosen
from baycompanion.out import data, data_json, talk
from baycompanion.store.settings import figures_of
from baycompanion.text.clean import clean_line
from baycompanion.text.problem import nearest, quoted
from baycompanion.trade.catalogue import SUMS, Worked, work
from baycompanion.trade.figures import FROM_SHOP, Figures, rivals_of, with_figures
from baycompanion.trade.kind import Named, SumKind
from baycompanion.views.sums import (
    VERDICTS,
    about_input,
    inputs_of,
    listed,
    results_of,
    ways_of,
)


def do_sum(chosen: Chosen, name: str | None, words: Sequence[str], as_json: bool) -> int:
    """List the sums, or say what one takes, or work it: the exit code is then its verdict.

    Raises:
        StoreTrouble: The shop has settings that cannot be read.
        BadFile: Its settings do not say what they should.
    """
    if name is None:
        _list(chosen, as_json)
        return Exit.DONE
    try:
        kind = _kind(name)
        figures = figures_of(shop_folder(chosen)) if _wants_figures(kind, words) else {}
        if not words:
            _explain(kind, figures, as_json)
            return Exit.DONE
        worked = work(kind.name, with_figures(kind, _given(kind, words), figures))
    except ValueError as wrong:
        talk(str(wrong))
        return Exit.UNUSABLE
    _tell(worked, as_json)
    return Exit.DONE if worked.verdict == "good" else Exit.REFUSED


def _wants_figures(kind: SumKind, words: Sequence[str]) -> bool:
    """Return whether a figure of the shop may come in: the sum takes it, and it is not typed."""
    typed = {word.partition("=")[0] for word in words}
    known = {each.name for each in kind.inputs} & set(FROM_SHOP)
    return any(not typed & {name, *rivals_of(kind, name)} for name in known)


# --- reading what was typed --------------------------------------------------------------------


def _kind(name: str) -> SumKind:
    """Return the sum of this name, in any case, or raise ValueError with the nearest."""
    said = clean_line(name).casefold()
    if said not in SUMS:
        near = nearest(said, SUMS)
        offer = near if near.startswith("Did") else f"There are {', '.join(SUMS)}."
        raise ValueError(f"There is no sum {quoted(clean_line(name))}. {offer}")
    return SUMS[said]


def _given(kind: SumKind, words: Iterable[str]) -> dict[str, str]:
    """Return the inputs by their names, from words like `awg=18,18,20`, or raise ValueError."""
    known = {each.name for each in kind.inputs}
    given: dict[str, str] = {}
    for word in words:
        name, sign, value = word.partition("=")
        if not sign:
            like = kind.inputs[0].name
            raise ValueError(
                f"{quoted(clean_line(word))} names no input. Type it like {like}=…, and a"
                " value with a space in quotation marks."
            )
        if name not in known:
            near = nearest(name.casefold(), [each.name for each in kind.inputs])
            raise ValueError(f"{quoted(clean_line(name))} is no input of {kind.name}. {near}")
        if name in given:
            raise ValueError(f"{name} stands twice: leave one out.")
        given[name] = value
    return given


# --- printing ----------------------------------------------------------------------------------


def _list(chosen: Chosen, as_json: bool) -> None:
    if as_json:
        data_json([{"sum": kind.name, "title": kind.title} for kind in SUMS.values()])
        return
    for line in listed(SUMS.values()):
        data(line)
    talk(f"What one takes: {typed_again('sum', chosen)} NAME")


def _explain(kind: SumKind, figures: Figures, as_json: bool) -> None:
    if as_json:
        data_json(_kind_as_dict(kind))
        return
    data(f"{kind.name}: {kind.explained}")
    data("\nInputs, typed as name=value; another unit of the same quantity may follow the number:")
    for each in kind.inputs:
        for line in about_input(each, figures):
            data(f"  {line}")
    if ways_of(kind):
        data(f"  {ways_of(kind)}")
    data("\nResults:")
    for found in kind.results:
        unit = f" ({found.unit})" if found.unit else ""
        data(f"  {found.name}{unit}: {found.description}")


def _tell(worked: Worked, as_json: bool) -> None:
    if as_json:
        data_json(_as_dict(worked))
        return
    data(f"{VERDICTS[worked.verdict]}: {worked.because}")
    for line in results_of(worked):
        data(f"  {line}")
    data(f"From: {', '.join(inputs_of(worked))}")
    data(f"How: {worked.shown}")


def _as_dict(worked: Worked) -> dict[str, Any]:
    """Return a worked sum as programs read it."""
    return {
        "sum": worked.name,
        "inputs": worked.used,
        "results": worked.values,
        "verdict": worked.verdict,
        "because": worked.because,
        "shown": worked.shown,
    }


def _kind_as_dict(kind: SumKind) -> dict[str, Any]:
    """Return what there is to know of a sum as programs read it."""
    return {
        "sum": kind.name,
        "title": kind.title,
        "explained": kind.explained,
        "inputs": [
            {
                **_named(each),
                "takes": each.takes,
                "required": each.required,
                "default": each.default,
                "choices": list(each.choices),
            }
            for each in kind.inputs
        ],
        "one_of": [list(way) for way in kind.one_of],
        "results": [_named(each) for each in kind.results],
    }


def _named(each: Named) -> dict[str, str]:
    return {"name": each.name, "unit": each.unit, "description": each.description}
