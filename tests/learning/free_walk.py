"""A job whose steps are done out of order, as far as the job engine's own gates let them.

It is what questions about orders are held against. It knows nothing of `learning/`: whether a gate
is open is asked of `job.gates.missing` on a state that was folded from events.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import product
from random import Random

from bay import START, T1, keys_in

from baycompanion.job.deciding.opening import open_job
from baycompanion.job.events.data import Data
from baycompanion.job.events.event import seal
from baycompanion.job.events.kinds import Answered, Ticked
from baycompanion.job.state.fold import begin, fold
from baycompanion.job.state.gates import missing
from baycompanion.job.state.order import rests_on
from baycompanion.job.state.state import State
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.paths import all_apply, with_phase
from baycompanion.procedure.steps import Choose, Step, Witness

HANDS_ON = ("do", "check", "measure", "wait")
"""Work on the vehicle, which a standing condition protects (job/deciding/reopening.py says why)."""


@dataclass
class FreeWalk:
    """A vehicle, by how the choices come out on it, and whether a mentor stands by."""

    procedure: Procedure
    answers: Mapping[str, str] = field(default_factory=dict)
    mentor: bool = False
    _states: dict[frozenset[str], State] = field(default_factory=dict)
    _open: dict[tuple[frozenset[str], str], bool] = field(default_factory=dict)

    @cached_property
    def applying(self) -> tuple[str, ...]:
        """Every step of this job, in the order of the file."""
        return tuple(name for name, step in self.procedure.steps.items() if self._applies(step))

    def may(self, done: frozenset[str], name: str) -> bool:
        """Return whether `name` may be begun where `done` is done."""
        if (done, name) not in self._open:
            self._open[done, name] = self._may(done, self.procedure.steps[name])
        return self._open[done, name]

    def allows(self, order: Sequence[str]) -> bool:
        """Return whether some order of all steps in which each may be begun has `order` in it."""
        others = [name for name in self.applying if name not in order]
        reached, tried = [(frozenset[str](), 0)], set[tuple[frozenset[str], int]]()
        while reached:
            done, place = at = reached.pop()
            if at in tried:
                continue
            tried.add(at)
            if place == len(order) and len(done) == len(self.applying):
                return True
            if place < len(order) and self.may(done, order[place]):
                reached.append((done | {order[place]}, place + 1))
            for name in others:
                if name not in done and self.may(done, name):
                    reached.append((done | {name}, place))
        return False

    def walk(self, chance: Random) -> list[str]:
        """Return some order of all steps, in which each may be begun when its turn comes."""
        done, order, left = frozenset[str](), list[str](), list(self.applying)
        while left:
            chance.shuffle(left)
            if chance.random() < 0.5:  # the late ones first, which gates hold the most
                left.sort(key=lambda name: -self.procedure.number[name])
            step = next(name for name in left if self.may(done, name))
            left.remove(step)
            order.append(step)
            done |= {step}
        return order

    def all_without(self, left_out: str) -> frozenset[str]:
        """Return every step that can be done while `left_out` is not."""
        done, grows = frozenset[str](), True
        while grows:
            more = {n for n in self.applying if n not in done and n != left_out}
            new = {name for name in more if self.may(done, name)}
            done, grows = done | new, bool(new)
        return done

    def _applies(self, step: Step) -> bool:
        here = all_apply(with_phase(self.procedure, step.id), self.answers)
        return here and (self.mentor or not (isinstance(step, Witness) and step.by_mentor))

    def _may(self, done: frozenset[str], step: Step) -> bool:
        state = self.state(done)
        shut = any(missing(self.procedure, state, g) for g in self.procedure.gates_on[step.id])
        needed = {name for name in rests_on(self.procedure, step) if name in self.applying}
        choices = {c for t in with_phase(self.procedure, step.id) for c in (*t.when, *t.unless)}
        return (
            not shut
            and needed <= done
            and choices <= state.choices.keys()
            and self._stands(done, step)
        )

    def _stands(self, done: frozenset[str], step: Step) -> bool:
        number = self.procedure.number
        for each in self.procedure.standing:
            inside = [
                name
                for name in self.applying
                if self.procedure.steps[name].verb in HANDS_ON
                and number[each.begins] < number[name] < number[each.ends]
            ]
            if step.id in inside and each.begins in self.applying and each.begins not in done:
                return False
            if step.id == each.ends and not done.issuperset(inside):
                return False
        return True

    def state(self, done: frozenset[str]) -> State:
        """Return the job in which just the steps in `done` came out well."""
        if done not in self._states:
            if not done:
                mentor = "S1" if self.mentor else None
                first = open_job(self.procedure, "ab" * 32, "job-1", keys_in(mentor=mentor))
                self._states[done] = begin(first)
            else:
                last = max(done, key=self.procedure.number.__getitem__)
                state = self.state(done - {last})
                for data in self._said(state, self.procedure.steps[last]):
                    state = fold(state, seal(data, T1.id, START, state.seq + 1, state.head))
                self._states[done] = state
        return self._states[done]

    def _said(self, state: State, step: Step) -> Iterator[Data]:
        if step.id in {name for names in self.procedure.staging.values() for name in names}:
            for item in self.procedure.items_of(step):
                if all_apply([item], state.choices):
                    yield Ticked(step=step.id, item=item.item, outcome="here", weight="good")
        settled = None
        if isinstance(step, Choose):
            settled = {name: self.answers[name] for name in step.settles}
        yield Answered(step=step.id, outcome="good", weight="good", settled=settled)


def every_walk(procedure: Procedure) -> tuple[FreeWalk, ...]:
    """Return a walk for every vehicle, with and without a mentor where that matters."""
    named = [choice.choice for choice in procedure.choices]
    ways = product(*(choice.answers for choice in procedure.choices))
    mentors = (
        (False, True)
        if any(isinstance(step, Witness) and step.by_mentor for step in procedure.steps.values())
        else (False,)
    )
    return tuple(
        FreeWalk(procedure, dict(zip(named, way, strict=True)), mentor)
        for way in ways
        for mentor in mentors
    )


def allowed_somewhere(walks: Sequence[FreeWalk], order: Sequence[str]) -> bool:
    """Return whether the engine allows `order` on some vehicle on which all of it applies."""
    return any(walk.allows(order) for walk in walks if set(order) <= set(walk.applying))


def a_vehicle(procedure: Procedure, chance: Random) -> FreeWalk:
    """Return a walk for some vehicle."""
    answers = {choice.choice: chance.choice(choice.answers) for choice in procedure.choices}
    return FreeWalk(procedure, answers, mentor=chance.random() < 0.5)
