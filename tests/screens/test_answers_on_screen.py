"""Every verb is answered by keys, and by clicks on the same keys; the journal holds the answer."""

from typing import Any

import pytest
from bay import GOOD, ON_THE_GRID, SMALL_TEXT
from bench import Bench, Click, Move, Typed, burst, job_screen, press, shown
from textual.pilot import Pilot
from textual.widgets import Button, Input, OptionList
from walker import picture

from baycompanion.job.deciding.answers import KEPT_PRIVATE
from baycompanion.screens.job.job import JobScreen
from baycompanion.store.shop import open_shop

METER: tuple[Move, ...] = (Typed("M3"), "enter", Typed("2026-12-31"), "enter")
STATIONS: tuple[Move, ...] = tuple(
    move for text in ("88.1", "94.7", "101.1") for move in (Typed(text), "enter")
)
WHY: tuple[Move, ...] = (Typed("no time left"), "enter")
WHY_CLICKED: tuple[Move, ...] = (Typed("no time left"), Click("#form-accept"))

Answers = list[tuple[tuple[Move, ...], dict[str, Any]]]

BY_KEYS: dict[str, Answers] = {
    "ask-amplifier": [
        (("1",), {"step": "ask-amplifier", "outcome": "chosen", "words": "yes"}),
        (("3",), {"step": "ask-camera", "outcome": "chosen", "words": "front"}),
        (("1", *METER, "1", "enter"), {"step": "tools", "outcome": "done", "weight": "good"}),
        (("1", "1", "1", "enter"), {"step": "parts", "outcome": "done"}),
        ((Typed("80123"), "enter"), {"step": "odometer", "number": "80123", "unit": "km"}),
        ((Typed("2026-03-03"), "enter"), {"step": "promised", "words": "2026-03-03"}),
        ((*STATIONS, "enter"), {"step": "stations", "entries": ["88.1", "94.7", "101.1"]}),
        ((Typed("4711"), "enter"), {"step": "code", "words": KEPT_PRIVATE}),
        (("enter",), {"step": "lamps", "entries": []}),
        (("1", "9", "enter"), {"step": "before", "outcome": "inspected"}),
        (
            ("1", "2", "enter", Typed("12"), *["enter"] * 5),
            {"step": "panels", "weight": "good"},
        ),
    ],
    "rest-voltage": [
        ((Typed("12,60 V"), "enter"), {"words": "12,60 V", "number": "12.60", "weight": "good"}),
        (("enter", "enter", "enter"), {"step": "disconnect", "outcome": "done"}),
    ],
    "out": [
        ((Typed("6,, A1"), "enter", Typed("4,, A2"), "enter", "enter"), {"outcome": "counted"}),
        (("enter",), {"step": "amplifier-lead", "outcome": "done"}),
        ((Typed("18,16"), "enter"), {"step": "gauges", "words": "18,16"}),
        (("enter",), {"step": "splice", "weight": "good"}),
    ],
    "joins-hold": [
        (("1",), {"step": "joins-hold", "outcome": "passed"}),
        (
            ("1", Typed("S1"), "enter", Typed("pulled"), "enter"),
            {"step": "second-look", "outcome": "passed", "words": "pulled"},
        ),
    ],
    "reconnect": [
        (("1", "enter"), {"step": "reconnect", "outcome": "done"}),
        (("1",), {"step": "sound", "outcome": "passed"}),
        ((*STATIONS, "enter"), {"step": "stations-back", "outcome": "matching"}),
        (("enter",), {"step": "lamps-after", "outcome": "matching"}),
        (("enter",), {"step": "route", "outcome": "done"}),
        ((Typed("4"), "enter", Typed("6"), "enter", "enter"), {"outcome": "matching"}),
        (("9", "enter"), {"step": "after", "outcome": "matching"}),
        (("9", "enter"), {"step": "panels-after", "outcome": "matching"}),
        (("enter",), {"step": "show", "outcome": "done"}),
        (("1",), {"step": "keys", "outcome": "done"}),
    ],
}
BY_CLICKS: dict[str, Answers] = {
    "ask-amplifier": [
        ((Click("#key-1"),), {"step": "ask-amplifier", "words": "no"}),
        ((Click("#key-0"),), {"step": "ask-camera", "words": "none"}),
        (
            (Click("#key-0"), *METER[:3], Click("#form-accept"), Click("#key-1"), Click("#key-4")),
            {"step": "tools", "outcome": "incomplete", "weight": "neutral"},
        ),
        (
            (Click("#rows", 1), Click("#key-0"), Click("#key-0"), Click("#key-4")),
            {"step": "parts", "outcome": "done"},
        ),
        ((Click("#key-1"), *WHY_CLICKED), {"step": "odometer", "outcome": "not done"}),
        ((Typed("2026-03-03"), Click("#key-0")), {"step": "promised", "words": "2026-03-03"}),
        (
            (Typed("88.1"), *[Click("#key-0"), Typed("94.7"), Click("#key-0")], Click("#key-0")),
            {"step": "stations", "entries": ["88.1", "94.7"]},
        ),
    ],
    "before": [
        ((Click("#key-0"), Click("#key-5"), Click("#key-4")), {"outcome": "inspected"}),
        ((Click("#key-4"), Click("#key-4")), {"step": "panels", "outcome": "inspected"}),
        (
            (Click("#key-1"), Click("#field-outcome", 1), *WHY_CLICKED),
            {"step": "rest-voltage", "outcome": "not fitted", "words": "no time left"},
        ),
        ((Click("#key-0"), Click("#key-0"), Click("#key-0")), {"step": "disconnect"}),
    ],
    "out": [
        (
            (Typed("6,, A1"), Click("#key-0"), Typed("4,, A2"), Click("#key-0"), Click("#key-0")),
            {"step": "out", "outcome": "counted"},
        ),
    ],
    "splice": [((Click("#key-0"),), {"step": "splice", "weight": "good"})],
    "joins-hold": [
        ((Click("#key-0"),), {"step": "joins-hold", "outcome": "passed"}),
        (
            (Click("#key-1"), Typed("S1"), "tab", *WHY_CLICKED),
            {"step": "second-look", "outcome": "failed", "weight": "bad"},
        ),
    ],
    "reconnect": [
        ((Click("#key-0"), Click("#key-0")), {"step": "reconnect"}),
        ((Click("#key-2"),), {"step": "sound", "outcome": "not fitted", "weight": "neutral"}),
    ],
}
OTHERWISE: list[tuple[str, tuple[Move, ...], dict[str, Any]]] = [
    ("odometer", ("f7", *WHY), {"outcome": "not done", "words": "no time left"}),
    ("before", ("1", "1", "1", "1", "enter"), {"outcome": "inspected"}),
    ("rest-voltage", ("f7", "enter", *WHY), {"outcome": "could not test"}),
    ("disconnect", ("1", "1", "2", *WHY), {"outcome": "not done", "weight": "neutral"}),
    ("splice", ("2", *WHY), {"outcome": "could not test"}),
    ("joins-hold", ("2",), {"outcome": "failed", "weight": "bad"}),
    ("joins-hold", ("4", *WHY), {"outcome": "could not test", "words": "no time left"}),
]


@pytest.mark.parametrize(
    ("step", "answers"),
    [*BY_KEYS.items(), *BY_CLICKS.items()],
    ids=[*(f"keys-{step}" for step in BY_KEYS), *(f"clicks-{step}" for step in BY_CLICKS)],
)
def test_steps_are_answered_by_what_their_cards_show(
    bench: Bench, step: str, answers: Answers
) -> None:
    folder = bench.job(to=step)

    async def walk(pilot: Pilot[int]) -> None:
        for moves, data in answers:
            before = len(bench.journal(folder))
            await press(pilot, *moves)
            new = [line for line in bench.journal(folder)[before:] if line["kind"] == "answered"]
            assert len(new) == 1, f"{moves} answered {new}"
            assert new[0]["data"] == {**new[0]["data"], **data}
            assert new[0]["by"] == ("S1" if data.get("step") == "second-look" else "T1")

    bench.run(walk, folder)


@pytest.mark.parametrize(
    ("step", "moves", "data"), OTHERWISE, ids=[f"{n}-{each[0]}" for n, each in enumerate(OTHERWISE)]
)
def test_a_step_has_other_answers_than_the_good_one(
    bench: Bench, step: str, moves: tuple[Move, ...], data: dict[str, Any]
) -> None:
    folder = bench.job(to=step)
    bench.press(folder, *moves)
    answered = bench.last(folder, "answered")["data"]
    assert answered == {**answered, "step": step, **data}


def test_the_hazards_of_the_whole_job_are_accepted_by_a_key_of_their_own(bench: Bench) -> None:
    folder = bench.new_job()
    bench.press(folder, "enter", "space")
    assert bench.kinds(folder) == ["opened"]
    bench.press(folder, "1")
    assert bench.kinds(folder) == ["opened", "hazards-accepted", "begun"]


def test_a_vehicle_that_does_not_fit_gives_the_job_up(bench: Bench) -> None:
    folder = bench.new_job()
    bench.press(folder, "2", Typed("two openings"), "enter")
    assert bench.last(folder, "abandoned")["data"] == {"reason": "two openings"}


def test_a_step_with_a_required_photo_asks_for_it_and_then_passes(bench: Bench) -> None:
    folder, photo = bench.job(to="join"), picture(bench.folder)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "1", "1", "1", "0")
        assert "needs a photo" in shown(pilot, "#message")
        await press(pilot, "f3", Typed(str(photo)), "enter", "0")

    bench.run(walk, folder)
    kinds = bench.kinds(folder)
    assert kinds[-3:] == ["photo-added", "answered", "begun"]
    kept = bench.last(folder, "photo-added")["data"]
    assert (folder / "photos" / kept["file"]).read_bytes() == photo.read_bytes()
    assert kept["original"] == "bay.png"
    assert kept["step"] == "join"


def test_a_private_entry_is_written_nowhere(bench: Bench) -> None:
    folder = bench.job(to="code")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, Typed("4711-0815"))
        job_screen(pilot)._half_typed.keep()
        assert not any(b"4711-0815" in path.read_bytes() for path in folder.iterdir())
        await press(pilot, "enter")

    bench.run(walk, folder)
    assert bench.last(folder, "answered")["data"]["words"] == KEPT_PRIVATE
    assert not any(b"4711-0815" in path.read_bytes() for path in folder.iterdir())


def test_a_reading_outside_asks_again_and_the_first_value_is_kept(bench: Bench) -> None:
    folder = bench.job(to="rest-voltage")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, Typed("11.90"))
        assert shown(pilot, "#says") == "OUTSIDE: 12.4 to 12.90 V"
        await press(pilot, "enter")
        screen = job_screen(pilot)
        assert screen.card.kind == "unsettled"
        assert [key.label for key in screen.card.keys] == [
            "Do it again",
            "Vehicle at fault…",
            "Work at fault…",
        ]
        assert screen.job.state.current == "rest-voltage"
        await press(pilot, "1", Typed("12.55"))
        assert shown(pilot, "#says") == "inside: 12.4 to 12.90 V"
        await press(pilot, "enter")

    bench.run(walk, folder)
    lines = [line["data"] for line in bench.journal(folder) if line["kind"] == "answered"]
    first, second = lines[-2:]
    assert (first["words"], first["outcome"], first["weight"]) == ("11.90", "outside", "bad")
    assert (second["words"], second["outcome"], second["weight"]) == ("12.55", "inside", "good")
    assert first["limits"] == "12.4 to 12.90 V"
    assert first["instrument"] == "M3"


@pytest.mark.parametrize(("key", "cause"), [("2", "vehicle"), ("3", "work")])
def test_a_bad_outcome_is_put_down_as_a_fault(bench: Bench, key: str, cause: str) -> None:
    folder = bench.job(to="rest-voltage")
    bench.press(folder, Typed("11.9"), "enter", key, Typed("an old battery"), "enter")
    assert bench.kinds(folder)[-4:] == ["answered", "fault-raised", "settled", "begun"]
    fault = bench.last(folder, "fault-raised")["data"]
    assert (fault["cause"], fault["words"]) == (cause, "an old battery")


def test_a_failed_check_leads_back_to_the_step_it_names(bench: Bench) -> None:
    folder = bench.job(to="joins-hold")
    bench.press(folder, "2", "4")
    reopened = bench.last(folder, "reopened")["data"]
    assert reopened["step"] == "join"
    assert "Each join holds. failed" in reopened["reason"]


def test_a_count_that_does_not_match_is_counted_again(bench: Bench) -> None:
    folder = bench.job(to="back")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, Typed("4"), "enter", Typed("5"))
        assert shown(pilot, "#says") == "1 left over", "said before it is saved"
        await press(pilot, "enter", "enter")
        assert job_screen(pilot).card.kind == "unsettled"
        await press(pilot, "1", Typed("6"), "enter")
        assert job_screen(pilot).card.kind == "step", "the list stays open while it is mended"
        await press(pilot, "enter")

    bench.run(walk, folder)
    lines = [line["data"] for line in bench.journal(folder) if line["kind"] == "answered"]
    assert lines[-2]["details"] == {"screw": "Screw: 6 off, 5 back, 1 left over"}
    assert (lines[-1]["step"], lines[-1]["outcome"]) == ("back", "matching")


REFUSED: dict[str, dict[str, str]] = {
    "rest-voltage": {
        "much": "“much” is no number. Type a number in V, like 12.6.",
        "12.6 A": "“12.6 A” is not in V. Type the number in V.",
    },
    "promised": {
        "": "Nothing is entered yet. Type it in.",
        "tomorrow": "“tomorrow” is no date. Type it like 2026-11-25.",
    },
    "out": {
        "some": "“some” is no whole number. Type how many: Screw.",
        "-1": "Type a number from 0 to 9999.",
    },
}


@pytest.mark.parametrize("step", REFUSED)
def test_an_entry_that_is_refused_stays_in_the_field_with_one_sentence(
    bench: Bench, step: str
) -> None:
    folder = bench.job(to=step)
    before = bench.kinds(folder)

    async def walk(pilot: Pilot[int]) -> None:
        field = pilot.app.screen.query_one("#entry", Input)
        for typed, says in REFUSED[step].items():
            await press(pilot, Typed(typed), "enter")
            assert shown(pilot, "#message") == says
            assert field.value == typed
            assert field.has_focus

    bench.run(walk, folder)
    assert bench.kinds(folder) == before


def test_a_list_that_was_mistyped_is_mended_with_backspace(bench: Bench) -> None:
    folder = bench.job(to="stations")
    bench.press(folder, Typed("88.1"), "enter", Typed("947"), "enter", "backspace")
    bench.press(folder, "left", "full_stop", "enter", "enter")
    assert bench.last(folder, "answered")["data"]["entries"] == ["88.1", "94.7"]


def test_a_list_that_differs_from_the_earlier_one_is_shown_beside_it(bench: Bench) -> None:
    folder = bench.job(to="stations-back")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, Typed("88.1"), "enter", Typed("99.9"), "enter")
        lines = shown(pilot, "#entries").splitlines()
        assert lines[1].endswith("✓")
        assert lines[2].endswith("!")
        assert "101.1" in lines[3]
        await press(pilot, "enter")
        assert job_screen(pilot).card.kind == "unsettled"

    bench.run(walk, folder)
    details = bench.last(folder, "answered")["data"]["details"]
    assert details == {"line": "2", "before": "94.7", "now": "99.9"}


def test_a_station_off_the_grid_is_told_while_it_is_typed(bench: Bench) -> None:
    (bench.folder / "shop.yaml").write_text("region: us\n", encoding="utf-8")
    bench.shop = open_shop(bench.folder)
    bench.use(ON_THE_GRID)
    folder = bench.job(to="stations")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, Typed("94.6"))
        assert "nearest is 94.5 MHz" in shown(pilot, "#says")
        await press(pilot, "enter")
        assert "1. FM 94.6 !" in shown(pilot, "#entries")
        assert "nearest is 94.5 MHz" in shown(pilot, "#says"), "said until the next one is begun"
        await press(pilot, "backspace", Typed("94.7"))
        assert shown(pilot, "#says") == ""
        await press(pilot, "enter", Typed("810 kHz"), "enter", "enter")

    bench.run(walk, folder)
    assert bench.last(folder, "answered")["data"]["entries"] == ["FM 94.7", "AM 810"]


def test_each_key_of_every_step_is_on_a_button_in_sight(bench: Bench) -> None:
    """What the card can do and what the buttons say are the same, on every step, at 80 by 24."""
    folder = bench.job(to="ask-amplifier")

    async def walk(pilot: Pilot[int]) -> None:
        screen = job_screen(pilot)
        while (step := screen.job.state.current) is not None:
            _assert_keys_in_sight(screen)
            for action in GOOD[step]:
                bench.clock.move(seconds=600 if step == "cure" else 60)
                by = bench.shop.staff["S1" if step == "second-look" else "T1"]
                screen.job.act(action, by, bench.clock())
            screen.show()
            await pilot.pause()
        assert screen.card.kind == "close"

    bench.run(walk, folder)


def _assert_keys_in_sight(screen: JobScreen) -> None:
    card = screen.card
    row = screen.query_one("#rows", OptionList).highlighted or 0
    keys = [*(card.rows[row].keys if card.rows else ()), *card.keys]
    buttons = [button for button in screen.query(Button) if button.display]
    called = [str(button.label).split("  ", 1)[1] for button in buttons]
    if screen.query_one("#entry").display and not any(key.enter for key in keys):
        assert called.pop(len(keys) - len(card.keys)) in ("Save", "Save the list")
    assert called == [key.label for key in keys]
    for button in buttons:
        x, y = button.region.offset
        assert screen.get_widget_at(x + 1, y)[0] is button, f"{card.title}: {button} is covered"


def test_a_choice_of_many_answers_is_a_list_that_reaches_them_all(bench: Bench) -> None:
    many = ", ".join(f"a{number}" for number in range(12))
    bench.use(SMALL_TEXT.replace("[none, rear, front]", f"[none, rear, front, {many}]"))
    folder = bench.job(to="ask-camera")
    bench.press(folder, "end", "enter")
    assert bench.last(folder, "answered")["data"]["words"] == "a11"


def test_lines_typed_in_one_burst_become_one_entry_each(bench: Bench) -> None:
    """A reader types and presses Enter faster than a screen is painted; nothing runs together."""
    folder = bench.job(to="stations")

    async def walk(pilot: Pilot[int]) -> None:
        await burst(pilot, "88.1\n94.7\n")
        await press(pilot, "enter")

    bench.run(walk, folder)
    assert bench.last(folder, "answered")["data"]["entries"] == ["88.1", "94.7"]


def _keys_shown(pilot: Pilot[int]) -> list[str]:
    return [str(key.label) for key in job_screen(pilot).query("#keys Button") if key.display]


def test_the_enter_of_a_field_stands_among_the_keys_and_says_what_it_does(bench: Bench) -> None:
    """What was typed could be saved by the keyboard alone."""

    async def walk(pilot: Pilot[int]) -> None:
        assert _keys_shown(pilot) == ["Enter  Save the list", "F7  Not done…"]
        await press(pilot, Typed("88.1"))
        assert _keys_shown(pilot) == ["Enter  Add to the list", "F7  Not done…"]
        await press(pilot, Click("#key-0"))
        assert _keys_shown(pilot)[0] == "Enter  Save the list"
        assert isinstance(pilot.app.focused, Input)

    bench.run(walk, bench.job(to="stations"))


def test_what_is_typed_on_an_answered_line_is_what_enter_saves(bench: Bench) -> None:
    """A touch on “Enter  Finish list” finished it, and lost what stood in the field."""
    folder = bench.job(to="out")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, Typed("6,, A1"), Click("#key-0"), Typed("4,, A2"), Click("#key-0"))
        assert _keys_shown(pilot)[0] == "Enter  Finish list"
        await press(pilot, Typed("5,, A2"))
        assert _keys_shown(pilot)[0] == "Enter  Save"
        await press(pilot, Click("#key-0"))
        assert bench.last(folder, "ticked")["data"]["count"] == 5

    bench.run(walk, folder)


def test_an_enter_with_nothing_typed_for_a_line_says_so(bench: Bench) -> None:
    folder = bench.job(to="out")
    before = bench.kinds(folder)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, Click("#key-0"))
        assert shown(pilot, "#message") == "Nothing is typed yet."
        assert bench.kinds(folder) == before

    bench.run(walk, folder)


def test_a_touch_takes_a_line_in_hand_and_answers_nothing_by_itself(bench: Bench) -> None:
    """One on a line of an answered list finished it, and no answer could be put right by touch."""
    folder = bench.job(to="before")
    before = bench.kinds(folder)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, Click("#rows", 2))
        assert bench.kinds(folder) == before
        assert "Enter" not in shown(pilot, "#message")
        await press(pilot, "9")
        answered = bench.kinds(folder)
        await press(pilot, Click("#rows", 1))
        assert bench.kinds(folder) == answered
        await press(pilot, Click("#key-0"))
        ticked = bench.last(folder, "ticked")["data"]
        assert ticked["item"] == job_screen(pilot).card.rows[1].name

    bench.run(walk, folder)


@pytest.mark.parametrize("move", ["1", Click("#key-0")])
def test_a_line_that_was_scrolled_away_is_looked_at_before_it_is_answered(
    bench: Bench, move: Move
) -> None:
    """A wheel scrolls the list and takes no line in hand: the answer went to one nobody saw."""
    line = "          - {item: horn, name: Horn}\n"
    lamps = (line.replace("horn", f"lamp-{n}").replace("Horn", f"Lamp {n}") for n in range(30))
    bench.use(SMALL_TEXT.replace(line, line + "".join(lamps)))
    folder = bench.job(to="before")
    before = bench.kinds(folder)

    async def walk(pilot: Pilot[int]) -> None:
        rows = pilot.app.screen.query_one("#rows", OptionList)
        first = job_screen(pilot).card.rows[0]
        rows.scroll_end(animate=False, immediate=True)
        await press(pilot, move)
        assert bench.kinds(folder) == before
        assert shown(pilot, "#message") == (
            f"The line in hand stood out of sight: {first.text}. Look, then answer it."
        )
        assert rows.scroll_offset.y == 0
        await press(pilot, move)
        assert bench.last(folder, "ticked")["data"]["item"] == first.name

    bench.run(walk, folder)
