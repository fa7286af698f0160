"""References to a step of the wrong verb, that comes too late, or that may not apply."""

from collections.abc import Callable, Iterator
from typing import NamedTuple

from baycompanion.procedure.checks.findings import Findings
from baycompanion.procedure.checks.references import Reference, references
from baycompanion.procedure.paths import said
from baycompanion.procedure.steps import (
    Check,
    Choose,
    Count,
    Inspect,
    Measure,
    Record,
    Step,
    Sum,
    Wait,
    Witness,
)
from baycompanion.procedure.walk import steps_at
from baycompanion.text.problem import Problem, nearest, quoted


class Wanted(NamedTuple):
    """The steps that a word may lead to."""

    said: str
    fits: Callable[[Step], bool]


def _limited(step: Step) -> bool:
    return isinstance(step, Measure) and (step.at_least, step.at_most) != (None, None)


def _compares(step: Step) -> bool:
    return any(getattr(step, word, None) for word in ("matches", "repeats", "compares"))


def _tells_function(step: Step) -> bool:
    return isinstance(step, Check) or _limited(step)


def _gives_a_value(step: Step) -> bool:
    if isinstance(step, Record):
        return step.takes not in ("list", "stations") and not step.private
    if isinstance(step, Choose):
        return not step.by_lines
    return isinstance(step, Measure)


_WANTED = {
    "passed": Wanted("a check or a witness", lambda step: isinstance(step, Check | Witness)),
    "inside": Wanted("a measure with limits", _limited),
    "recorded": Wanted("a record", lambda step: isinstance(step, Record)),
    "over": Wanted("a wait", lambda step: isinstance(step, Wait)),
    "matching": Wanted("a count, record or inspect that is held against an earlier one", _compares),
    "provisional": Wanted("a check or a measure with limits", _tells_function),
    "witnessed": Wanted("a witness", lambda step: isinstance(step, Witness)),
    "good": Wanted("a sum", lambda step: isinstance(step, Sum)),
    "matches": Wanted("a count", lambda step: isinstance(step, Count)),
    "compares": Wanted("an inspect", lambda step: isinstance(step, Inspect)),
    "repeats": Wanted("a record", lambda step: isinstance(step, Record)),
    "answer": Wanted("a measure, a choose or a record that keeps one entry", _gives_a_value),
}
_EARLIER = ("matches", "compares", "repeats", "since", "answer", "of", "back-to", "provisional")
_ALWAYS_THERE = ("matches", "compares", "repeats", "answer", "back-to", "provisional")


def check_references(findings: Findings) -> Iterator[Problem]:
    """Yield a problem for each reference whose step exists and still cannot be meant."""
    procedure = findings.procedure
    for each in references(procedure):
        if not each.kind.startswith("step") or each.name not in procedure.steps:
            continue
        step = procedure.steps[each.name]
        wanted = _WANTED.get(each.word)
        if wanted is not None and not wanted.fits(step):
            yield _wrong_verb(findings, each, wanted)
        elif each.by is not None:
            yield from _late(findings, each)
            yield from _absent(findings, each)
            yield from _unlike(findings, each)
    yield from _kept_in_record(findings)
    yield from _standing(findings)


def _wrong_verb(findings: Findings, each: Reference, wanted: Wanted) -> Problem:
    steps = findings.procedure.steps
    fitting = [name for name, step in steps.items() if wanted.fits(step)]
    return findings.error(
        each.path,
        f"{each.word}: needs {wanted.said}, and {quoted(each.name)} is none",
        nearest(each.name, fitting) or "There is none in this file: write it first",
    )


def _late(findings: Findings, each: Reference) -> Iterator[Problem]:
    """Yield a reference that must lead back, and does not."""
    assert each.by is not None
    number = findings.number[each.name]
    if each.word in _EARLIER and number >= each.by.number:
        how = "is this step itself" if number == each.by.number else "comes later than this step"
        yield findings.error(
            each.path, f"{quoted(each.name)} {how}", f"Write a step before this one at {each.word}:"
        )


def _absent(findings: Findings, each: Reference) -> Iterator[Problem]:
    """Yield a reference to a step that does not apply on some way on which this one does."""
    assert each.by is not None
    if each.word not in _ALWAYS_THERE:
        return
    procedure = findings.procedure
    here = (each.by.step, procedure.phases[int(each.by.path[1])])
    there = (procedure.steps[each.name], procedure.phase_of[each.name])
    way = findings.paths.gap(here, there)
    if way is not None:
        yield findings.error(
            each.path,
            f"Where {said(way)}, {quoted(each.name)} does not apply and this step does",
            "Give both the same when: and unless:",
        )


def _unlike(findings: Findings, each: Reference) -> Iterator[Problem]:
    """Yield a record that cannot be held against the one it repeats."""
    assert each.by is not None
    now, before = each.by.step, findings.procedure.steps[each.name]
    if each.word != "repeats" or not isinstance(now, Record) or not isinstance(before, Record):
        return
    if now.private or before.private:
        what = "A private record keeps no words to compare"
        yield findings.error(each.path, what, "Delete private: or repeats:")
    elif now.takes != before.takes:
        what = f"{quoted(each.name)} takes {before.takes} and this record takes {now.takes}"
        yield findings.error(each.path, what, f"Write takes: {before.takes} here")


def _kept_in_record(findings: Findings) -> Iterator[Problem]:
    """Yield entries that stand by themselves in the record, and of which it could not show words.

    They are what the owner said, and serial numbers.
    """
    for at in steps_at(findings.procedure):
        for word, named in (("owner-word", "owner_word"), ("serial-of", "serial_of")):
            if not (isinstance(at.step, Record) and getattr(at.step, named)):
                continue
            if at.step.private:
                what = f"A private record keeps no words, and {word}: stands in the job record"
                yield findings.error((*at.path, word), what, "Delete private: here")
            elif at.step.takes != "words":
                what = f"{word}: needs a record of words, and this one takes a {at.step.takes}"
                yield findings.error((*at.path, word), what, "Delete takes: here")


def _standing(findings: Findings) -> Iterator[Problem]:
    """Yield standing conditions whose end does not follow, or not always, their beginning."""
    steps, phases = findings.procedure.steps, findings.procedure.phase_of
    for place, standing in enumerate(findings.procedure.standing):
        begins, ends, path = standing.begins, standing.ends, ("standing", place, "ends")
        if not {begins, ends} <= steps.keys():
            continue
        if findings.number[ends] <= findings.number[begins]:
            what = f"{quoted(ends)} does not come after {quoted(begins)}, which begins this"
            yield findings.error(path, what, "End it at a later step")
            continue
        way = findings.paths.gap((steps[begins], phases[begins]), (steps[ends], phases[ends]))
        if way is not None:
            what = f"Where {said(way)}, this begins and never ends"
            yield findings.error(
                path, what, f"Write when: and unless: of {begins} and {ends} alike"
            )
