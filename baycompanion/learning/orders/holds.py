"""What must stand before what: which orders of some steps a procedure itself allows.

An order of some steps is allowed if all the other steps can be done in between, before or after, so
that no step is begun before what it needs (`needs.py`). So A before B before C holds also where B
is not among them. The order of the file is always allowed.
"""

from collections.abc import Collection, Iterable, Iterator, Sequence

from baycompanion.learning.orders.need import is_met
from baycompanion.learning.orders.needs import Asked, Needs
from baycompanion.learning.orders.together import Together
from baycompanion.procedure.model import Procedure


def may_follow(procedure: Procedure, done: Collection[str], step: str) -> bool:
    """Return whether nothing that `step` needs is open where the steps in `done` are done.

    Whether it is done already is not asked.

    Raises:
        KeyError: The procedure has no such step.
    """
    return Holds(procedure).may_follow(done, step)


def is_allowed(procedure: Procedure, order: Sequence[str]) -> bool:
    """Return whether the steps in `order` may be done in that order; the others in their place.

    An order that is allowed on one vehicle on which all of them apply is allowed. One that names a
    step twice is not.

    Raises:
        KeyError: The procedure has no such step.
    """
    return Holds(procedure).is_allowed(order)


class Holds:
    """What must stand before what in one procedure, worked out once for many questions."""

    def __init__(self, procedure: Procedure) -> None:
        self.procedure = procedure
        self.together = Together(procedure)
        self._asked = Asked(procedure, self.together)
        self._needs: dict[frozenset[str], Needs] = {}

    def may_follow(self, done: Collection[str], step: str, given: Iterable[str] = ()) -> bool:
        """Return whether nothing that `step` needs is open, on vehicles with the steps `given`."""
        return is_met(self.needs({*given, step}).of(step), done)

    def is_allowed(self, order: Sequence[str]) -> bool:
        """Return whether the steps in `order` may be done in that order; the others in place."""
        between = _Between(self, frozenset(order))
        done = frozenset[str]()
        for step in order:
            if step in done or not between.may_come(step, done):
                return False
            done |= {step}
        return True

    def orders_of(self, steps: Collection[str]) -> tuple[tuple[str, ...], ...]:
        """Return every allowed order of a few steps, that of the file first."""
        named = frozenset(steps)
        between = _Between(self, named)
        in_file = sorted(named, key=self.procedure.number.__getitem__)

        def rest(done: frozenset[str]) -> Iterator[tuple[str, ...]]:
            if done == named:
                yield ()
            for step in in_file:
                if step not in done and between.may_come(step, done):
                    for further in rest(done | {step}):
                        yield step, *further

        return tuple(rest(frozenset()))

    def stands_before(self, first: str, then: str) -> bool:
        """Return whether no allowed order has `then` before `first`, wherever both apply."""
        if self.procedure.number[first] >= self.procedure.number[then]:
            return False
        both = (first, then)
        return self.together.ever(both) and first in self.needs(both).surely(then)

    def needs(self, given: Iterable[str]) -> Needs:
        """Return the needs of all steps on the vehicles on which the steps `given` apply."""
        named = self.together.bearing(given)
        if named not in self._needs:
            self._needs[named] = Needs(self.procedure, self.together, named, self._asked)
        return self._needs[named]


class _Between:
    """What can be done between some steps, as others of them are done."""

    def __init__(self, holds: Holds, named: frozenset[str]) -> None:
        self._needs = holds.needs(named)
        self._named = named
        self._reached: dict[frozenset[str], frozenset[str]] = {}

    def may_come(self, step: str, done: frozenset[str]) -> bool:
        """Return whether `step` may come next where those in `done` are done of the steps named."""
        if done not in self._reached:
            self._reached[done] = self._with_others(done)
        return is_met(self._needs.of(step), self._reached[done])

    def _with_others(self, done: frozenset[str]) -> frozenset[str]:
        """Return `done` and all that can be done by then, of what the steps named need.

        A need leads only to earlier steps, so going through them once in the order of the file is
        enough.
        """
        needs, reached = self._needs, set(done)
        for step in needs.behind(self._named):
            if (
                step not in self._named
                and needs.may_apply(step)
                and is_met(needs.of(step), reached)
            ):
                reached.add(step)
        return frozenset(reached)
