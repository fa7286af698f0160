"""The one list of sums, and the one way to work one from typed text."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Context, Decimal, localcontext
from types import MappingProxyType
from typing import Any

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from baycompanion.trade.amplifier import amplifier_current
from baycompanion.trade.battery import battery_rest, key_off, run_time
from baycompanion.trade.fasteners import screw_length
from baycompanion.trade.fuses import fuse_size
from baycompanion.trade.kind import Input, SumKind, read_off
from baycompanion.trade.model import OTHER_QUANTITY, Inputs, Result, Verdict, written
from baycompanion.trade.radio import station
from baycompanion.trade.speakers import speaker_load
from baycompanion.trade.splicing import splice
from baycompanion.trade.torque import screw_torque
from baycompanion.trade.vin import vin
from baycompanion.trade.wire import return_path, wire_drop, wire_size

_FUNCTIONS: tuple[Callable[[Any], Result], ...] = (
    wire_drop,
    wire_size,
    fuse_size,
    splice,
    screw_length,
    screw_torque,
    vin,
    station,
    battery_rest,
    key_off,
    run_time,
    speaker_load,
    amplifier_current,
    return_path,
)

SUMS: Mapping[str, SumKind] = MappingProxyType(
    {kind.name: kind for kind in map(read_off, _FUNCTIONS)}
)
"""Every sum by its name; a new one, a function of one `given`, is added to the tuple above."""


Value = int | float | str | bool | list[int | float | str] | None
"""An input or a result as JSON has it."""


@dataclass(frozen=True, slots=True)
class Worked:
    """A sum that was worked: everything in it but `values` is text, in plain digits."""

    name: str
    inputs: dict[str, str]
    """What was used, defaults included; what was left out and has none is not here."""
    results: dict[str, str]
    """What was found; what came to nothing, such as a wire where none will do, is not here."""
    used: dict[str, Value]
    """The inputs again, as plain numbers, words and lists."""
    values: dict[str, Value]
    """The results as plain numbers, words, lists, true or false, and None for nothing."""
    verdict: Verdict
    because: str
    """The verdict in words, one sentence."""
    shown: str
    """The formula with the numbers in it, one line."""


class WrongInput(ValueError):
    """An input of a sum that cannot be used; the message is one sentence that begins with it."""

    def __init__(self, name: str, wrong: str) -> None:
        """Say of the input called `name` what is `wrong` with it, and what to type."""
        super().__init__(f"{name} {wrong}")
        self.name = name
        self.wrong = wrong


def kind_of(name: str) -> SumKind:
    """Return the sum called `name`.

    Raises:
        ValueError: There is none; the message is one sentence that lists those there are.
    """
    if name not in SUMS:
        raise ValueError(f"There is no sum “{_quoted(name)}”: type one of {', '.join(SUMS)}.")
    return SUMS[name]


def inputs_of(name: str) -> tuple[str, ...]:
    """Return the names of all inputs of the sum called `name`, in the order they are asked for.

    Raises:
        ValueError: There is no such sum.
    """
    return tuple(each.name for each in kind_of(name).inputs)


def work(name: str, given: Mapping[str, str]) -> Worked:
    """Work the sum called `name` on typed text; the same text gives the same bytes anywhere.

    A list is typed with commas between its items; a number may carry any unit of what it measures;
    a choice may be typed in capitals; an input typed as nothing counts as left out.

    Raises:
        ValueError: There is no such sum, or an input is missing, unknown, unreadable or out of
            its range (`WrongInput`, where it is one that was given); the message is one sentence
            that names it and says what to type.
    """
    kind = kind_of(name)
    # A context of its own: what a caller did to the thread's must not reach the digits.
    with localcontext(Context(prec=28)):
        inputs = _read(kind, given)
        result = kind.function(inputs)
    found = {each.name: getattr(result, each.name) for each in kind.results}
    return Worked(
        name=kind.name,
        inputs={name: written(value) for name, value in inputs if value is not None},
        results={name: written(value) for name, value in found.items() if value is not None},
        used={name: _value(value) for name, value in inputs if value is not None},
        values={name: _value(value) for name, value in found.items()},
        verdict=result.verdict,
        because=result.because,
        shown=result.shown,
    )


def _value(found: Any) -> Any:
    """Return an input or a result as JSON has it; a wire or a cap is that as it is typed."""
    if isinstance(found, tuple):
        return [_value(each) for each in found]
    if isinstance(found, Decimal):
        return int(found) if found == found.to_integral_value() else float(found)
    if found is None or isinstance(found, int | str):
        return found
    text = written(found)
    return int(text) if text.isdecimal() else text


def _read(kind: SumKind, given: Mapping[str, str]) -> Inputs:
    """Return the inputs that the text in `given` spells, or refuse the first that is wrong."""
    known = {each.name: each for each in kind.inputs}
    for field in given:
        if field not in known:
            offer = ", ".join(known)
            raise ValueError(f"“{_quoted(field)}” is no input of {kind.name}: type one of {offer}.")
    typed = {field: _typed(known[field], text) for field, text in given.items() if text.strip()}
    try:
        return kind.model.model_validate(typed)
    except ValidationError as error:
        raise _refusal(kind, error.errors()[0], given) from None


def _typed(each: Input, text: str) -> str:
    """Return `text` without white space at its ends, and a choice in small letters."""
    return text.strip().lower() if each.choices else text.strip()


def _refusal(kind: SumKind, detail: ErrorDetails, given: Mapping[str, str]) -> ValueError:
    """Return one of pydantic's findings as one sentence of ours."""
    if not detail["loc"]:
        return ValueError(str(detail["ctx"]["error"]))
    each = next(each for each in kind.inputs if each.name == detail["loc"][0])
    if detail["type"] == "missing":
        return ValueError(f"{kind.name} needs {each.name}: type {each.takes}.")
    instead = detail["msg"] if detail["type"] == OTHER_QUANTITY else f"type {each.takes}"
    return WrongInput(each.name, f"cannot be “{_quoted(given[each.name])}”: {instead}.")


def _quoted(text: str) -> str:
    """Return the start of a text from outside, fit to stand in a sentence."""
    shown = "".join(sign if sign.isprintable() else "\N{REPLACEMENT CHARACTER}" for sign in text)
    return f"{shown[:40]}…" if len(shown) > 40 else shown
