"""Choices settled together and parts on order, as the paper form has them."""

from bay import Bay
from fitted import FITTED
from ordered import ordered_bay
from paper import Node, step
from printed import sheet

from baycompanion.job.actions import (
    Accept,
    Answer,
    Scan,
    TickLine,
    TickRest,
)


def lines(bay: Bay, name: str) -> list[Node]:
    """Return the lines of one step on the sheet of a job."""
    tables = step(sheet(bay), bay.procedure.number[name]).all("table", "lines")
    return [row for table in tables for row in table.all("tr") if row.all("td")]


def test_choices_settled_together_stand_line_by_line_with_their_boxes() -> None:
    bay = Bay(FITTED)
    bay.do(Accept(accept="hazards"), TickLine(tick="fitted", item="camera", value="yes"))
    bay.do(TickRest(tick_rest="fitted"), Answer(answer="fitted"))
    rows = lines(bay, "fitted")
    assert [row.all("td")[0].text for row in rows] == [
        "Opening roof",
        "Heated seats",
        "Camera no: leave out step 3",
    ]
    marks = [[box.text for box in row.all("span", "box")] for row in rows]
    assert marks[0] == marks[1] != marks[2]


def test_a_part_on_order_names_what_was_ordered_and_its_code() -> None:
    bay = ordered_bay().walk("parts")
    bay.do(Scan(scan="parts", code="4711"))
    [receiver, cap, *_] = lines(bay, "parts")
    assert "ordered: Receiver of one unit × 1, code 4711" in receiver.text
    assert "ordered: Caps in a bag × 3, code 0815" in cap.text
