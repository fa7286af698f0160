"""Which limit a step has: of a reading, of a wait, of a torque.

Wrong ones come from other steps in the same unit, and where these are too few, from the right one
by a factor. Both are compared as numbers, so that no wrong one means the same.
"""

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal
from typing import TypeAlias

from baycompanion.job.deciding.measuring import limits_in_words
from baycompanion.learning.drill.asked import About, Option, Picked, Right, picked
from baycompanion.learning.drill.question_words import said, sentences, vehicle_lines
from baycompanion.learning.orders.holds import Holds
from baycompanion.procedure.cautions import Torque
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Measure, Step, Wait
from baycompanion.text.duration import write_duration
from baycompanion.text.reading import write_number

FACTORS = tuple(map(Decimal, ("0.5", "0.8", "1.2", "1.5", "2")))
"""What a limit is multiplied by for a wrong one: near enough to be believed, and seen apart."""
NEAR_FACTORS = tuple(map(Decimal, ("0.9", "0.95", "1.05", "1.1")))
"""The same for a band whose ends lie close together."""
ROUND_TIMES = (300, 60, 30, 5, 1)
"""A wrong wait is a whole number of the first of these seconds that it has five of."""

WAIT = "wait"
Bound: TypeAlias = Decimal | None


@dataclass(frozen=True, slots=True)
class Limit:
    """A limit of a step: a number, or the least and the most of a reading."""

    step: Step
    part: str
    asks: str
    lead: tuple[str, ...]
    quantity: str
    """What is limited, with its unit: only limits of one quantity are held against each other."""
    low: Bound
    high: Bound
    written: Callable[[Bound, Bound], str]
    source: str | None

    @property
    def option(self) -> Option:
        """The limit as an answer."""
        words = self.written(self.low, self.high)
        return Option(words, words)

    @property
    def meaning(self) -> tuple[str, Bound, Bound]:
        """What it says: 12.4 means what 12.40 does, and at least 0 as much as no lower limit."""
        return self.quantity, self.low or None, self.high


def about_limits(holds: Holds) -> Iterator[Picked]:
    """Yield a question for each limit of which the file says where it comes from, or why it is."""
    procedure = holds.procedure
    limits = [limit for step in procedure.steps.values() for limit in limits_of(step)]
    for limit in limits:
        question = _question(procedure, limit, limits)
        if question is not None:
            yield question


def _question(procedure: Procedure, limit: Limit, limits: Iterable[Limit]) -> Picked | None:
    step, phase = limit.step, procedure.phase_of[limit.step.id]
    why = sentences(step.why, f"From: {limit.source}" if limit.source else None)
    near = [each for each in limits if procedure.phase_of[each.step.id] is phase]
    known = {limit.meaning}
    return picked(
        About(procedure, "limit", phase.phase, step.id, part=limit.part),
        limit.asks,
        (*limit.lead, *vehicle_lines(procedure, (step.id,))),
        [Right(limit.option, why)] if why else (),
        [tuple(_unlike(some, known)) for some in (near, limits, _derived(limit))],
    )


def _unlike(limits: Iterable[Limit], known: set[tuple[str, Bound, Bound]]) -> Iterator[Option]:
    """Yield each limit of the same quantity that says something else than those known."""
    quantities = {quantity for quantity, _, _ in known}
    for limit in limits:
        if limit.quantity in quantities and limit.meaning not in known:
            known.add(limit.meaning)
            yield limit.option


def limits_of(step: Step) -> Iterator[Limit]:
    """Yield the limits of `step`."""
    lead = (said(step.text),)
    if isinstance(step, Measure) and (step.at_least, step.at_most) != (None, None):
        yield Limit(
            step,
            "",
            "Which limits hold for this reading?",
            lead,
            f"reading in {step.unit}",
            step.at_least,
            step.at_most,
            lambda low, high: limits_in_words(
                step.model_copy(update={"at_least": low, "at_most": high})
            ),
            step.source,
        )
    if isinstance(step, Wait) and step.lasts:
        asks, lasts = "How long is the wait?", Decimal(step.lasts)
        yield Limit(step, "", asks, lead, WAIT, lasts, None, _time, step.source)
    for torque in step.torque:
        if torque.value is not None:
            yield _tightness(step, torque)


def _time(seconds: Bound, none: Bound) -> str:
    return write_duration(int(seconds or 0))


def _round_time(seconds: Decimal) -> Decimal:
    """Return a time as somebody would remember it: 20 min, never 19 min 12 s."""
    step = next(each for each in ROUND_TIMES if seconds >= 5 * each or each == 1)
    return (seconds / step).quantize(Decimal(1), ROUND_HALF_UP) * step


def _tightness(step: Step, torque: Torque) -> Limit:
    band = f" ± {write_number(torque.plus_minus)}" if torque.plus_minus is not None else ""
    return Limit(
        step,
        re.sub(r"[\W_]+", "-", torque.fastener.casefold()).strip("-"),
        "How tight is this fastener?",
        (f"{torque.fastener} into {torque.into}", said(step.text)),
        f"torque in {torque.unit}",
        torque.value,
        None,
        lambda value, none: f"{write_number(value or Decimal())}{band} {torque.unit}",
        torque.source,
    )


def _derived(limit: Limit) -> Iterator[Limit]:
    """Yield the limit with its numbers multiplied, as somebody might misremember them."""
    low, high = limit.low, limit.high
    if limit.quantity == WAIT and low is not None:
        for factor in FACTORS:
            yield replace(limit, low=_round_time(low * factor))
        return
    close = low is not None and high is not None and 0 < high < 2 * low
    for factor in NEAR_FACTORS if close else FACTORS:
        yield replace(limit, low=_times(low, factor), high=_times(high, factor))


def _times(number: Bound, factor: Decimal) -> Bound:
    """Return `number` times `factor`, with as many decimals, or as two digits in all need."""
    if not number:
        return number
    step = Decimal(1).scaleb(min(int(number.as_tuple().exponent), number.adjusted() - 1))
    found = (number * factor).quantize(step, ROUND_HALF_UP)
    return found.quantize(Decimal(1)) if found == found.to_integral_value() else found
