"""The readings of a made-up vehicle: inside their limits, and such that its sums come out good."""

import re
from decimal import ROUND_HALF_EVEN, Decimal
from random import Random
from typing import get_args

from baycompanion.learning.drawing_lots import lot
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.paths import Answers
from baycompanion.procedure.steps import Choose, Measure, Record, Step, Sum
from baycompanion.text.reading import write_number
from baycompanion.trade.catalogue import SUMS, work
from baycompanion.trade.fuses import RATINGS_A
from baycompanion.trade.kind import SumKind
from baycompanion.trade.units import converted, is_own, unit_of

_TRIES = 60
"""How often the inputs of a sum are drawn before its own examples are taken."""

_NEAR, _FAR = 0.03, 0.25
"""How far from its example an input lies, as a share: near at first, far where that will not do."""

_USUAL = {
    "V": ("12.45", "12.75"),
    "A": ("0.4", "1.8"),
    "mA": ("14", "38"),
    "mV": ("4", "30"),
    "Ω": ("0.4", "6.0"),
    "mm": ("2.0", "12.0"),
    "°C": ("14", "24"),
    "N m": ("4.0", "6.0"),
    "km": ("18200", "164000"),
    "Ah": ("50", "80"),
    "cmil": ("1200", "6000"),
}
"""What a reading without limits may be, by its unit; invented."""


def readings_of(procedure: Procedure, facts: Answers, seed: int) -> dict[str, str]:
    """Return what is read or written down at each step that takes a number, or feeds a sum.

    The inputs of a sum are drawn together until it comes out good, if they can.
    """
    found: dict[str, str] = {}
    for step in procedure.steps.values():
        if isinstance(step, Sum) and step.of in SUMS:
            found |= _for_sum(procedure, facts, step, found, seed)
    for step in procedure.steps.values():
        number = isinstance(step, Measure) or (isinstance(step, Record) and step.takes == "number")
        if number and step.id not in found:
            found[step.id] = _plain(step, lot(seed, "reading", step.id))
    for step in procedure.steps.values():
        if isinstance(step, Record) and step.repeats in found:
            found[step.id] = found[step.repeats]
    return found


def _for_sum(
    procedure: Procedure, facts: Answers, step: Sum, known: dict[str, str], seed: int
) -> dict[str, str]:
    """Return readings for the steps that feed `step` and have none in `known` yet."""
    kind = SUMS[step.of]
    given, free = _given(procedure, facts, step, known)
    chance = lot(seed, "sum", step.id)
    drawn: dict[str, str] = {}
    for attempt in range(_TRIES + 1):
        drawing = attempt < _TRIES
        spread = _NEAR if attempt < _TRIES // 2 else _FAR
        drawn = {
            source.id: _for_input(kind, name, source, chance if drawing else None, spread)
            for name, source in free.items()
        }
        put = {name: drawn[source.id] + _unit(source) for name, source in free.items()}
        if all(_fits(procedure.steps[name], drawn[name]) for name in drawn):
            try:
                if work(step.of, {**given, **put}).verdict == "good":
                    break
            except ValueError:
                continue
    return drawn


def _given(
    procedure: Procedure, facts: Answers, step: Sum, known: dict[str, str]
) -> tuple[dict[str, str], dict[str, Step]]:
    """Return the inputs of `step` that are known, and by input the steps that are still free."""
    given: dict[str, str] = {}
    free: dict[str, Step] = {}
    for name, value in step.inputs.items():
        if isinstance(value, str):
            given[name] = value
            continue
        source = procedure.steps[value.answer]
        if isinstance(source, Choose):
            given[name] = facts.get(source.settles[0], "")
        elif source.id in known:
            given[name] = known[source.id] + _unit(source)
        else:
            free[name] = source
    return given, free


def _unit(step: Step) -> str:
    unit = getattr(step, "unit", None)
    return f" {unit}" if unit else ""


def _for_input(kind: SumKind, name: str, source: Step, chance: Random | None, spread: float) -> str:
    """Return a value for one input, near its example; its example itself without a chance.

    Of an input that takes one of a few words it is one of these, the first without a chance.
    """
    field = kind.model.model_fields.get(name)
    words = get_args(field.annotation) if field is not None else ()
    if words and all(isinstance(word, str) for word in words):
        return str(chance.choice(words) if chance else words[0])
    example = str((field.examples or ["1"])[0]) if field is not None else "1"
    if "," in example:
        items = example.split(",")
        return ",".join(chance.sample(items, chance.randint(2, len(items))) if chance else items)
    if not re.fullmatch(r"[0-9]+(\.[0-9]+)?", example):
        return example
    number = Decimal(example)
    if chance is not None:
        share = Decimal(str(round(chance.uniform(1 - spread, 1 + spread), 3)))
        number = _rounded(number * share, number)
    return write_number(_in_unit_of(source, name, number))


def _rounded(number: Decimal, like: Decimal) -> Decimal:
    """Return `number` with the decimals of `like`, and no more digits than a person would read.

    From 1000 on, hundreds will do.
    """
    places = Decimal(1).scaleb(2 if abs(like) >= 1000 else int(like.as_tuple().exponent))
    near = number.quantize(places, ROUND_HALF_EVEN)
    return Decimal(f"{near:f}") if near else like


def _in_unit_of(source: Step, name: str, number: Decimal) -> Decimal:
    """Return `number`, in the unit of the input called `name`, in the unit of `source`."""
    unit, own = getattr(source, "unit", None), unit_of(name)
    if unit is None or own is None or is_own(unit, own):
        return number
    try:
        factor = converted(Decimal(1), unit, own, name)
    except (LookupError, ValueError):
        return number
    return Decimal(f"{(number / factor).normalize():f}") if factor else number


def _fits(step: Step, text: str) -> bool:
    """Return whether a reading lies inside the limits of `step`, where it has any."""
    if not isinstance(step, Measure):
        return True
    number = Decimal(text)
    low, high = step.at_least, step.at_most
    return (low is None or number >= low) and (high is None or number <= high)


def _plain(step: Step, chance: Random) -> str:
    """Return a number for `step` alone: well inside its limits, with the digits that they have."""
    low = step.at_least if isinstance(step, Measure) else None
    high = step.at_most if isinstance(step, Measure) else None
    if isinstance(step, Record) and step.unit == "A":  # written down off a fuse or its socket
        return write_number(chance.choice(RATINGS_A[:9]))
    if low is None and high is None:
        unit = getattr(step, "unit", None) or ""
        least, most = (Decimal(each) for each in _USUAL.get(unit, ("2", "90")))
        return write_number(_between(least, most, chance))
    if low is None:
        assert high is not None
        low = high * Decimal("0.1") if high > 0 else high - 10
    elif high is None:
        high = low * Decimal("1.1") if low > 0 else low + 10
    assert high is not None
    return write_number(_between(low, high, chance))


def _between(low: Decimal, high: Decimal, chance: Random) -> Decimal:
    """Return a number from `low` to `high`, both included."""
    places = min(int(low.as_tuple().exponent), int(high.as_tuple().exponent), 0)
    if high - low < 20 * Decimal(1).scaleb(places):  # too coarse to differ from time to time
        places -= 1
    share = Decimal(str(round(chance.uniform(0.2, 0.8), 3)))
    number = (low + (high - low) * share).quantize(Decimal(1).scaleb(places))
    return min(max(number, low), high)
