"""The walk round the vehicle on the screen: by arrows, by letters, by touch, and as a list."""

from pathlib import Path

import pytest
from bay import tick
from bench import Bench, Click, Typed, press, shown
from panels import PANELS_TEXT
from pictures import text_of
from textual.pilot import Pilot
from textual.widgets import OptionList
from walker import picture

from baycompanion.job.actions import Answer, FoundMark, TickRest
from baycompanion.procedure.panels import Panel
from baycompanion.screens.job.card_pane import CardPane
from baycompanion.screens.job.outline import Outline
from baycompanion.screens.too_small import LEAST_HEIGHT, LEAST_WIDTH
from baycompanion.views.card.outline import WIDTH, sheet_of

SCRATCH = FoundMark(mark="scratch", size_mm=12, place="lower left")


@pytest.fixture
def marks(bench: Bench) -> Bench:
    """Return a bench whose jobs ask for marks on panels of the drawing."""
    bench.use(PANELS_TEXT)
    return bench


def outline(pilot: Pilot[int]) -> Outline:
    return pilot.app.screen.query_one(Outline)


def in_hand(pilot: Pilot[int]) -> str:
    """Return the label and the sign that stand between the brackets."""
    drawn = [line[:WIDTH] for line in str(outline(pilot).content).splitlines()[:10]]
    [line] = [line for line in drawn if "[" in line]
    return line[line.index("[") + 1 : line.index("]")].strip()


def line_in_hand(pilot: Pilot[int]) -> str:
    """Return the line below the drawing."""
    return str(outline(pilot).content).splitlines()[10]


async def touch_panel(pilot: Pilot[int], panel: Panel) -> None:
    cell = sheet_of(panel).cells[panel]
    at = (int(cell.middle), cell.row + cell.height - 1)
    assert await pilot.click("#outline", offset=at)
    await pilot.pause()


def ticks(bench: Bench, folder: Path) -> list[tuple[str, str]]:
    """Return the lines answered so far, read from the disk."""
    lines = [each["data"] for each in bench.journal(folder) if each["kind"] == "ticked"]
    return [(each["item"], each["outcome"]) for each in lines if each["step"] == "panels"]


def test_arrows_choose_a_panel_and_one_key_answers_it(marks: Bench) -> None:
    folder = marks.job("panels")

    async def walk(pilot: Pilot[int]) -> None:
        assert line_in_hand(pilot) == "· Hood"
        await press(pilot, "right")
        assert line_in_hand(pilot) == "· Roof"
        await press(pilot, "down")
        assert (line_in_hand(pilot), in_hand(pilot)) == ("· Left front door", "door    ·")
        await press(pilot, "down")
        assert line_in_hand(pilot) == "· Dash centre"
        await press(pilot, "1")

    marks.run(walk, folder)
    assert ticks(marks, folder) == [("dash-centre", "unmarked")]


def test_a_touch_chooses_a_panel(marks: Bench) -> None:
    folder = marks.job("panels")

    async def walk(pilot: Pilot[int]) -> None:
        await touch_panel(pilot, "right-front-door")
        assert line_in_hand(pilot) == "· Right front door"
        await touch_panel(pilot, "left-front-fender")  # which this list does not ask for
        assert line_in_hand(pilot) == "· Right front door"
        await touch_panel(pilot, "roof")
        await press(pilot, "3")

    marks.run(walk, folder)
    assert ticks(marks, folder) == [("roof", "not fitted")]


@pytest.mark.parametrize("height", [32, 36, 50])
def test_on_a_high_screen_the_answers_stand_below_a_long_list(bench: Bench, height: int) -> None:
    last = "          - {item: tow-bar, name: Tow bar}\n"
    more = "".join(f"          - {{item: more-{n}, name: More {n}}}\n" for n in range(30))
    assert last in PANELS_TEXT
    bench.use(PANELS_TEXT.replace(last, last + more))

    async def walk(pilot: Pilot[int]) -> None:
        assert outline(pilot).display
        keys = [each for each in pilot.app.screen.query("#keys Button") if each.display]
        card = pilot.app.screen.query_one(CardPane)
        assert len(keys) == 5
        assert all(card.content_region.contains_region(each.region) for each in keys)
        assert all(each.region.height for each in keys)

    bench.run(walk, bench.job("panels"), size=(120, height))


def test_on_a_low_screen_the_list_stands_beside_the_drawing_and_takes_a_touch(marks: Bench) -> None:
    folder = marks.job("panels")

    async def walk(pilot: Pilot[int]) -> None:
        drawn = str(outline(pilot).content).splitlines()[:10]
        assert [line[48:].strip() for line in drawn[:3]] == [
            "▸· Hood",
            "· Roof",
            "· Left front door",
        ]
        assert await pilot.click("#outline", offset=(52, 3))
        await pilot.pause()
        assert line_in_hand(pilot) == "· Right front door"
        for key in ("1  Unmarked", "4  Could not see…", "9  The other 7: all"):
            assert key in text_of(pilot.app)
        assert "unmarked" in text_of(pilot.app).splitlines()[-5]

    marks.run(walk, folder)


def test_a_line_beside_the_drawing_takes_a_touch_though_nothing_is_drawn_of_it(
    marks: Bench,
) -> None:
    """The list alone stands then, and a touch on a line that is drawn leads back."""
    folder = marks.job("panels")

    async def walk(pilot: Pilot[int]) -> None:
        assert await pilot.click("#outline", offset=(52, 6))
        await pilot.pause()
        assert not outline(pilot).display
        await press(pilot, Click("#key-2"))
        assert outline(pilot).display, "the next line is drawn"
        assert await pilot.click("#outline", offset=(52, 6))
        await pilot.pause()
        assert await pilot.click("#rows", offset=(4, 1))
        await pilot.pause()
        assert outline(pilot).display
        assert not pilot.app.screen.query_one("#rows").display
        assert line_in_hand(pilot) == "· Roof"

    marks.run(walk, folder)
    assert ticks(marks, folder) == [("tow-bar", "not fitted")]


def test_on_a_low_screen_the_sequence_is_back_with_the_next_step(marks: Bench) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        sequence = pilot.app.screen.query_one("#sequence")
        assert not sequence.display
        await press(pilot, *["1"] * 7, "enter")
        await pilot.pause()
        assert sequence.display

    marks.run(walk, marks.job("panels"))


def test_letters_lead_to_the_panels_of_that_name(marks: Bench) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "d")
        assert line_in_hand(pilot) == "· Left front door"
        await press(pilot, "right", "d")
        assert line_in_hand(pilot) == "· Left front door"
        await press(pilot, *"c", *"on")
        assert line_in_hand(pilot) == "· Console"
        await press(pilot, "z")
        assert line_in_hand(pilot) == "· Console"

    marks.run(walk, marks.job("panels"))


def test_one_key_walks_the_panels_in_the_order_of_the_list_and_enter_finishes(marks: Bench) -> None:
    folder = marks.job("panels")
    marks.press(folder, *["1"] * 7, "enter")
    assert ticks(marks, folder) == [
        (name, "unmarked")
        for name in (
            "hood",
            "roof",
            "left-front-door",
            "right-front-door",
            "dash-centre",
            "console",
            "tow-bar",
        )
    ]
    assert marks.last(folder, "answered")["data"]["step"] == "panels"


def test_enter_says_of_no_panel_that_it_is_unmarked(marks: Bench) -> None:
    """What is found by looking wants a key of its own; an Enter too many would say it is well."""
    folder = marks.job("panels")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "enter")
        assert "Press 1 for unmarked" in shown(pilot, "#message")
        await press(pilot, "tab", "enter")
        assert "Press 1 for unmarked" in shown(pilot, "#message")

    marks.run(walk, folder)
    assert ticks(marks, folder) == []


def test_one_key_says_that_all_the_rest_is_unmarked(marks: Bench) -> None:
    folder = marks.job("panels")
    marks.press(folder, "3", "9")
    assert ticks(marks, folder)[0] == ("hood", "not fitted")
    assert [outcome for _, outcome in ticks(marks, folder)[1:]] == ["unmarked"] * 6


def test_a_line_that_is_not_drawn_is_in_the_list_and_tab_turns_to_it(marks: Bench) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        rows = pilot.app.screen.query_one("#rows", OptionList)
        assert (outline(pilot).display, rows.display) == (True, False)
        await press(pilot, "tab")
        assert (outline(pilot).display, rows.display) == (False, True)
        await press(pilot, "down", "tab")
        assert (outline(pilot).display, rows.display) == (True, False)
        assert line_in_hand(pilot) == "· Roof"
        await press(pilot, *["1"] * 5)
        assert (outline(pilot).display, rows.display) == (False, True)
        assert rows.has_focus

    marks.run(walk, marks.job("panels"))


def test_on_a_high_screen_drawing_and_list_stand_together(marks: Bench) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        rows = pilot.app.screen.query_one("#rows", OptionList)
        assert (outline(pilot).display, rows.display) == (True, True)
        await press(pilot, "right")
        assert rows.highlighted == 1
        await press(pilot, "tab", "down")
        assert line_in_hand(pilot) == "· Left front door"

    marks.run(walk, marks.job("panels"), size=(120, 36))


def test_a_window_too_narrow_for_the_drawing_shows_the_list(marks: Bench) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        rows = pilot.app.screen.query_one("#rows", OptionList)
        assert (outline(pilot).display, rows.display, rows.has_focus) == (False, True, True)
        await pilot.resize_terminal(80, 24)
        await pilot.pause()
        assert (outline(pilot).display, rows.display) == (True, False)
        await press(pilot, "tab", "tab")
        await pilot.resize_terminal(LEAST_WIDTH, LEAST_HEIGHT)
        await pilot.pause()
        assert (outline(pilot).display, rows.display, rows.has_focus) == (False, True, True)
        await press(pilot, "down", "1")

    folder = marks.job("panels")
    marks.run(walk, folder, size=(LEAST_WIDTH, LEAST_HEIGHT))
    assert ticks(marks, folder) == [("roof", "unmarked")]


MARK = ("2", "down", "enter", Typed("8 mm"), "enter", "down", "enter", Typed("by the handle"))


def test_marks_are_added_one_by_one_and_counted_in_the_drawing(
    marks: Bench, tmp_path: Path
) -> None:
    folder = marks.job("panels")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "d", *MARK, "enter", Typed(str(picture(tmp_path))), "enter")
        assert line_in_hand(pilot) != "· Left front door"
        await press(pilot, "left", "right")
        await touch_panel(pilot, "left-front-door")
        assert in_hand(pilot) == "door    1"
        await press(pilot, "2", "enter", Typed("30"), *["enter"] * 4)
        await touch_panel(pilot, "left-front-door")
        assert in_hand(pilot) == "door    2"
        assert line_in_hand(pilot) == (
            "! Left front door [marked: dent 8 mm, middle rear (by the handle); "
            "scratch 30 mm, middle]"
        )

    marks.run(walk, folder)
    data = marks.last(folder, "ticked")["data"]
    added = marks.last(folder, "photo-added")["data"]
    assert [(each["mark"], each["size_mm"], each["place"]) for each in data["marks"]] == [
        ("dent", 8, "middle rear"),
        ("scratch", 30, "middle"),
    ]
    assert data["marks"][0]["photo"] == added["file"]
    assert (folder / "photos" / added["file"]).read_bytes() == picture(tmp_path).read_bytes()


def test_kind_and_field_of_a_mark_are_found_by_their_first_letters(marks: Bench) -> None:
    folder = marks.job("panels")
    marks.press(folder, "2", "s", "enter", Typed("5"), "enter", "r", *["enter"] * 3)
    marks.press(folder, "2", "s", "s", "enter", Typed("5"), "enter", *"mm", *["enter"] * 3)
    found = [each["data"] for each in marks.journal(folder) if each["kind"] == "ticked"]
    lines = [each["marks"] for each in found if each["step"] == "panels"]
    assert [(each["mark"], each["place"]) for [each] in lines] == [
        ("stain", "rear left"),
        ("scratch", "middle left"),
    ]


@pytest.mark.parametrize(
    ("size", "photo", "says"),
    [
        ("", "", "Type the longest extent in mm: a whole number from 1 to 9999."),
        ("1.5", "", "Type the longest extent in mm: a whole number from 1 to 9999."),
        ("5", "none.png", "There is no file none.png. Check the path."),
        ("5", "newest", "Type a path: the shop has no watched folder in shop.yaml."),
    ],
)
def test_a_mark_that_cannot_be_taken_down_is_refused_with_a_sentence(
    marks: Bench, size: str, photo: str, says: str
) -> None:
    folder = marks.job("panels")
    before = marks.kinds(folder)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "2", "enter", Typed(size), "enter", "enter", "enter")
        await press(pilot, Typed(photo), "enter")
        await pilot.pause()
        assert says in text_of(pilot.app)
        await press(pilot, "escape")

    marks.run(walk, folder)
    assert marks.kinds(folder) == before


def at_the_second_look(bench: Bench) -> Path:
    """Return a job at its second look; before, the dash had a scratch."""
    marked = tick("panels", "dash-centre", "marked", marks=(SCRATCH,))
    first = [marked, TickRest(tick_rest="panels"), Answer(answer="panels")]
    return bench.job("panels-after", panels=first)


def test_what_was_there_before_is_hidden_until_the_panel_is_answered(marks: Bench) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await touch_panel(pilot, "left-front-door")
        await press(pilot, "down")
        assert line_in_hand(pilot) == "· Dash centre"
        assert "scratch" not in text_of(pilot.app)
        await press(pilot, "2", "enter", Typed("12"), "enter", "down", *["enter"] * 3)
        await press(pilot, "left", "left", "c")
        await press(pilot, *"dash")
        assert line_in_hand(pilot) == (
            "! Dash centre [marked: scratch 12 mm, middle right – new; "
            "scratch 12 mm, lower left – gone]"
        )
        assert in_hand(pilot) == "centre !"

    marks.run(walk, at_the_second_look(marks))


def test_a_new_mark_found_on_the_screen_is_a_fault_of_the_work(marks: Bench) -> None:
    folder = at_the_second_look(marks)
    marks.press(folder, "2", "enter", Typed("9"), *["enter"] * 4, "9", "enter")
    fault = marks.last(folder, "fault-raised")["data"]
    assert fault["words"] == "Hood: new mark, scratch 9 mm, middle; before it was unmarked"


def test_the_drawing_holds_without_colour(marks: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "d", "1")
        text = text_of(pilot.app)
        assert text.count("✓ │") >= 1
        assert in_hand(pilot).endswith("·")

    marks.run(walk, marks.job("panels"))


def test_the_pane_of_the_smallest_screen_shows_the_drawing_whole(marks: Bench) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        text = text_of(pilot.app)
        for line in str(outline(pilot).content).splitlines():
            assert line.rstrip() in text
        for label in ("Unmarked", "Marked…", "Not fitted", "Could not see…", "The other 7"):
            assert label in text

    marks.run(walk, marks.job("panels"))
