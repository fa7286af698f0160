"""What a procedure tells the owner: read, put together from includes, and checked."""

from lamp import PROCEDURE

from baycompanion.procedure.check import check
from baycompanion.procedure.checks.language import check_language
from baycompanion.procedure.load import load_procedure
from baycompanion.trade.catalogue import SUMS

TOLD = """\
for-the-owner:
  - tell: Leave the lamp off while you drive.
"""
SHARED = """\
shared: more
phases: []
for-the-owner:
  - tell: Bring this sheet.
"""


def told(text: str) -> list[str]:
    """Return what the owner is told, of a text that may include the shared file."""
    loaded = load_procedure(text, "lamp.yaml", lambda path: (path, SHARED))
    return [line.tell for line in loaded.procedure.for_the_owner]


def test_a_procedure_tells_the_owner_nothing_unless_it_says_so() -> None:
    assert told(PROCEDURE) == []


def test_what_an_included_file_tells_comes_first() -> None:
    include = PROCEDURE.replace("phases:\n", "phases:\n  - include: more.yaml\n", 1)
    assert told(include) == ["Bring this sheet."]
    assert told(include + TOLD) == ["Bring this sheet.", "Leave the lamp off while you drive."]


def test_it_stands_in_the_text_that_a_job_pins() -> None:
    loaded = load_procedure(PROCEDURE + TOLD, "lamp.yaml")
    again = load_procedure(loaded.pinned_text, "procedure.yaml")
    assert again.procedure.for_the_owner == loaded.procedure.for_the_owner != ()


def test_a_line_for_a_choice_that_is_not_there_is_told_with_its_place() -> None:
    text = PROCEDURE + TOLD + "    when: { lamps: yes }\n"
    [problem] = check(load_procedure(text, "lamp.yaml"), SUMS)
    assert problem.place.line == text[: text.index("lamps:")].count("\n") + 1
    assert "lamps" in problem.what


def test_a_line_that_says_nothing_definite_is_told() -> None:
    vague = TOLD.replace("Leave the lamp off while you drive.", "Tighten the lamp as required.")
    found = check_language(load_procedure(PROCEDURE + vague, "lamp.yaml"))
    assert any("as required" in problem.what for problem in found)
