"""Put these steps in order, and find the one out of its place: two questions about a set of steps.

The steps of a phase make a set where the procedure itself says enough about their order: at least
half of all orders must be wrong. Where a phase says too little by itself, steps that it rests on
come in from the phases before it, the nearest first.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import factorial

from baycompanion.learning.drill.asked import About, Arranged, Kind, Option
from baycompanion.learning.drill.question_words import alike, sentences, vehicle_lines
from baycompanion.learning.orders.holds import Holds
from baycompanion.procedure.conditions import OnBench, leaves, step_named
from baycompanion.procedure.model import Phase, Procedure

MOST = 5
"""Steps in a set."""
FEWEST = 3
"""Steps in the smallest set, where the procedure has no more."""
FROM_BEFORE = 2
"""Steps of a full set that come from the phases before, where the phase alone says too little."""
MOST_FROM_BEFORE = 3
"""The same where the phase has too few steps itself."""
WRONG_BY_ITSELF = 4
"""A phase says enough by itself where only one order in so many is allowed."""

_NUMBERS = {3: "three", 4: "four", 5: "five"}
_ASKS: dict[Kind, str] = {
    "order": "Put these {} steps in order.",
    "misplaced": "One of these {} steps stands in the wrong place. Which one?",
}


def about_orders(holds: Holds) -> Iterator[Arranged]:
    """Yield two questions for each phase whose steps, with what they rest on, have an order."""
    for phase in holds.procedure.phases:
        steps = _set_of(holds, phase)
        orders = frozenset(holds.orders_of(steps)) if len(steps) >= FEWEST else frozenset()
        if orders and 2 * len(orders) <= factorial(len(steps)):
            yield _question(holds, "order", phase, steps, orders)
            if any(misplacings(steps, orders)):
                yield _question(holds, "misplaced", phase, steps, orders)


def _question(
    holds: Holds,
    kind: Kind,
    phase: Phase,
    steps: tuple[str, ...],
    orders: frozenset[tuple[str, ...]],
) -> Arranged:
    procedure = holds.procedure
    options = tuple(Option(name, procedure.steps[name].text) for name in steps)
    asks = _ASKS[kind].format(_NUMBERS[len(steps)])
    lead = vehicle_lines(procedure, steps)
    places = sorted([steps.index(name) for name in order] for order in orders)
    texts = [option.words for option in options]
    card = About(procedure, kind, phase.phase).card(asks, list(lead), texts, places)
    return Arranged(card, asks, lead, options, orders, _why(holds, steps))


@dataclass(frozen=True, slots=True)
class Misplacing:
    """A list with one step out of its place, and the lines without which it would be allowed."""

    lines: tuple[str, ...]
    accepted: tuple[str, ...]
    """The step that was moved comes first."""


def misplacings(steps: tuple[str, ...], orders: frozenset[tuple[str, ...]]) -> Iterator[Misplacing]:
    """Yield each way to move one of `steps` so that the list is wrong and not every line is.

    `steps` stand as in the file, `orders` are all that are allowed.
    """
    for moved in steps:
        rest = [name for name in steps if name != moved]
        for place in range(len(steps)):
            lines = (*rest[:place], moved, *rest[place:])
            if lines in orders:
                continue
            blamed = tuple(name for name in lines if _without(lines, name) in _less(orders, name))
            if moved in blamed and len(blamed) < len(lines):
                others = (name for name in blamed if name != moved)
                yield Misplacing(lines, (moved, *others))


def _less(orders: Iterable[tuple[str, ...]], name: str) -> set[tuple[str, ...]]:
    """Return the allowed orders of all steps but `name`, which can be done in between anywhere."""
    return {_without(order, name) for order in orders}


def _without(order: tuple[str, ...], name: str) -> tuple[str, ...]:
    return tuple(each for each in order if each != name)


def _set_of(holds: Holds, phase: Phase) -> tuple[str, ...]:
    """Return the steps of `phase` about whose order the most is said.

    Where that is little, some of them make room for steps that they rest on.
    """
    own = _most_related(holds, [step.id for step in phase.steps], MOST)
    if len(own) == MOST and WRONG_BY_ITSELF * len(holds.orders_of(own)) <= factorial(MOST):
        return _in_file(holds, own)
    before = _rested_on(holds, own[: MOST - FROM_BEFORE])
    return _in_file(holds, [*own[: MOST - len(before)], *before])


def _most_related(holds: Holds, steps: list[str], most: int) -> list[str]:
    """Return the steps whose order is fixed the most, one added to those before it at a time."""
    number, chosen = holds.procedure.number, list[str]()
    fixed = {name: _related(holds, name, steps) for name in steps}
    while len(chosen) < most:
        fitting = [name for name in steps if _fits(holds, name, chosen)]
        if not fitting:
            break
        chosen.append(
            max(
                fitting,
                key=lambda name: (_related(holds, name, chosen), fixed[name], -number[name]),
            )
        )
    return chosen


def _rested_on(holds: Holds, own: list[str]) -> list[str]:
    """Return the nearest steps of the phases before that some of `own` rest on."""
    staging = {name for names in holds.procedure.staging.values() for name in names}
    phases = {holds.procedure.phase_of[name].phase for name in own}
    found = list[str]()
    for name in reversed(holds.procedure.steps):
        if len(found) == MOST_FROM_BEFORE or len(own) + len(found) == MOST:
            break
        if name in staging or holds.procedure.phase_of[name].phase in phases:
            continue  # tools and parts come before all the work: a line for nothing
        leads = any(holds.stands_before(name, each) for each in own)
        if leads and _fits(holds, name, [*own, *found]):
            found.append(name)
    return found


def _in_file(holds: Holds, steps: list[str]) -> tuple[str, ...]:
    return tuple(sorted(steps, key=holds.procedure.number.__getitem__))


def _fits(holds: Holds, name: str, chosen: list[str]) -> bool:
    """Return whether `name` can be asked about together with the steps chosen."""
    steps = holds.procedure.steps
    words = {alike(steps[each].text) for each in chosen}
    new = name not in chosen and alike(steps[name].text) not in words
    return new and holds.together.ever((*chosen, name))


def _related(holds: Holds, name: str, others: Iterable[str]) -> int:
    """Return with how many of `others` the order of `name` is fixed."""
    return sum(
        holds.stands_before(name, each) or holds.stands_before(each, name) for each in others
    )


def _why(holds: Holds, steps: tuple[str, ...]) -> str:
    """Return what fixes the order of `steps`: gates and standing conditions, else their whys."""
    reasons = [*_gates_between(holds, steps), *_standing_round(holds.procedure, steps)]
    whys = [why for name in steps if (why := holds.procedure.steps[name].why)]
    return sentences(*list(dict.fromkeys(reasons or whys))[:2])


def _gates_between(holds: Holds, steps: tuple[str, ...]) -> Iterator[str]:
    """Yield what is said by the gates that hold one of `steps` until another is done."""
    procedure = holds.procedure
    for gate in procedure.all_gates.values():
        conditions = list(leaves(gate.until))
        waited = {step_named(leaf) for leaf in conditions}
        if any(isinstance(leaf, OnBench) for leaf in conditions):
            waited.update(*procedure.staging.values())
        held = [name for name in steps if gate in procedure.gates_on[name]]
        if any(
            holds.stands_before(name, each) for name in steps if name in waited for each in held
        ):
            yield gate.because


def _standing_round(procedure: Procedure, steps: tuple[str, ...]) -> Iterator[str]:
    for standing in procedure.standing:
        if standing.begins in steps or standing.ends in steps:
            yield standing.says
