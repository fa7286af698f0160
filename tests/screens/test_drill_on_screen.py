"""The drill and what leads to it, key by key, and what is on the disk after each answer."""

import asyncio
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from bay import START
from bench import READ, Bench, Click, Typed, Walk, press, shown, touch
from contrast import LEAST, palest_text
from drilled import PIN, SHELF_LAMP, answers, digits, make_drill_shop, write_lamp
from pictures import text_of
from syrupy.assertion import SnapshotAssertion
from test_pictures import LARGE, THEMES, TextFile
from textual.pilot import Pilot
from textual.widgets import OptionList
from walker import Clock

from baycompanion.job.deciding.draft import Person
from baycompanion.learning.drill.question import Option, Question
from baycompanion.screens.app import BayApp
from baycompanion.screens.board.board import BoardScreen
from baycompanion.screens.form.form import FormScreen
from baycompanion.screens.key_strip import KeyStrip
from baycompanion.screens.learning.drill import DrillScreen
from baycompanion.screens.learning.learning import LearningScreen
from baycompanion.screens.page import Page
from baycompanion.store import shelf
from baycompanion.store.recalls import read_recalls, recalls_path
from baycompanion.store.shop import Shop
from baycompanion.working.drilling import Sitting, Wish, sit_down

T3 = Person("T3", "trainee")
SIZE = (80, 24)


@pytest.fixture
def clock() -> Clock:
    return Clock(START)


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return make_drill_shop(tmp_path / "drilled")


def run(
    shop: Shop,
    clock: Clock,
    walk: Walk,
    sitting: Sitting | None = None,
    size: tuple[int, int] = SIZE,
) -> None:
    """Open the drill `sitting` alone, or the board without one, and let `walk` drive it."""

    async def drive() -> None:
        alone = (lambda: DrillScreen(sitting)) if sitting is not None else None
        app = BayApp(shop, now=clock, alone=alone)
        async with app.run_test(size=size) as pilot:
            await press(pilot, READ)
            await walk(pilot)
            await app.action_quit()

    asyncio.run(drive())


def sit(shop: Shop, clock: Clock, **wish: object) -> Sitting:
    return sit_down(shop, T3, "shelf-lamp", Wish(**wish), clock)  # type: ignore[arg-type]


def until(sitting: Sitting, kind: str) -> Sitting:
    """Go on in `sitting` without an answer until a question of `kind` is in hand."""
    while sitting.question is not None and sitting.question.card.kind != kind:
        sitting.go_on()
    assert sitting.question is not None, f"no question of the kind {kind}"
    return sitting


def ratings(shop: Shop) -> list[str]:
    return [event.data.rating for event in read_recalls(shop.folder, "T3")]  # type: ignore[attr-defined]


def keys(pilot: Pilot[int]) -> str:
    return " ".join(each.does for each in pilot.app.screen.query_one(KeyStrip).keys)


def listed(pilot: Pilot[int], name: str) -> list[str]:
    return [str(each.prompt) for each in pilot.app.screen.query_one(name, OptionList).options]


def learn_some(shop: Shop, clock: Clock, many: int) -> None:
    """Answer so many questions right, and let ten minutes go by."""
    sitting = sit(shop, clock, most=many)
    while sitting.question is not None:
        sitting.answer(answers(sitting.question, True) or ())
        sitting.go_on()
    clock.move(seconds=600)


# --- a question ---------------------------------------------------------------------------------


def test_a_digit_answers_and_right_or_not_is_said_in_words_with_the_answer_and_why(
    shop: Shop, clock: Clock
) -> None:
    sitting = until(sit(shop, clock, all_cards=True), "next")

    async def walk(pilot: Pilot[int]) -> None:
        question = sitting.question
        assert question is not None
        assert shown(pilot, "#drill-asks") == question.asks
        assert shown(pilot, "#drill-said") == ""
        assert keys(pilot) == "Hint Help Leave"
        await press(pilot, *digits(question, True))
        said = shown(pilot, "#drill-said")
        assert said.startswith("✓ RIGHT\n")
        assert not question.why or f"Why: {question.why}" in said
        assert ratings(shop) == ["good"], "on the disk before Enter"
        assert keys(pilot) == "Go on Help Leave"
        await press(pilot, "enter")
        assert sitting.question is not question
        wrong = digits(sitting.question, False)
        await press(pilot, *wrong)
        assert shown(pilot, "#drill-said").startswith("✗ NOT RIGHT. This is the answer:\n")
        assert ratings(shop) == ["good", "again"]

    run(shop, clock, walk, sitting)


def test_enter_answers_nothing_and_a_second_digit_neither(shop: Shop, clock: Clock) -> None:
    sitting = until(sit(shop, clock, all_cards=True), "next")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "enter", "enter")
        assert ratings(shop) == []
        await press(pilot, *digits(sitting.question, True))
        await press(pilot, "1", "2", "3")
        assert ratings(shop) == ["good"]
        await press(pilot, "enter", "enter", "enter")
        assert ratings(shop) == ["good"], "an Enter too many answers nothing"

    run(shop, clock, walk, sitting)


def test_arrows_and_enter_and_a_touch_answer_as_well(shop: Shop, clock: Clock) -> None:
    sitting = until(sit(shop, clock, all_cards=True), "next")

    async def walk(pilot: Pilot[int]) -> None:
        [digit] = digits(sitting.question, True)
        await press(pilot, *["down"] * int(digit), "enter")
        assert ratings(shop) == ["good"]
        await press(pilot, "enter")
        until(sitting, "next")
        pilot.app.screen._show()  # type: ignore[attr-defined]
        await press(pilot, Click("#drill-options", 0))
        assert len(ratings(shop)) == 2

    run(shop, clock, walk, sitting)


def test_a_double_touch_on_go_on_takes_no_hint(shop: Shop, clock: Clock) -> None:
    """The hint stands where the key to go on stood, and right after it counts less."""
    sitting = sit(shop, clock, all_cards=True)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, *digits(sitting.question, True))
        await touch(pilot, "KeyStrip")
        assert keys(pilot).startswith("Hint")
        await touch(pilot, "KeyStrip", later=0.3)
        assert not sitting.hint

    run(shop, clock, walk, sitting)


def test_a_hint_comes_by_its_key_once_and_counts(shop: Shop, clock: Clock) -> None:
    sitting = until(sit(shop, clock, all_cards=True), "next")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "h")
        assert shown(pilot, "#drill-said").startswith("Hint: ")
        assert keys(pilot) == "Help Leave"
        await press(pilot, *digits(sitting.question, True))
        assert shown(pilot, "#drill-said").startswith("✓ RIGHT, with a hint")
        assert ratings(shop) == ["hard"]
        await press(pilot, "enter")
        assert shown(pilot, "#drill-said") == ""

    run(shop, clock, walk, sitting)


def test_a_digit_without_an_option_says_so(shop: Shop, clock: Clock) -> None:
    sitting = until(sit(shop, clock, all_cards=True), "next")

    async def walk(pilot: Pilot[int]) -> None:
        assert sitting.question is not None and len(sitting.question.options) < 6
        await press(pilot, "6")
        assert shown(pilot, "#drill-message").startswith("There is no 6 here.")
        assert ratings(shop) == []

    run(shop, clock, walk, sitting)


def test_steps_are_put_in_order_by_digits_and_the_last_one_is_taken_back(
    shop: Shop, clock: Clock
) -> None:
    sitting = until(sit(shop, clock, all_cards=True), "order")

    async def walk(pilot: Pilot[int]) -> None:
        right = digits(sitting.question, True)
        assert keys(pilot) == "Hint Undo Help Leave"
        await press(pilot, right[-1])
        assert "[1]" in listed(pilot, "#drill-options")[int(right[-1]) - 1]
        await press(pilot, right[-1])
        assert "has its place already" in shown(pilot, "#drill-message")
        await press(pilot, "backspace")
        assert not any("[1]" in line for line in listed(pilot, "#drill-options"))
        await press(pilot, "u", *right[:-1])
        assert ratings(shop) == [], "not before the last one"
        await press(pilot, right[-1])
        assert ratings(shop) == ["good"]
        places = listed(pilot, "#drill-options")
        assert all(f"[{n}]" in places[int(digit) - 1] for n, digit in enumerate(right, 1))

    run(shop, clock, walk, sitting)


def test_what_stands_in_the_wrong_place_is_named_by_its_digit(shop: Shop, clock: Clock) -> None:
    sitting = until(sit(shop, clock, all_cards=True), "misplaced")

    async def walk(pilot: Pilot[int]) -> None:
        assert "does not belong" in shown(pilot, "#drill-message")
        await press(pilot, *digits(sitting.question, True))
        assert ratings(shop) == ["good"]

    run(shop, clock, walk, sitting)


def test_text_from_a_procedure_is_shown_as_text(shop: Shop, clock: Clock) -> None:
    text = SHELF_LAMP.replace("Wipe the shelf.", '"[bold]Wipe[/] [@click=quit]it[/]."')
    write_lamp(shop.folder, text.replace("Tape holds", "Red [red]tape[/] holds"))
    sitting = until(sit(shop, clock, all_cards=True), "next")
    while sitting.question is not None and not any(
        "Wipe" in option.words and option.name in sitting.question.accepted[0]
        for option in sitting.question.options
    ):
        sitting.go_on()

    async def walk(pilot: Pilot[int]) -> None:
        assert any(
            "[bold]Wipe[/] [@click=quit]it[/]." in line for line in listed(pilot, "#drill-options")
        )
        await press(pilot, *digits(sitting.question, True))
        assert "[bold]Wipe[/] [@click=quit]it[/]." in shown(pilot, "#drill-said")
        assert "[bold]Wipe[/]" in text_of(pilot.app)

    run(shop, clock, walk, sitting)


def test_beside_a_scroll_bar_the_words_of_an_option_stay_below_each_other(
    shop: Shop, clock: Clock
) -> None:
    sitting = until(sit(shop, clock, all_cards=True), "next")
    assert sitting.question is not None
    full = Option("full", "Write down who refused, when, and whatever it is refused for.")
    made_up = MADE_UP["next"](sitting.question)
    sitting.question = replace(made_up, options=(full, *STEPS[1:]), why="So it is. " * 40)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "1")
        listing = pilot.app.screen.query_one("#drill-options", OptionList)
        assert pilot.app.screen.query_one("#drill-body").show_vertical_scrollbar
        lines = [line for told in listed(pilot, "#drill-options") for line in told.splitlines()]
        assert len(lines) > len(STEPS)
        assert listing.virtual_size.height == len(lines), "none is broken once more"

    run(shop, clock, walk, sitting, (64, 21))


def test_page_keys_read_on_in_a_long_question_and_choose_nothing(shop: Shop, clock: Clock) -> None:
    sitting = until(sit(shop, clock, all_cards=True), "next")
    assert sitting.question is not None
    sitting.question = replace(MADE_UP["next"](sitting.question), asks="Which one? " * 120)

    async def walk(pilot: Pilot[int]) -> None:
        body = pilot.app.screen.query_one("#drill-body")
        await press(pilot, "pagedown")
        assert body.scroll_y > 0
        await press(pilot, "pageup", "enter")
        assert body.scroll_y == 0
        assert ratings(shop) == []

    run(shop, clock, walk, sitting)


# --- leaving, and the end -----------------------------------------------------------------------


def test_leaving_says_what_came_of_it_and_everything_is_kept(shop: Shop, clock: Clock) -> None:
    sitting = sit(shop, clock)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, *digits(sitting.question, True), "enter", "escape")
        assert shown(pilot, "#drill-asks") == "1 of 1 question right at once."
        assert "Coming back: 1 within the hour." in shown(pilot, "#drill-said")
        assert "Still waiting: " in shown(pilot, "#drill-said")
        assert keys(pilot) == "Go on Help Leave"
        await press(pilot, "1", "h", "u")
        assert ratings(shop) == ["good"]
        await press(pilot, "enter")
        assert not isinstance(pilot.app.screen, DrillScreen)

    run(shop, clock, walk, sitting)


def test_the_last_question_ends_in_what_came_of_it(shop: Shop, clock: Clock) -> None:
    sitting = sit(shop, clock, most=2)

    async def walk(pilot: Pilot[int]) -> None:
        for _ in range(2):
            await press(pilot, *digits(sitting.question, True), "enter")
        assert shown(pilot, "#drill-asks") == "2 of 2 questions right at once."

    run(shop, clock, walk, sitting)


def test_leaving_before_an_answer_goes_at_once(shop: Shop, clock: Clock) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f1")
        assert isinstance(pilot.app.screen, Page)
        await press(pilot, "escape", "f9", "escape")
        assert not isinstance(pilot.app.screen, DrillScreen)

    run(shop, clock, walk, sit(shop, clock))
    assert not (shop.folder / "learning").exists()


def test_an_answer_that_cannot_be_kept_is_told_and_given_again(shop: Shop, clock: Clock) -> None:
    sitting = until(sit(shop, clock, all_cards=True), "next")

    async def walk(pilot: Pilot[int]) -> None:
        (shop.folder / "learning").write_text("", encoding="utf-8")
        await press(pilot, *digits(sitting.question, True))
        assert "learning" in shown(pilot, "#drill-message")
        assert shown(pilot, "#drill-said") == ""
        (shop.folder / "learning").unlink()
        await press(pilot, *digits(sitting.question, True))
        assert shown(pilot, "#drill-said").startswith("✓ RIGHT")
        assert ratings(shop) == ["good"]

    run(shop, clock, walk, sitting)


# --- the way there ------------------------------------------------------------------------------


def test_the_board_tells_who_has_questions_due_and_enter_leads_to_them(
    shop: Shop, clock: Clock
) -> None:
    learn_some(shop, clock, 3)

    async def walk(pilot: Pilot[int]) -> None:
        assert isinstance(pilot.app.screen, BoardScreen)
        lines = listed(pilot, "#jobs")
        assert lines[lines.index("LEARNING") + 1] == "  T3: 3 questions due today"
        await press(pilot, "enter", READ)
        assert isinstance(pilot.app.screen, LearningScreen)
        assert shown(pilot, "#learning-title").startswith("LEARNING · T3")
        [row] = [line for line in listed(pilot, "#to-learn") if "shelf-lamp" in line]
        assert row.startswith("3 due · ")
        assert shown(pilot, "#learning-standing").startswith("Asked so far: 3 of ")
        await press(pilot, "enter")
        assert isinstance(pilot.app.screen, DrillScreen)
        sitting = pilot.app.screen._sitting
        for _ in range(3):
            await press(pilot, *digits(sitting.question, True), "enter")
        await press(pilot, "escape", "enter", READ)
        [row] = [line for line in listed(pilot, "#to-learn") if "shelf-lamp" in line]
        assert "due" not in row
        await press(pilot, "escape", READ)
        assert isinstance(pilot.app.screen, BoardScreen)
        assert "LEARNING" not in listed(pilot, "#jobs")

    run(shop, clock, walk)


def test_nobody_has_anything_due_and_the_board_says_nothing_of_it(bench: Bench) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, READ)
        assert "LEARNING" not in listed(pilot, "#jobs")

    bench.run(walk)


def test_a_key_of_the_board_asks_who_and_back_is_back(shop: Shop, clock: Clock) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "l")
        assert isinstance(pilot.app.screen, FormScreen)
        await press(pilot, "escape")
        assert isinstance(pilot.app.screen, BoardScreen)
        await press(pilot, "l", "enter", READ)
        assert shown(pilot, "#learning-title").startswith("LEARNING · T3")
        await press(pilot, "w", "down", "down", "enter", READ)
        assert shown(pilot, "#learning-title").startswith("LEARNING · S1")
        await press(pilot, "w", "escape")
        assert shown(pilot, "#learning-title").startswith("LEARNING · S1")
        await press(pilot, "q")
        assert isinstance(pilot.app.screen, BoardScreen)

    run(shop, clock, walk)


def test_learning_alone_ends_the_program_where_it_is_left(shop: Shop, clock: Clock) -> None:
    codes: list[int | None] = []

    async def drive(*moves: str) -> None:
        app = BayApp(shop, now=clock, alone=lambda: LearningScreen(shop, clock))
        async with app.run_test(size=SIZE) as pilot:
            await press(pilot, READ, *moves)
        codes.append(app.return_code)

    asyncio.run(drive("escape"))
    asyncio.run(drive("enter", "escape"))
    assert codes == [0, 0]


def test_whoever_has_a_pin_gives_it_first(shop: Shop, clock: Clock) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "l", "down", "enter")
        assert shown(pilot, "#form-title") == "T4 signs"
        await press(pilot, Typed("0000"), "enter")
        assert "That is not the PIN of T4." in shown(pilot, "#form-error")
        await press(pilot, Typed(PIN), "enter", READ)
        assert isinstance(pilot.app.screen, LearningScreen)
        assert shown(pilot, "#learning-title").startswith("LEARNING · T4")
        await press(pilot, "end", "enter")
        screen = pilot.app.screen
        assert isinstance(screen, DrillScreen)
        await press(pilot, *digits(screen._sitting.question, True))

    run(shop, clock, walk)
    [event] = read_recalls(shop.folder, "T4")
    assert event.data.signed == "pin"  # type: ignore[attr-defined]


def test_one_phase_alone_and_all_of_it_by_their_keys(shop: Shop, clock: Clock) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "l", "enter", READ, "end", "up", "h", "down", "enter")
        screen = pilot.app.screen
        assert isinstance(screen, DrillScreen)
        assert screen._sitting.question is not None
        assert screen._sitting.question.card.phase == "fit"
        await press(pilot, "escape", READ, "a")
        screen = pilot.app.screen
        assert isinstance(screen, DrillScreen)
        assert screen._sitting.total == len(screen._sitting.decks[0].cards)

    run(shop, clock, walk)


def test_a_procedure_that_cannot_be_read_is_told_in_its_line(shop: Shop, clock: Clock) -> None:
    (shop.procedures / "shelf-broken.yaml").write_text("procedure: [b]\n", encoding="utf-8")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "l", "enter", READ)
        [row] = [line for line in listed(pilot, "#to-learn") if "shelf-broken" in line]
        assert row.startswith("! ")
        await press(pilot, "end", "up", "up")
        assert "shelf-broken.yaml:1" in shown(pilot, "#learning-standing")
        assert "Ask all" not in keys(pilot)
        await press(pilot, "enter")
        assert isinstance(pilot.app.screen, LearningScreen)
        assert "shelf-broken.yaml:1" in shown(pilot, "#learning-message")

    run(shop, clock, walk)


def test_a_log_that_was_changed_is_told_with_its_line(shop: Shop, clock: Clock) -> None:
    learn_some(shop, clock, 1)
    path = recalls_path(shop.folder, "T3")
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace('"good"', '"easy"'), encoding="utf-8")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "enter", READ)
        message = shown(pilot, "#learning-message")
        assert "recalls.jsonl:2: This line was changed" in message
        assert "audit" not in message  # which reads no answers
        await press(pilot, "enter", "a", "h")
        [row] = [line for line in listed(pilot, "#to-learn") if "shelf-lamp" in line]
        assert row.startswith("only practice ")
        assert "Practise" in keys(pilot) and "Ask all" not in keys(pilot)
        await press(pilot, "p")
        assert shown(pilot, "#form-title") == "Practise"
        await press(pilot, "escape", "escape")
        assert isinstance(pilot.app.screen, BoardScreen)

    run(shop, clock, walk)


# --- how it looks -------------------------------------------------------------------------------

SCENES = ("question", "right", "wrong", "order", "outcome", "learning", "board")


async def show(pilot: Pilot[int], scene: str, sitting: Sitting) -> None:
    if scene in ("right", "wrong", "outcome"):
        await press(pilot, *digits(sitting.question, scene != "wrong"))
    if scene == "order":
        await press(pilot, *digits(sitting.question, True)[:2])
    if scene == "outcome":
        await press(pilot, "enter", "escape")
    if scene == "learning":
        await press(pilot, "enter", READ)
    await pilot.pause()
    await pilot.pause()


@pytest.fixture
def own_shelf(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Leave on the shelf what the shop has itself: what ships may grow."""
    monkeypatch.setattr(shelf, "shipped", lambda what: tmp_path / "none")


STEPS = (
    Option("wipe", "Wipe the shelf."),
    Option("mark", "Mark where the lamp goes."),
    Option("lead", "Measure the lead along the whole way that it takes, a hand more at each end."),
    Option("stick", "Stick the lamp on."),
)
MADE_UP: dict[str, Callable[[Question], Question]] = {
    "next": lambda question: replace(
        question,
        lead=("“Wipe the shelf”",),
        asks="What comes next after this step?",
        options=STEPS,
        accepted=(("mark",),),
        why="A lamp that sits crooked is seen for years.",
        own_order=(),
    ),
    "order": lambda question: replace(
        question,
        lead=(),
        asks="Put these steps in order.",
        options=(*STEPS[::-1],),
        accepted=(("wipe", "mark", "lead", "stick"),),
        why="",
        own_order=("wipe", "mark", "lead", "stick"),
    ),
}
"""Questions of these kinds that stay as they are, however decks are made."""


def scene_sitting(shop: Shop, clock: Clock, scene: str) -> Sitting | None:
    learn_some(shop, clock, 2)
    if scene in ("learning", "board"):
        return None
    kind = "order" if scene == "order" else "next"
    sitting = until(sit(shop, clock, all_cards=True), kind)
    assert sitting.question is not None
    sitting.question, sitting.number, sitting.total = MADE_UP[kind](sitting.question), 3, 12
    return sitting


@pytest.mark.usefixtures("own_shelf")
@pytest.mark.parametrize("size", [(80, 24), (120, 36)], ids=["80x24", "120x36"])
@pytest.mark.parametrize("scene", SCENES)
def test_the_scene_reads_as_it_did(
    shop: Shop, clock: Clock, scene: str, size: tuple[int, int], snapshot: SnapshotAssertion
) -> None:
    sitting = scene_sitting(shop, clock, scene)
    texts: list[str] = []

    async def walk(pilot: Pilot[int]) -> None:
        await show(pilot, scene, sitting)  # type: ignore[arg-type]
        texts.append(text_of(pilot.app))

    run(shop, clock, walk, sitting, size)
    assert len(texts[0].splitlines()) == size[1]
    assert texts[0] == snapshot(extension_class=TextFile)


@pytest.mark.parametrize("scene", SCENES)
def test_every_text_has_a_contrast_of_4_5_to_1(shop: Shop, clock: Clock, scene: str) -> None:
    sitting = scene_sitting(shop, clock, scene)
    palest: dict[str, tuple[float, str]] = {}

    async def walk(pilot: Pilot[int]) -> None:
        await show(pilot, scene, sitting)  # type: ignore[arg-type]
        for theme in THEMES:
            pilot.app.theme = theme
            await pilot.pause()
            palest[theme] = palest_text(pilot.app)

    run(shop, clock, walk, sitting, LARGE)
    for theme, (ratio, text) in palest.items():
        assert ratio >= LEAST, f"in {theme} “{text}” has {ratio:.2f}:1"
