"""The place of a line in the drawing: a panel by its name, once, and in a list of marks."""

from bay import SMALL_TEXT
from panels import LINES, PANELS_TEXT

from baycompanion.procedure.check import check
from baycompanion.procedure.load import load_procedure
from baycompanion.procedure.panels import PANELS
from baycompanion.procedure.steps import Inspect
from baycompanion.store.shelf import read_procedure, shipped
from baycompanion.text.problem import BadFile


def found(text: str) -> list[str]:
    """Return what is wrong with a procedure."""
    try:
        return [str(problem) for problem in check(load_procedure(text, "p.yaml"), {})]
    except BadFile as bad:
        return [str(problem) for problem in bad.problems]


def about_panels(text: str) -> list[str]:
    known = set(found(PANELS_TEXT))
    return [problem for problem in found(text) if problem not in known]


def test_a_panel_that_the_drawing_does_not_have_is_named_with_its_line() -> None:
    [problem] = about_panels(PANELS_TEXT.replace("panel: hood", "panel: bonnet"))
    line = PANELS_TEXT[: PANELS_TEXT.index("panel: hood")].count("\n") + 1
    assert problem.startswith(f"p.yaml:{line}:")
    assert "bonnet" in problem


def test_two_lines_cannot_have_the_same_panel() -> None:
    first = PANELS_TEXT[: PANELS_TEXT.index("panel: hood")].count("\n") + 1
    [problem] = about_panels(PANELS_TEXT.replace("panel: roof", "panel: hood"))
    assert f"“hood” is used twice, first in p.yaml:{first}" in problem


def test_only_a_list_of_marks_is_drawn() -> None:
    text = PANELS_TEXT.replace("{item: horn, name: Horn}", "{item: horn, name: Horn, panel: hood}")
    [problem] = about_panels(text)
    assert "The drawing with “hood” is only for a list of marks" in problem


def test_lines_without_a_panel_are_welcome() -> None:
    assert "tow-bar" in PANELS_TEXT
    assert not [problem for problem in found(PANELS_TEXT) if "drawing" in problem]
    assert len(LINES) == PANELS_TEXT.count("panel: ")


def test_the_shipped_list_has_a_line_for_every_panel_of_the_drawing() -> None:
    procedure = read_procedure(shipped("procedures") / "receiver-swap.yaml").procedure
    sheet = procedure.steps["marks-before"]
    assert isinstance(sheet, Inspect)
    assert sorted(str(item.panel) for item in sheet.of) == sorted(PANELS)


def test_a_list_of_marks_without_any_panel_is_warned_of_with_its_line() -> None:
    line = SMALL_TEXT[: SMALL_TEXT.index("looks-for: marks")].count("\n") + 1
    [warning] = [each for each in found(SMALL_TEXT) if "names a panel" in each]
    assert warning.startswith(f"p.yaml:{line}:")
    assert "marks told in words are not compared" in warning
    assert not any("names a panel" in each for each in found(PANELS_TEXT))
