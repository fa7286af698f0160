"""What there is to know of one sum, read off its function and its two models."""

import inspect
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from types import UnionType
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

from pydantic.fields import FieldInfo

from baycompanion.trade.model import Inputs, Result, Takes, plain, written
from baycompanion.trade.units import OF_NO_UNIT, unit_of


@dataclass(frozen=True, slots=True)
class Named:
    """One input or result of a sum, as a form or a reference page shows it."""

    name: str
    description: str
    unit: str
    """Empty where it has none."""


@dataclass(frozen=True, slots=True)
class Input(Named):
    """One input of a sum."""

    takes: str
    """What to type, in words: `a number from 1 to 12 in mm, like 5`."""
    required: bool
    default: str | None
    """The text used where it is left out; None where it is required or then not judged."""
    choices: tuple[str, ...]
    """The only words accepted, or none where it is no choice."""


@dataclass(frozen=True, slots=True)
class SumKind:
    """One sum of the trade: its name, what it takes, what it gives, and the function."""

    name: str
    title: str
    """One line: the question it answers."""
    explained: str
    """The whole of what there is to say: formula, units, range, errors, source."""
    inputs: tuple[Input, ...]
    results: tuple[Named, ...]
    one_of: tuple[tuple[str, ...], ...]
    """Ways to say the same thing, by the names of their inputs: just one is taken."""
    function: Callable[[Any], Result]
    model: type[Inputs]


def read_off(function: Callable[[Any], Result]) -> SumKind:
    """Read off a function and its two models what the catalogue tells of the sum."""
    hints = get_type_hints(function)
    explained = inspect.getdoc(function) or ""
    found = hints["return"].model_fields
    return SumKind(
        name=function.__name__.replace("_", "-"),
        title=explained.partition("\n")[0],
        explained=explained,
        inputs=tuple(_input(*item) for item in hints["given"].model_fields.items()),
        results=tuple(
            Named(name, field.description or "", _unit(name))
            for name, field in found.items()
            if name not in Result.model_fields
        ),
        one_of=hints["given"].one_of,
        function=function,
        model=hints["given"],
    )


def _input(name: str, field: FieldInfo) -> Input:
    choices = get_args(field.annotation) if get_origin(field.annotation) is Literal else ()
    unit, default = _unit(name), field.get_default()
    return Input(
        name=name,
        description=field.description or "",
        unit=unit,
        takes=_takes(field, unit, choices),
        required=field.is_required(),
        default=None if field.is_required() or default is None else written(default),
        choices=choices,
    )


def _unit(name: str) -> str:
    """Return the unit that the name of an input or a result carries, or nothing."""
    return (unit_of(name) or OF_NO_UNIT).symbol


def _takes(field: FieldInfo, unit: str, choices: tuple[str, ...]) -> str:
    """Return what to type in `field`, in words."""
    if choices:
        return f"{', '.join(choices[:-1])} or {choices[-1]}"
    like = f", like {(field.examples or [''])[0]}"
    for mark in _marks(field):
        if isinstance(mark, Takes):
            return mark.words + like
    low, high = (
        next(plain(Decimal(getattr(mark, end))) for mark in field.metadata if hasattr(mark, end))
        for end in ("ge", "le")
    )
    return f"a number from {low} to {high}{' in ' if unit else ''}{unit}{like}"


def _marks(field: FieldInfo) -> Iterator[Any]:
    """Yield what marks a field, and what marks its type where it may be left out."""
    yield from field.metadata
    if isinstance(field.annotation, UnionType) or get_origin(field.annotation) is Union:
        for each in get_args(field.annotation):
            yield from getattr(each, "__metadata__", ())
