"""Choices that nobody settles or uses, that decide nothing, and what no path reaches by them."""

from collections.abc import Iterator
from itertools import combinations

from baycompanion.procedure.checks.findings import Findings
from baycompanion.procedure.paths import all_apply, applies, rests_on, said
from baycompanion.procedure.steps import Choose
from baycompanion.procedure.walk import ApplyingAt, Path, applying_at, steps_at
from baycompanion.text.problem import Problem, quoted

MOST_ON_A_LINE = 3
"""Answers to a choice that is one line of several; the other keys answer several lines at once."""


def check_choices(findings: Findings) -> Iterator[Problem]:
    """Yield a problem for each choice that cannot work, and for each thing no path reaches."""
    applying = list(applying_at(findings.procedure))
    yield from _unsettled(findings, applying)
    yield from _of_one_answer(findings)
    yield from _settled_twice(findings)
    yield from _unlike_together(findings)
    for at in applying:
        yield from _used_early(findings, at)
        yield from _unreached(findings, at)
        yield from _unanswered(findings, at)


def _unsettled(findings: Findings, applying: list[ApplyingAt]) -> Iterator[Problem]:
    used = {name for at in applying for name in rests_on(at.thing)}
    for place, choice in enumerate(findings.procedure.choices):
        path, name = ("choices", place, "choice"), choice.choice
        if name not in findings.paths.settled_by:
            what = f"Nobody makes the choice {quoted(name)}"
            yield findings.error(path, what, f"Write a choose: step with settles: {name}")
        elif name not in used:
            what = f"The choice {quoted(name)} switches nothing on or off"
            yield findings.warning(
                path, what, "Write it under a when: or unless:, or use a record:"
            )


def _of_one_answer(findings: Findings) -> Iterator[Problem]:
    """Yield each choice that can come out in one way alone: it is asked, and decides nothing."""
    for place, choice in enumerate(findings.procedure.choices):
        if len(set(choice.answers)) == 1:
            yield findings.warning(
                ("choices", place, "answers"),
                f"The choice {quoted(choice.choice)} has one answer, so nothing is chosen",
                "Write the other answers, or take the choice out",
            )


def _settled_twice(findings: Findings) -> Iterator[Problem]:
    """Yield steps that settle a choice on a path on which an earlier step has settled it."""
    path_of = {at.number: at for at in steps_at(findings.procedure)}
    for name, settling in findings.paths.settled_by.items():
        for (first, *before), (number, *after) in combinations(settling, 2):
            ways = findings.paths.through(*before, *after)
            if any(all_apply((*before, *after), way) for way in ways):
                earlier = findings.place((*path_of[first].path, "settles"))
                yield findings.error(
                    (*path_of[number].path, "settles"),
                    f"{quoted(name)} is already settled in {earlier.file}:{earlier.line}",
                    "Settle a choice once, or write when: so that only one of the steps applies",
                )


def _unlike_together(findings: Findings) -> Iterator[Problem]:
    """Yield choices that are lines of one step and do not take the answers of the first.

    On every line of a list a key means the same.
    """
    for at in steps_at(findings.procedure):
        if not (isinstance(at.step, Choose) and at.step.by_lines):
            continue
        first, *rest = findings.procedure.settled_by(at.step) or [None]
        for choice in rest if first is not None else []:
            if first is not None and choice is not None and choice.answers != first.answers:
                yield findings.error(
                    (*at.path, "settles", at.step.settles.index(choice.choice)),
                    f"{quoted(choice.choice)} takes other answers than {quoted(first.choice)}, "
                    "and both are lines of this step",
                    "Give both the same answers, or settle it in a choose: step of its own",
                )
        if first is not None and len(first.answers) > MOST_ON_A_LINE:
            yield findings.error(
                (*at.path, "settles"),
                f"{quoted(first.choice)} has more than {MOST_ON_A_LINE} answers, and a line of "
                "several choices has no more keys",
                "Settle each in a choose: step of its own",
            )


def _used_early(findings: Findings, at: ApplyingAt) -> Iterator[Problem]:
    """Yield a choice that decides over something before it is settled."""
    for name in rests_on(at.thing):
        settling = findings.paths.settled_by.get(name, ())
        early = [each for each in settling if each[0] < at.number]
        late = [each for each in settling if each[0] >= at.number]
        for way in findings.paths.through(*(thing for each in settling for thing in each[1:])):
            before = any(all_apply(each[1:], way) for each in early)
            after = next((step.id for _, *each, step in late if all_apply((*each, step), way)), "")
            if after and not before:
                what = f"{quoted(name)} decides over this {at.what} and is settled only in {after}"
                instead = f"Move {after} before it, or take {name} out here"
                yield findings.error_at_key(_key(at, name), what, instead)
                break


def _unreached(findings: Findings, at: ApplyingAt) -> Iterator[Problem]:
    """Yield something that never applies although what it lies in sometimes does."""
    ways = findings.paths.through(*at.inside, at.thing)
    outer = [way for way in ways if all_apply(at.inside, way)]
    if outer and not any(applies(at.thing, way) for way in outer):
        yield findings.error(
            at.path,
            f"No path reaches this {at.what}: when: and unless: shut out every answer",
            "Hold them against each other and against those of what it lies in",
        )


def _unanswered(findings: Findings, at: ApplyingAt) -> Iterator[Problem]:
    """Yield something that rests on a choice on a path on which nobody settles it.

    There it would apply, since a choice not settled excludes nothing.
    """
    for way in findings.paths.through(*at.inside, at.thing):
        if all_apply((*at.inside, at.thing), way):
            missing = [name for name in rests_on(at.thing) if name not in way]
            if missing:
                yield findings.error_at_key(
                    _key(at, missing[0]),
                    f"Where {said(way)}, nobody settles {quoted(missing[0])}",
                    "Write when: so that this applies only where the choice is settled",
                )
                return


def _key(at: ApplyingAt, name: str) -> Path:
    """Return the path to the key under which `name` decides over `at`."""
    return (*at.path, "when" if name in at.thing.when else "unless", name)
