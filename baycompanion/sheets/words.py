"""What procedures and jobs hold, put into the words of the paper form."""

from collections.abc import Iterable

from baycompanion.job.state.state import Attempt
from baycompanion.job.state.words import moment_words
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.paths import excluding
from baycompanion.procedure.steps import Applying, Choose
from baycompanion.sheets.form import Source, Stamp


def moment(source: Source, at: str | None) -> str:
    """Return a moment of the journal in the zone of the form, without the day it was printed."""
    return moment_words(at, source.when) if at else ""


def stamp(source: Source, attempt: Attempt) -> Stamp:
    """Return when something was done and by whom; a late entry carries both of its times."""
    answer = attempt.answer
    if answer.claimed is None:
        return Stamp(moment(source, attempt.at), attempt.by)
    where = "on paper" if answer.on_paper else "from memory"
    keyed_in = f"keyed in {moment(source, attempt.at)}"
    return Stamp(f"{moment(source, answer.claimed)} {where}, {keyed_in}", attempt.by)


def plain(name: str) -> str:
    """Return the answer to a choice as a person reads it."""
    return name.replace("-", " ")


def numbers(steps: Iterable[int]) -> str:
    """Return step numbers, which go up, as they stand in a sentence: `step 4`, `steps 5-7, 9`."""
    runs: list[list[int]] = []
    for number in steps:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    said = [str(run[0]) if len(run) == 1 else f"{run[0]}-{run[-1]}" for run in runs]
    several = len(runs) > 1 or any(len(run) > 1 for run in runs)
    return f"{'steps' if several else 'step'} {', '.join(said)}"


def only_if(procedure: Procedure, *things: Applying) -> str:
    """Return under which answers to its choices all of `things` apply; empty where always."""
    said = []
    for thing in things:
        said += [_is(procedure, "only if", *given) for given in thing.when.items()]
        said += [_is(procedure, "not if", *given) for given in thing.unless.items()]
    return "; ".join(dict.fromkeys(said))


def _is(procedure: Procedure, begun: str, name: str, answers: tuple[str, ...]) -> str:
    settled = [
        procedure.number[step.id]
        for step in procedure.steps.values()
        if isinstance(step, Choose) and name in step.settles
    ]
    where = f" ({numbers(settled)})" if settled else ""
    return f"{begun} {choice_title(procedure, name)}: {' or '.join(map(plain, answers))}{where}"


def choice_title(procedure: Procedure, name: str) -> str:
    """Return what the choice called `name` is about."""
    return next((each.title for each in procedure.choices if each.choice == name), name)


def why_not(source: Source, *things: Applying) -> str:
    """Return which answers keep any of `things` out of the job, empty where none does."""
    names = [name for thing in things for name in excluding(thing, source.state.choices)]
    return "; ".join(
        f"{choice_title(source.procedure, name)}: {plain(source.state.choices[name])}"
        for name in dict.fromkeys(names)
    )


def applying_note(source: Source, *things: Applying) -> str:
    """Return why `things` do not apply or, where they do, what that rests on."""
    excluded = why_not(source, *things)
    if excluded:
        return f"not applicable, because {excluded}"
    return only_if(source.procedure, *things)
