"""Names used twice, and names that lead nowhere."""

from collections.abc import Collection, Iterator, Mapping, Sequence

from baycompanion.procedure.checks.findings import Findings
from baycompanion.procedure.checks.references import Kind, references
from baycompanion.procedure.load import Loaded
from baycompanion.procedure.model import BENCH_GATE, Procedure
from baycompanion.procedure.walk import Path, applying_at, items_at, steps_at
from baycompanion.text.problem import Problem, nearest, quoted

Named = tuple[Path, str]
"""A name with the path to where it is given."""


def check_names(findings: Findings) -> Iterator[Problem]:
    """Yield a problem for each name given twice and for each name that leads nowhere."""
    for named in _apart(findings.procedure):
        yield from _twice(findings, named)
    yield from _like_a_bench_gate(findings)
    yield from _nowhere(findings)
    yield from _answers(findings)


def check_file_name(loaded: Loaded, file: str) -> Iterator[Problem]:
    """Yield a warning where a procedure has another name than `file`, without its ending.

    It stands on the shelf under the one, and its jobs, answers and releases go by the other.
    """
    name = loaded.procedure.procedure
    if name != file:
        yield Findings.on(loaded).warning(
            ("procedure",),
            f"The shelf finds this procedure as {quoted(file)}, the name of its file, and a job of "
            f"it looks for a newer revision as {quoted(name)}",
            f"Call the file {name}.yaml, or write procedure: {file}",
        )


def _apart(procedure: Procedure) -> Iterator[list[Named]]:
    """Yield each set of names that must differ from one another."""
    yield list(_steps_and_phases(procedure))
    yield _named("gates", "gate", procedure.gates)
    yield _named("tools", "tool", procedure.tools)
    yield _named("parts", "part", procedure.parts)
    yield _named("choices", "choice", procedure.choices)
    yield _named("standing", "standing", procedure.standing)
    for place, choice in enumerate(procedure.choices):
        yield [
            (("choices", place, "answers", nth), each) for nth, each in enumerate(choice.answers)
        ]
    for at in steps_at(procedure):
        yield [((*at.path, *below, "item"), item.item) for below, item in items_at(at.step)]


def _steps_and_phases(procedure: Procedure) -> Iterator[Named]:
    """Yield the ids of phases and steps: one set, because a gate may hold either."""
    for at in steps_at(procedure):
        if at.path[3] == 0:
            yield (*at.path[:2], "phase"), procedure.phases[int(at.path[1])].phase
        yield (*at.path, "id"), at.step.id


def _named(key: str, word: str, things: Sequence[object]) -> list[Named]:
    return [((key, place, word), getattr(thing, word)) for place, thing in enumerate(things)]


def _twice(findings: Findings, named: list[Named]) -> Iterator[Problem]:
    first: dict[str, Path] = {}
    for path, name in named:
        if name in first:
            place = findings.place(first[name])
            said = f"{quoted(name)} is used twice, first in {place.file}:{place.line}"
            yield findings.error(path, said, "Give one of the two another name")
        first.setdefault(name, path)


def _like_a_bench_gate(findings: Findings) -> Iterator[Problem]:
    for path, name in _named("gates", "gate", findings.procedure.gates):
        if name.startswith(BENCH_GATE):
            yield findings.error(
                path,
                f"Names that begin with {BENCH_GATE} belong to the gates made for tools and parts",
                "Give this gate another name",
            )


def _nowhere(findings: Findings) -> Iterator[Problem]:
    procedure = findings.procedure
    known = _known(procedure)
    for each in references(procedure):
        if each.name not in known[each.kind]:
            said = f"{quoted(each.name)} is the name of no {each.kind} here"
            instead = nearest(each.name, known[each.kind]) or f"Write the {each.kind} first"
            find = findings.error_at_key if each.is_key else findings.error
            found, own = find(each.path, said, instead), findings.loaded.node.place.file
            if found.place.file != own:  # an included file counts on others that go with it
                instead = f"Include the shared file that has it, too, or write it in {own}"
            yield find(each.path, said, instead)


def _known(procedure: Procedure) -> Mapping[Kind, Collection[str]]:
    return {
        "step": procedure.steps,
        "phase": procedure.phase_named,
        "step or phase": [*procedure.phase_named, *procedure.steps],
        "tool": [tool.tool for tool in procedure.tools],
        "part": [part.part for part in procedure.parts],
        "choice": [choice.choice for choice in procedure.choices],
    }


def _answers(findings: Findings) -> Iterator[Problem]:
    """Yield the answers under `when` and `unless` that their choice does not have."""
    procedure = findings.procedure
    answers = {choice.choice: choice.answers for choice in procedure.choices}
    for at in applying_at(procedure):
        for word, named in (("when", at.thing.when), ("unless", at.thing.unless)):
            for choice, given in named.items():
                for place, answer in enumerate(given):
                    if choice in answers and answer not in answers[choice]:
                        path = (*at.path, word, choice, place)
                        said = f"{quoted(answer)} is no answer to {quoted(choice)}"
                        yield findings.error(path, said, nearest(answer, answers[choice]))
