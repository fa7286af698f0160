"""The fastener tray on the paper form: places to fill in, lines to add, and what stands already."""

from bay import SMALL_TEXT, Bay
from paper import Node, step, written
from printed import empty, sheet

from baycompanion.job.actions import AddToTray, Answer, TickLine
from baycompanion.procedure.load import load_procedure

LOADED = load_procedure(
    SMALL_TEXT.replace(
        "          - {item: screw, name: Screw}\n          - {item: clip, name: Clip}\n",
        "          - {item: clips, name: Clips of the bezel, group: Bezel}\n"
        "          - {item: screws, name: Screws of the receiver, group: Dash centre}\n",
    ),
    "panels.yaml",
)
PANELS = LOADED.procedure


def rows(page: Node, name: str) -> list[Node]:
    """Return the lines of a count, headings included."""
    return step(page, PANELS.number[name]).one("table", "lines").one("tbody").all("tr")


def cells(row: Node) -> list[str]:
    """Return what stands in a line: its text, then its numbers."""
    return [cell.text for cell in row.all("td")]


def counted_out() -> Bay:
    out = [
        TickLine(tick="out", item="clips", count=6),
        TickLine(tick="out", item="screws", count=4, size="M5 × 12", slot="A3"),
        AddToTray(add_to_tray="out", panel="Ashtray", fastener="Screws", count=2, slot="B1"),
        Answer(answer="out"),
    ]
    return Bay(PANELS).walk("back", out=out)


def test_each_panel_heads_its_lines_with_places_for_number_size_and_slot() -> None:
    shown = rows(empty(LOADED), "out")
    assert shown[0].text == "Bezel"
    assert cells(shown[1]) == ["Clips of the bezelSize Slot", ""]
    assert written(shown[1]) == ["", "", ""]


def test_what_nobody_foresaw_is_written_on_lines_left_for_it() -> None:
    for name, asks in (("out", "Panel Kind Size Slot"), ("back", "Panel Kind")):
        assert [row.text for row in rows(empty(LOADED), name)[-3:]] == [asks] * 3


def test_a_finished_count_stands_filled_in_with_the_lines_added_to_it() -> None:
    shown = rows(sheet(counted_out()), "out")
    assert [written(row) for row in shown if row.all("td")] == [
        ["", "", "6"],
        ["M5 × 12", "A3", "4"],
        ["", "B1", "2"],
    ]


def test_the_count_back_is_printed_the_last_off_first_with_what_came_off() -> None:
    shown = rows(sheet(counted_out()), "back")
    assert [row.text for row in shown[:5:2]] == ["Ashtray", "Dash centre", "Bezel"]
    assert [cells(row) for row in shown[1:6:2]] == [
        ["Screws, slot B1", "2", "", ""],
        ["Screws of the receiver, M5 × 12, slot A3", "4", "", ""],
        ["Clips of the bezel", "6", "", ""],
    ]


def test_an_exchange_and_what_is_left_over_stand_in_their_line() -> None:
    bay = counted_out()
    stated = {"exchanged": 1, "exchanged_for": "M5 × 16", "exchanged_why": "worn"}
    bay.do(TickLine(tick="back", item="screws", count=4, **stated))  # type: ignore[arg-type]
    bay.do(TickLine(tick="back", item="clips", count=5), TickLine(tick="back", item="t1", count=2))
    bay.do(Answer(answer="back"))
    shown = [cells(row) for row in rows(sheet(bay), "back")]
    assert ["Clips of the bezel – 1 left over", "6", "5", "0"] in shown
    screws = "Screws of the receiver, M5 × 12, slot A3 – 1 exchanged for M5 × 16 (worn)"
    assert [screws, "4", "4", "1"] in shown


def test_the_paper_asks_for_the_words_of_an_exchange() -> None:
    shown = step(empty(LOADED), PANELS.number["back"])
    assert shown.one("p", "words").text.startswith("For others: which line, what and why")


def test_what_lies_in_the_tray_is_said_where_the_job_stands() -> None:
    stands = sheet(counted_out()).one("section", "stands").text
    assert "In the tray: Bezel 6, Dash centre 4, Ashtray 2" in stands
