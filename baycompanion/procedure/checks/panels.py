"""Panels of the drawing that stand at lines which nobody looks over for marks, or stand twice."""

from collections.abc import Iterator

from baycompanion.procedure.checks.findings import Findings
from baycompanion.procedure.steps import Inspect, Item
from baycompanion.procedure.walk import Path, items_at, steps_at
from baycompanion.text.problem import Problem, quoted


def check_panels(findings: Findings) -> Iterator[Problem]:
    """Yield a problem for each panel that its list cannot show."""
    for at in steps_at(findings.procedure):
        looks = isinstance(at.step, Inspect) and at.step.looks_for == "marks"
        if looks:
            yield from _without_panels(findings, at.path, list(items_at(at.step)))
        first: dict[str, Path] = {}
        for below, item in items_at(at.step):
            path = (*at.path, *below, "panel")
            if item.panel is None:
                continue
            if not looks:
                said = f"The drawing with {quoted(item.panel)} is only for a list of marks"
                yield findings.error(
                    path, said, "Write looks-for: marks at the step, or leave panel: out"
                )
            elif item.panel in first:
                place = findings.place(first[item.panel])
                said = f"{quoted(item.panel)} is used twice, first in {place.file}:{place.line}"
                yield findings.error(path, said, "Leave panel: out at one of the two lines")
            first.setdefault(item.panel, path)


def _without_panels(
    findings: Findings, path: Path, lines: list[tuple[Path, Item]]
) -> Iterator[Problem]:
    """Yield a warning where no line of a list of marks has a place in the drawing.

    Its marks may be told in words alone, and two that are told so count as one, whatever they are.
    """
    if lines and all(item.panel is None for _, item in lines):
        said = (
            "No line of this list of marks names a panel, so marks told in words are not compared"
        )
        instead = "Name the panel: of each line that the drawing shows"
        yield findings.warning((*path, "looks-for"), said, instead)
