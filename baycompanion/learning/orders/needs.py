"""What each step of a procedure needs done before it, as the procedure itself asks for it.

That is what its gates wait for, what its answer rests on, the choices that decide over it, and the
standing conditions round it. Nothing is needed only because it stands earlier in the file.

A vehicle may leave steps out. What is told here holds for every vehicle on which certain steps
apply, those of a question; where that cannot be told, less is needed rather than more. Only what
comes earlier in the file is ever needed, so the order of the file meets every need.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from baycompanion.job.deciding.reopening import HANDS_ON
from baycompanion.job.state.order import rests_on
from baycompanion.learning.orders.need import NEVER, NOTHING, Either, Every, Need, leaves
from baycompanion.learning.orders.together import Things, Together, by_mentor
from baycompanion.procedure import paths
from baycompanion.procedure.conditions import (
    AllOf,
    AnyOf,
    Condition,
    NoOpenFault,
    OnBench,
    step_named,
)
from baycompanion.procedure.model import Gate, Procedure, Standing
from baycompanion.procedure.paths import with_phase
from baycompanion.procedure.steps import Applying, Step


@dataclass(frozen=True, slots=True)
class Counting:
    """A condition of a gate: what meets it, and what takes it out of the reckoning."""

    met: Need
    out: Need
    """A choice that is settled may shut out the step it waits for: then it counts for nothing."""

    @property
    def passed(self) -> Need:
        """What lets it hold nobody up."""
        return self.met if self.out == NEVER else Either((self.met, self.out))


class Asked:
    """What is asked of a vehicle to work out the needs of a step, and what came of it before.

    Most steps given say nothing of most others, so few of the vehicles that a question may be about
    differ in the needs of a step. By it a deck takes a quarter less time.
    """

    def __init__(self, procedure: Procedure, together: Together) -> None:
        self._procedure = procedure
        self._together = together
        self._things: dict[str, tuple[Applying, ...]] = {}
        self.known: dict[tuple[str, frozenset[str]], Need] = {}
        """Needs, by the step and those steps given that can say anything of what is asked."""

    def telling(self, step: str, given: frozenset[str]) -> frozenset[str]:
        """Return those of `given` that can say anything of what the needs of `step` ask."""
        if step not in self._things:
            noted = _AllNoted(self._together)
            Needs(self._procedure, noted, frozenset(), self).asked_of(step)
            self._things[step] = tuple(noted.things)
        return self._together.bearing_on(self._things[step], (*given, step))


class _AllNoted:
    """Stands in for what applies together, takes note of what is asked, and never says yes.

    After a yes, less would be asked.
    """

    def __init__(self, together: Together) -> None:
        self.settling = together.settling
        self.ever = together.ever
        self.things: list[Applying] = []

    def always(self, given: Iterable[str], *things: Applying) -> bool:
        return self.always_one(given, (things,))

    def always_one(self, given: Iterable[str], alternatives: Iterable[Things]) -> bool:
        for things in alternatives:
            self.things.extend(things)
        return False


class Needs:
    """The needs of the steps of one procedure, on the vehicles on which all of `given` apply."""

    def __init__(
        self,
        procedure: Procedure,
        together: Together | _AllNoted,
        given: frozenset[str],
        asked: Asked,
    ) -> None:
        self._procedure = procedure
        self._together = together
        self._given = given
        self._asked = asked
        self._behind: dict[tuple[str, ...], tuple[str, ...]] = {}
        self._may_apply: dict[str, bool] = {}
        self._surely: dict[str, frozenset[str]] = {}
        self._known: dict[str, Need] = {}

    def of(self, step: str) -> Need:
        """Return what `step` needs where it applies together with the steps given."""
        if step not in self._known:
            key = step, self._asked.telling(step, self._given)
            if key not in self._asked.known:
                self._asked.known[key] = self.asked_of(step)
            self._known[step] = self._asked.known[key]
        return self._known[step]

    def asked_of(self, step: str) -> Need:
        """Work out what `step` needs, by asking what applies together."""
        return Every(tuple(self._parts(self._procedure.steps[step])))

    def behind(self, steps: Iterable[str]) -> tuple[str, ...]:
        """Return `steps` and all that they need, and that these need, in the order of the file."""
        named = tuple(steps)
        if named not in self._behind:
            open_steps, found = list(named), set(named)
            while open_steps:
                for name in leaves(self.of(open_steps.pop())):
                    if name not in found:
                        found.add(name)
                        open_steps.append(name)
            in_file = sorted(found, key=self._procedure.number.__getitem__)
            self._behind[named] = tuple(in_file)
        return self._behind[named]

    def surely(self, step: str) -> frozenset[str]:
        """Return the steps without which `step` can never be begun."""
        for name in self.behind((step,)):
            if name not in self._surely:
                self._surely[name] = self._without_fail(self.of(name)) or frozenset()
        return self._surely[step]

    def _without_fail(self, need: Need) -> frozenset[str] | None:
        """Return the steps without which `need` is never met; None where it never is anyway."""
        if isinstance(need, str):
            return self._surely[need] | {need} if self.may_apply(need) else None
        found = [self._without_fail(each) for each in need.of]
        ways = [each for each in found if each is not None]
        if isinstance(need, Every):
            return frozenset().union(*ways) if len(ways) == len(found) else None
        return frozenset.intersection(*ways) if ways else None

    def may_apply(self, step: str) -> bool:
        """Return whether `step` applies together with the steps given on some vehicle."""
        if step not in self._may_apply:
            self._may_apply[step] = self._together.ever((*self._given, step))
        return self._may_apply[step]

    def of_gate(self, gate: Gate, step: str) -> Need:
        """Return what opens `gate` where it holds `step`."""
        opens = self._all(gate.until, step).passed
        if self._always(step, gate):
            return opens
        return Either((opens, self._shut_out((gate,), step)))

    def _always(self, step: str, *things: Applying) -> bool:
        """Return whether `things` apply wherever `step` and the steps given do."""
        return self._together.always((*self._given, step), *things)

    def _parts(self, step: Step) -> Iterator[Need]:
        for gate in self._procedure.gates_on[step.id]:
            yield self.of_gate(gate, step.id)
        yield from self._always_there(rests_on(self._procedure, step), step)
        for choice in dict.fromkeys(self._choices_of(*with_phase(self._procedure, step.id))):
            yield self._settling(choice, step.id)
        for standing in self._procedure.standing:
            yield from self._of_standing(standing, step)

    def _of_standing(self, standing: Standing, step: Step) -> Iterator[Need]:
        """Yield its beginning for the work it protects, and that work for its end."""
        if not {standing.begins, standing.ends} <= self._procedure.steps.keys():
            return  # told by `check`
        if standing.ends == step.id:
            steps = self._procedure.steps.values()
            inside = [each.id for each in steps if self._is_protected(standing, each)]
            yield from self._always_there(inside, step)
        elif self._is_protected(standing, step):
            yield from self._always_there((standing.begins,), step)

    def _is_protected(self, standing: Standing, step: Step) -> bool:
        number = self._procedure.number
        within = number[standing.begins] < number[step.id] < number[standing.ends]
        return within and step.verb in HANDS_ON

    def _always_there(self, names: Iterable[str], step: Step) -> Iterator[str]:
        """Yield those of the steps `names`, all before `step`, that apply wherever it does."""
        number, steps = self._procedure.number, self._procedure.steps
        for name in names:
            ahead = name in steps and number[name] < number[step.id]
            if ahead and self._always(step.id, *with_phase(self._procedure, name)):
                yield name

    def _counting(self, condition: Condition, step: str) -> Counting:
        if isinstance(condition, AllOf):
            return self._all(condition.all, step)
        if isinstance(condition, AnyOf):
            found = [self._counting(each, step) for each in condition.any]
            met = tuple(each.met for each in found if each.met != NEVER)
            return Counting(Either(met), _every(each.out for each in found))
        if isinstance(condition, NoOpenFault):
            return Counting(NOTHING, NEVER)
        if isinstance(condition, OnBench):
            return Counting(self._on_bench(condition.on_bench, step), NEVER)
        return self._leaf(str(step_named(condition)), step)

    def _all(self, conditions: Iterable[Condition], step: str) -> Counting:
        found = [self._counting(each, step) for each in conditions]
        out = _every(each.out for each in found)
        met = tuple(each.passed for each in found)
        if out != NEVER:
            met = (*met, Either(tuple(each.met for each in found)))
        return Counting(Every(met), out)

    def _leaf(self, name: str, step: str) -> Counting:
        """Return how the step `name` counts before `step`: not at all if it comes later."""
        number = self._procedure.number
        if name not in number or number[name] >= number[step]:
            return Counting(NEVER, NOTHING)
        things = with_phase(self._procedure, name)
        if self._always(step, *things):
            return Counting(name, NEVER)
        if any(map(by_mentor, things)):
            return Counting(name, NOTHING)
        return Counting(name, self._shut_out(things, step))

    def _shut_out(self, things: Iterable[Applying], step: str) -> Either:
        """Return what can tell that one of `things` does not apply: a choice that is settled.

        Where nothing does ahead of `step`, nothing is asked for.
        """
        settling = tuple(
            each.id
            for choice in self._choices_of(*things)
            for each in self._together.settling(choice, step)
        )
        return Either(settling or (NOTHING,))

    def _choices_of(self, *things: Applying) -> list[str]:
        return [choice for thing in things for choice in paths.rests_on(thing)]

    def _settling(self, choice: str, step: str) -> Need:
        """Return the step that settles `choice`, if one does on every vehicle."""
        settling = [each.id for each in self._together.settling(choice, step)]
        things = [with_phase(self._procedure, name) for name in settling]
        given = (*self._given, step)
        return Either(tuple(settling)) if self._together.always_one(given, things) else NOTHING

    def _on_bench(self, phase: str, step: str) -> Need:
        """Return the steps that tick off what `phase` needs, each tool and part of it."""
        parts: list[Need] = []
        for what, needed in self._procedure.needed_by(phase).items():
            number = self._procedure.number
            staging = tuple(
                name for name in self._procedure.staging[what] if number[name] < number[step]
            )
            if not staging or not needed:
                continue
            always = any(self._always(step, thing) for thing in needed)
            out = () if always else tuple(self._shut_out((thing,), step) for thing in needed)
            parts.append(Either(staging) if always else Either((*staging, Every(out))))
        return Every(tuple(parts))


def _every(needs: Iterable[Need]) -> Need:
    """Return all of `needs` together; never met where one of them is not."""
    parts = tuple(needs)
    return NEVER if NEVER in parts else Every(parts)
