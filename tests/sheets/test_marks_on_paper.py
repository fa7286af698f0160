"""Marks on the paper form: an outline to draw them into, and those that are known in words."""

from datetime import UTC, datetime

from bay import Bay, tick
from panels import PANELS_TEXT
from paper import read

from baycompanion.job.actions import Answer, FoundMark, TickRest
from baycompanion.procedure.load import load_procedure
from baycompanion.sheets.page import draw
from baycompanion.sheets.paper import form_of_job

PROCEDURE = load_procedure(PANELS_TEXT, "procedure.yaml").procedure
WHEN = datetime(2026, 3, 2, 12, tzinfo=UTC)


def printed(bay: Bay):
    return read(draw(form_of_job(bay.procedure, bay.state, WHEN)))


def test_a_list_of_marks_has_an_outline_to_draw_into_and_no_other_step_has() -> None:
    bay = Bay(procedure=PROCEDURE)
    steps = printed(bay).all(of="step")
    drawn = {step.attributes["id"] for step in steps if step.all("svg")}
    numbers = {PROCEDURE.number[name] for name in ("panels", "panels-after")}
    assert drawn == {f"step-{number}" for number in numbers}
    assert printed(Bay()).all("svg") == []


def test_marks_that_are_known_stand_at_their_line_in_words() -> None:
    marks = (
        FoundMark(mark="dent", size_mm=8, place="front left"),
        FoundMark(mark="missing", place="middle", words="<b>badge</b>"),
    )
    bay = Bay(procedure=PROCEDURE).walk("panels")
    bay.do(tick("panels", "hood", "marked", marks=marks))
    bay.do(TickRest(tick_rest="panels"), Answer(answer="panels"))
    text = printed(bay).text
    assert "dent 8 mm, front left; missing, middle (<b>badge</b>)" in text
