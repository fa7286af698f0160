"""The map of a procedure, in lines and drawn: nothing left out, and every line leads somewhere."""

import re
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import pytest
from bay import SMALL

from baycompanion.procedure.mapping import GateRow, PhaseRow, RestRow, StepRow, map_rows
from baycompanion.procedure.model import Procedure
from baycompanion.sheets.procedure_map import map_drawing, map_page
from baycompanion.store.shelf import list_procedures, read_procedure
from baycompanion.views.procedure.map_lines import map_lines

SHIPPED = [read_procedure(path).procedure for path in list_procedures(Path("none")).values()]
HOSTILE = "</text><script>alert(1)</script>&amp;\x1b[31m"


@pytest.fixture(params=[SMALL, *SHIPPED], ids=lambda each: each.procedure)
def procedure(request: pytest.FixtureRequest) -> Procedure:
    return request.param  # type: ignore[no-any-return]


def test_the_rows_go_through_every_step_once_and_in_order(procedure: Procedure) -> None:
    numbers: list[int] = []
    for row in map_rows(procedure):
        if isinstance(row, StepRow):
            numbers.append(row.number)
        if isinstance(row, RestRow):
            numbers += range(row.first, row.last + 1)
    assert numbers == list(range(1, len(procedure.steps) + 1))


def test_every_gate_stands_right_before_all_that_it_holds(procedure: Procedure) -> None:
    found: dict[str, list[str]] = {name: [] for name in procedure.all_gates}
    waiting: list[str] = []
    for row in map_rows(procedure):
        if isinstance(row, GateRow):
            waiting.append(row.gate.gate)
            assert row.again == bool(found[row.gate.gate])
            found[row.gate.gate].append(row.holds)
        elif isinstance(row, StepRow):
            for name in waiting:
                gate = procedure.all_gates[name]
                phase = procedure.phase_of[row.step.id]
                assert {row.step.id, phase.phase} & set(gate.holds)
            waiting = []
        elif isinstance(row, RestRow):
            waiting = []
    for name, gate in procedure.all_gates.items():
        assert len(found[name]) == len(gate.holds)


def test_every_line_fits_80_columns_and_names_every_phase_and_gate(procedure: Procedure) -> None:
    lines = map_lines(procedure)
    assert max(map(len, lines)) <= 80
    text = " ".join(" ".join(lines).replace("=   ", "").replace("|   ", "").split())
    for number, phase in enumerate(procedure.phases, start=1):
        assert f"PHASE {number} of {len(procedure.phases)}: {phase.title}, step" in text
    for name in procedure.all_gates:
        assert f"GATE {name} holds " in text
    assert text.count(" override: ") == len(procedure.all_gates)


def test_the_drawing_is_whole_and_its_lines_end_at_gates(procedure: Procedure) -> None:
    root = ElementTree.fromstring(map_drawing(procedure))
    spaces = {"svg": "http://www.w3.org/2000/svg"}
    gates = {
        round(float(group.attrib["transform"].split()[1].rstrip(")"))) + 12
        for group in root.findall(".//svg:g[@class='gate']", spaces)
    }
    assert len(root.findall(".//svg:g[@class='phase']", spaces)) == len(procedure.phases)
    ends = [
        int(re.search(r"V(\d+)H", line.attrib["d"])[1])  # type: ignore[index]
        for line in root.findall(".//svg:g[@class='joined']/svg:path", spaces)
    ]
    assert set(ends) <= gates
    opened = sum(len(row.opens) for row in map_rows(procedure) if isinstance(row, StepRow))
    assert len(ends) == opened


def test_the_page_needs_nothing_but_itself_and_tells_every_gate() -> None:
    page = map_page(SMALL)
    assert not re.search(r"<script|https?://(?!www\.w3\.org/2000/svg)|src=|@import", page)
    for gate in SMALL.all_gates.values():
        assert f"<h3>{gate.gate}</h3>" in page


def test_the_page_shows_the_drawing_in_pieces_that_cut_no_row(procedure: Procedure) -> None:
    """In one piece it was higher than a sheet of paper, and rows were torn at its end."""
    drawing = ElementTree.fromstring(map_drawing(procedure))
    *_, height = map(int, drawing.attrib["viewBox"].split())
    pieces = re.findall(r'<svg class="piece" viewBox="0 (\d+) \d+ (\d+)"', map_page(procedure))
    tops = [int(top) for top, _ in pieces]
    assert tops[0] == 0
    assert [int(top) + int(high) for top, high in pieces] == [*tops[1:], height]
    rows = {int(y) for y in re.findall(r'transform="translate\(0 (\d+)\)"', map_drawing(procedure))}
    assert set(tops[1:]) <= rows
    paper = (297 - 2 * 12) / (210 - 2 * 12 - 2 * 4) * int(drawing.attrib["viewBox"].split()[2])
    assert max(int(high) for _, high in pieces) < paper / 4  # A4 (ISO 216), as the page sets it


def test_text_from_a_file_stays_text() -> None:
    gate = SMALL.gates[0].model_copy(update={"because": HOSTILE})
    phase = SMALL.phases[0].model_copy(update={"title": HOSTILE})
    hostile = SMALL.model_copy(
        update={
            "title": HOSTILE,
            "phases": (phase, *SMALL.phases[1:]),
            "gates": (gate, *SMALL.gates[1:]),
        }
    )
    for drawn in (map_page(hostile), map_drawing(hostile)):
        assert "<script" not in drawn
        assert "\x1b" not in drawn
        assert "&lt;script&gt;" in drawn


def test_rows_of_one_phase_follow_it() -> None:
    rows = map_rows(SMALL)
    assert isinstance(rows[0], PhaseRow)
    assert not any(
        isinstance(one, PhaseRow) and isinstance(other, PhaseRow) for one, other in pairwise(rows)
    )
