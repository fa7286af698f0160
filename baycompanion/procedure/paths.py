"""The ways through a procedure: how its choices can come out, and what then applies."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import islice

from baycompanion.procedure.model import Phase, Procedure
from baycompanion.procedure.steps import Applying, Choose

Answers = Mapping[str, str]
"""The answer to each choice that is settled."""

MOST_WAYS = 4096
"""How many ways are walked; a procedure that needs more is not judged on this count."""


def applies(thing: Applying, answers: Answers) -> bool:
    """Return whether `thing` belongs to the job; a choice not settled excludes nothing."""
    depends = thing.when or thing.unless  # few things do
    return not (depends and excluding(thing, answers))


def excluding(thing: Applying, answers: Answers) -> list[str]:
    """Return the choices whose answers keep `thing` out of the job."""
    wanted = [
        name for name, given in thing.when.items() if answers.get(name, given[0]) not in given
    ]
    unwanted = [name for name, given in thing.unless.items() if answers.get(name) in given]
    return wanted + unwanted


def all_apply(things: Iterable[Applying], answers: Answers) -> bool:
    """Return whether every one of `things` belongs to the job."""
    return all(applies(thing, answers) for thing in things)


def step_applies(procedure: Procedure, step: str, answers: Answers) -> bool:
    """Return whether the step of this id belongs to the job, by its own choices and its phase's."""
    if step not in procedure.optional:  # few are, and all are asked after every key
        return True
    thing, phase = with_phase(procedure, step)
    return applies(thing, answers) and applies(phase, answers)


def with_phase(procedure: Procedure, step: str) -> tuple[Applying, Applying]:
    """Return the step of this id and its phase: what decides together whether it applies."""
    return procedure.steps[step], procedure.phase_of[step]


def said(answers: Answers) -> str:
    """Return `answers` as they stand in a sentence: `camera is no and amplifier is yes`."""
    return " and ".join(f"{name} is {answer}" for name, answer in answers.items())


def rests_on(thing: Applying) -> list[str]:
    """Return the choices that `thing` depends on."""
    return [*thing.when, *(name for name in thing.unless if name not in thing.when)]


@dataclass(frozen=True, slots=True)
class Paths:
    """The choices of a procedure: their answers, and the steps that settle them, in order."""

    answers: Mapping[str, tuple[str, ...]]
    settled_by: Mapping[str, tuple[tuple[int, Phase, Choose], ...]]

    @classmethod
    def of(cls, procedure: Procedure) -> "Paths":
        """Return the choices of `procedure`."""
        settled_by: dict[str, tuple[tuple[int, Phase, Choose], ...]] = {}
        number = 0
        for phase in procedure.phases:
            for step in phase.steps:
                number += 1
                if isinstance(step, Choose):
                    settling = (number, phase, step)
                    for name in step.settles:
                        settled_by[name] = (*settled_by.get(name, ()), settling)
        return cls({choice.choice: choice.answers for choice in procedure.choices}, settled_by)

    def through(self, *things: Applying) -> tuple[Answers, ...]:
        """Return every way in which the choices that `things` rest on can come out.

        A choice whose step does not apply is left out of a way. Nothing is returned where it
        cannot be told: a name or an answer leads nowhere, or there are more than `MOST_WAYS`.
        """
        involved = self.involved(things)
        if involved is None:
            return ()
        ways: list[dict[str, str]] = [{}]
        for name in sorted(involved, key=lambda name: (self._settled_at(name), name)):
            further = (longer for way in ways for longer in self._further(name, way))
            ways = list(islice(further, MOST_WAYS + 1))
            if len(ways) > MOST_WAYS:
                return ()
        return tuple(ways)

    def gap(self, here: tuple[Applying, ...], there: tuple[Applying, ...]) -> Answers | None:
        """Return a way on which all of `here` apply and not all of `there`, if there is one."""
        ways = self.through(*here, *there)
        return next(
            (way for way in ways if all_apply(here, way) and not all_apply(there, way)), None
        )

    def involved(self, things: Iterable[Applying]) -> set[str] | None:
        """Return the choices that decide over `things`, those behind them included.

        None where a name or an answer leads nowhere.
        """
        open_things, involved = list(things), set[str]()
        while open_things:
            thing = open_things.pop()
            if not self._leads_somewhere(thing):
                return None
            for name in rests_on(thing):
                if name not in involved:
                    involved.add(name)
                    for _, phase, step in self.settled_by.get(name, ()):
                        open_things += [phase, step]
        return involved

    def _leads_somewhere(self, thing: Applying) -> bool:
        given = [*thing.when.items(), *thing.unless.items()]
        return all(set(answers) <= set(self.answers.get(name, ())) for name, answers in given)

    def _settled_at(self, name: str) -> int:
        """Return the number of the last step that settles the choice, 0 where none does."""
        return max((number for number, _, _ in self.settled_by.get(name, ())), default=0)

    def _further(self, name: str, way: dict[str, str]) -> Iterator[dict[str, str]]:
        """Yield `way` with each answer to the choice, or as it is where nobody settles it then."""
        by = self.settled_by.get(name, ())
        if by and not any(all_apply(each[1:], way) for each in by):
            yield way
            return
        for answer in self.answers[name]:
            yield {**way, name: answer}
