"""The fastener tray on the screen: counted out with size and slot, added to, and emptied."""

from bay import SMALL_TEXT
from bench import Bench, Click, Typed, job_screen, press, shown
from textual.pilot import Pilot
from textual.widgets import Button

PANELS = SMALL_TEXT.replace(
    "          - {item: screw, name: Screw}\n          - {item: clip, name: Clip}\n",
    "          - {item: bezel-clips, name: Clips of the bezel, group: Bezel}\n"
    "          - {item: dash-screws, name: Screws of the receiver, group: Dash centre}\n",
)


def out(*lines: str) -> list[Typed | str]:
    """Return the moves that type each of `lines` with Enter, and finish the list."""
    typed = [move for line in lines for move in (Typed(line), "enter")]
    return [*typed, "enter"]


def texts(pilot: Pilot[int]) -> list[str]:
    return [f"{row.group}: {row.text}" for row in job_screen(pilot).card.rows]


def test_size_and_slot_are_typed_behind_the_number(bench: Bench) -> None:
    bench.use(PANELS)
    folder = bench.job(to="out")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, Typed("6"), "enter", "enter", Typed("4, M5 × 12; A3"))
        said = "Dash centre: screws of the receiver, M5 × 12: 4 off, slot A3"
        assert shown(pilot, "#says") == said
        await press(pilot, "enter")
        assert texts(pilot)[1] == "Dash centre: Screws of the receiver, M5 × 12, in A3"
        await press(pilot, "enter")
        assert job_screen(pilot).card.step == "amplifier-lead"

    bench.run(walk, folder)
    ticked = [line["data"] for line in bench.journal(folder) if line["kind"] == "ticked"]
    assert [(each["count"], each.get("size"), each.get("slot")) for each in ticked[-2:]] == [
        (6, None, None),
        (4, "M5 × 12", "A3"),
    ]


def test_a_number_alone_asks_for_the_slot_once_and_none_is_an_answer(bench: Bench) -> None:
    bench.use(PANELS)
    folder = bench.job(to="out")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, Typed("6"), "enter")
        lead = str(pilot.app.screen.query_one("#form-lead").content)  # type: ignore[attr-defined]
        assert lead.startswith("The slot says where to look when they go back.")
        await press(pilot, *"C1", "enter", Typed("4"), "enter", "enter")
        assert [row.answered for row in job_screen(pilot).card.rows] == [True, True]
        await press(pilot, Typed("3"), "enter")
        assert job_screen(pilot).card.rows[1].word == "3"  # that it lies in none was said before

    bench.run(walk, folder)
    ticked = [line["data"] for line in bench.journal(folder) if line["kind"] == "ticked"]
    assert [(each["count"], each.get("slot")) for each in ticked[-3:]] == [
        (6, "C1"),
        (4, None),
        (3, None),
    ]


def test_more_than_a_size_and_a_slot_is_not_understood(bench: Bench) -> None:
    bench.use(PANELS)
    folder = bench.job(to="out")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, Typed("4, M5, A3, left"), "enter")
        assert shown(pilot, "#message").startswith("Type how many, the size and the slot")

    bench.run(walk, folder)
    assert bench.last(folder, "begun")["data"]["step"] == "out"


def test_a_panel_nobody_foresaw_is_added_and_comes_back_first(bench: Bench) -> None:
    bench.use(PANELS)
    folder = bench.job(to="out")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, Typed("6"), "enter", "enter", Typed("4"), "enter", "enter", "f7")
        await press(pilot, Typed("Ashtray"), "enter", Typed("Screws"), "enter", Typed("two"))
        await press(pilot, "enter", Typed("M4"), "enter", Typed("B1"), "enter")
        assert "“two” is no whole number" in shown(pilot, "#form-error")
        await press(pilot, "shift+tab", "shift+tab", Typed("2"), "enter", "enter", "enter")
        assert texts(pilot)[-1] == "Ashtray: Screws, M4, in B1"
        await press(pilot, "enter")

    bench.run(walk, folder)
    added = bench.last(folder, "tray-line-added")["data"]
    assert added == {
        "step": "out",
        "item": "t1",
        "panel": "Ashtray",
        "name": "Screws",
        "size": "M4",
        "slot": "B1",
    }
    bench.finish(folder, to="back")

    async def look(pilot: Pilot[int]) -> None:
        assert texts(pilot) == [
            "Ashtray: Screws, M4, 2 off, in B1",
            "Dash centre: Screws of the receiver, 4 off",
            "Bezel: Clips of the bezel, 6 off",
        ]

    bench.run(look, folder)


def test_a_count_is_corrected_by_the_arrows_before_the_list_is_finished(bench: Bench) -> None:
    bench.use(PANELS)
    folder = bench.job(to="out")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, Typed("6,, C1"), "enter", Typed("4, M5 × 12, A3"), "enter", "up")
        assert shown(pilot, "#entry-label").startswith("Clips of the bezel")
        assert job_screen(pilot).card.step == "out"
        await press(pilot, Typed("8"), "enter")
        assert [row.word for row in job_screen(pilot).card.rows] == ["8", "4"]
        await press(pilot, "enter")
        assert job_screen(pilot).card.step == "amplifier-lead"

    bench.run(walk, folder)


def test_the_button_that_finishes_a_count_names_the_key_that_does(bench: Bench) -> None:
    """It named 0, which the field took for a number: Enter then counted none in that line."""
    bench.use(PANELS)
    folder = bench.job(to="out")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, Typed("6,, C1"), "enter", Typed("4, M5 × 12, A3"), "enter")
        labels = [str(button.label) for button in pilot.app.screen.query(Button) if button.display]
        assert "Enter  Finish list" in labels
        await press(pilot, "0")
        assert job_screen(pilot).card.step == "out"

    bench.run(walk, folder)


def test_a_touch_on_a_counted_line_takes_it_in_hand_and_finishes_nothing(bench: Bench) -> None:
    bench.use(PANELS)
    folder = bench.job(to="out")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, Typed("6,, C1"), "enter", Typed("4, M5 × 12, A3"), "enter")
        await press(pilot, Click("#rows", 0))
        assert shown(pilot, "#entry-label").startswith("Clips of the bezel")
        assert pilot.app.screen.query_one("#entry").has_focus
        await press(pilot, Typed("8"), "enter")
        assert [row.word for row in job_screen(pilot).card.rows] == ["8", "4"]

    bench.run(walk, folder)
    assert bench.last(folder, "begun")["data"]["step"] == "out"


def test_a_touch_on_a_line_counted_back_asks_for_its_number(bench: Bench) -> None:
    """It opened the form of an exchange."""
    bench.use(PANELS)
    folder = bench.job(to="out")
    bench.press(folder, *out("6,, C1", "4, M5 × 12, A3"))
    bench.finish(folder, to="back")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, Click("#rows", 2))  # past the two lines of the first
        assert shown(pilot, "#entry-label").startswith("Clips of the bezel")
        await press(pilot, Typed("6"), "enter")
        assert [row.word for row in job_screen(pilot).card.rows] == ["", "6 of 6"]

    bench.run(walk, folder)


def test_an_exchange_is_stated_and_the_count_still_matches(bench: Bench) -> None:
    bench.use(PANELS)
    folder = bench.job(to="out")
    bench.press(folder, *out("6,, C1", "4, M5 × 12, A3"))
    bench.finish(folder, to="back")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f7", "enter", "enter", Typed("M5 × 16"), "enter", Typed("worn"))
        await press(pilot, "enter")
        assert job_screen(pilot).card.rows[0].word == "4 of 4, 1 exchanged"
        await press(pilot, Typed("6"), "enter", "enter")
        assert job_screen(pilot).card.step == "after"
        assert "1 exchanged for M5 × 16 (worn)" in shown(pilot, "#last")

    bench.run(walk, folder, size=(200, 36))
    assert bench.last(folder, "answered")["data"]["outcome"] == "matching"


def test_what_is_left_over_is_told_with_its_panel_down_to_the_shut_gate(bench: Bench) -> None:
    bench.use(PANELS)
    folder = bench.job(to="out")
    bench.press(folder, *out("6,, C1", "4, M5 × 12, A3"))
    bench.finish(folder, to="back")
    said = "Dash centre: screws of the receiver, M5 × 12: 4 off, 3 back, 1 left over, slot A3"

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, *out("3", "6"))
        assert f"not matching · {said}" in shown(pilot, "#pieces")
        await press(pilot, "3", Typed("Fell behind the dash."), "enter")

    bench.run(walk, folder)
    fault = bench.last(folder, "fault-raised")["data"]
    assert fault["words"] == f"{said}. Fell behind the dash."
    bench.finish(folder)

    async def at_the_gate(pilot: Pilot[int]) -> None:
        card = job_screen(pilot).card
        assert card.kind == "gate"
        assert any(row.text.endswith(f"Not matching: {said}.") for row in card.rows)
        assert "Not matching: Dash centre: screws of the receiver" in shown(pilot, "#gate")

    bench.run(at_the_gate, folder)


def test_a_count_done_again_begins_at_the_line_that_is_wrong(bench: Bench) -> None:
    bench.use(PANELS)
    folder = bench.job(to="out")
    bench.press(folder, *out("6,, C1", "4,, A3"))
    bench.finish(folder, to="back")
    bench.press(folder, *out("4", "5"), "1", Typed("6"), "enter", "enter")
    outcomes = [line["data"] for line in bench.journal(folder) if line["kind"] == "answered"]
    assert [each["outcome"] for each in outcomes[-2:]] == ["not matching", "matching"]
