"""What applies together: with some steps of a procedure, which other things always do.

A vehicle is known here only by steps that apply to it. What cannot be told, because the choices
come out in too many ways, is never said to apply always.
"""

from collections.abc import Iterable

from baycompanion.procedure import paths
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.paths import Answers, Paths, all_apply, with_phase
from baycompanion.procedure.steps import Applying, Step, Witness

Things = tuple[Applying, ...]


class Together:
    """What applies together in one procedure, worked out once for each question about it."""

    def __init__(self, procedure: Procedure) -> None:
        self._procedure = procedure
        self._paths = Paths.of(procedure)
        self._behind: dict[int, frozenset[str]] = {}
        self._of_step: dict[str, frozenset[str]] = {}
        self._ways: dict[tuple[int, ...], tuple[Answers, ...]] = {}
        self._ever: dict[frozenset[str], bool] = {}
        self._bearing = frozenset(
            step
            for step in procedure.steps
            if self._hangs(with_phase(procedure, step)) or by_mentor(procedure.steps[step])
        )

    def bearing(self, steps: Iterable[str]) -> frozenset[str]:
        """Return those of `steps` that do not apply everywhere: they say something of a vehicle."""
        return self._bearing.intersection(steps)

    def bearing_on(self, asked: Iterable[Applying], steps: Iterable[str]) -> frozenset[str]:
        """Return those of `steps` that can say anything of what is `asked`, or of a mentor."""
        choices = frozenset[str]().union(*map(self._choices, asked))
        rest, found = set(self.bearing(steps)), set[str]()
        while near := {name for name in rest if not choices.isdisjoint(self._choices_of(name))}:
            rest -= near
            found |= near
            choices = choices.union(*map(self._choices_of, near))
        return frozenset(
            found.union(name for name in rest if by_mentor(self._procedure.steps[name]))
        )

    def always(self, given: Iterable[str], *things: Applying) -> bool:
        """Return whether all of `things` apply wherever the steps `given` do, as far as known."""
        return self.always_one(given, (things,))

    def always_one(self, given: Iterable[str], alternatives: Iterable[Things]) -> bool:
        """Return whether wherever the steps `given` apply all things of one alternative do."""
        mentored = any(by_mentor(self._procedure.steps[name]) for name in given)
        fitting = [each for each in alternatives if mentored or not any(map(by_mentor, each))]
        if not all(map(self._hangs, fitting)):
            return True
        asked = tuple(thing for each in fitting for thing in each)
        known = self._related(self._things(given), asked)
        ways = [way for way in self._through(*known, *asked) if all_apply(known, way)]
        return bool(ways) and all(any(all_apply(each, way) for each in fitting) for way in ways)

    def ever(self, steps: Iterable[str]) -> bool:
        """Return whether there are vehicles on which all of `steps` apply, as far as known."""
        named = self.bearing(steps)
        if named not in self._ever:
            things = self._things(named)
            some = (self._some_way(self._related(things, (thing,))) for thing in things)
            self._ever[named] = all(some)
        return self._ever[named]

    def settling(self, choice: str, ahead_of: str) -> tuple[Step, ...]:
        """Return the steps before the step `ahead_of` that settle `choice`."""
        number = self._procedure.number[ahead_of]
        return tuple(step for at, _, step in self._paths.settled_by.get(choice, ()) if at < number)

    def _things(self, steps: Iterable[str]) -> Things:
        """Return what decides whether `steps` apply."""
        named = self.bearing(steps)
        return tuple(thing for name in named for thing in with_phase(self._procedure, name))

    def _hangs(self, things: Things) -> bool:
        return any(map(paths.rests_on, things))

    def _some_way(self, things: Things) -> bool:
        ways = self._through(*things)
        return not ways or any(all_apply(things, way) for way in ways)

    def _related(self, given: Things, asked: Things) -> Things:
        """Return those things given that have to do with the choices that decide over `asked`."""
        choices = frozenset[str]().union(*map(self._choices, asked))
        rest, found = list(given), list[Applying]()
        while near := [thing for thing in rest if not choices.isdisjoint(self._choices(thing))]:
            rest = [thing for thing in rest if choices.isdisjoint(self._choices(thing))]
            choices = choices.union(*map(self._choices, near))
            found += near
        return tuple(found)

    def _choices(self, thing: Applying) -> frozenset[str]:
        """Return the choices that decide over `thing`, those behind them included."""
        if id(thing) not in self._behind:
            self._behind[id(thing)] = frozenset(self._paths.involved((thing,)) or ())
        return self._behind[id(thing)]

    def _choices_of(self, step: str) -> frozenset[str]:
        """Return the choices that decide over a step, those behind them included."""
        if step not in self._of_step:
            things = with_phase(self._procedure, step)
            self._of_step[step] = frozenset[str]().union(*map(self._choices, things))
        return self._of_step[step]

    def _through(self, *things: Applying) -> tuple[Answers, ...]:
        hanging = tuple(thing for thing in things if paths.rests_on(thing))
        key = tuple(sorted(set(map(id, hanging))))
        if key not in self._ways:
            self._ways[key] = self._paths.through(*hanging)
        return self._ways[key]


def by_mentor(thing: Applying) -> bool:
    """Return whether `thing` is for the mentor of a trainee, whom most jobs do not have."""
    return isinstance(thing, Witness) and thing.by_mentor
