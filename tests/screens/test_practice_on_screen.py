"""A practice on the screen, key by key: labelled everywhere, looked at, asked, left and resumed."""

import pytest
from bay import SMALL
from bench import Bench, Click, More, Move, Typed, press, shown
from contrast import LEAST, palest_text
from panels import PANELS_TEXT
from pictures import text_of
from practice_screens import folder, pass_asked, practice_screen, run, say_next, to_first_step
from practised import seed_with
from test_bench_sums import KEY_OFF
from textual.pilot import Pilot
from textual.screen import Screen
from textual.widgets import OptionList, Static

from baycompanion.screens.board.board import BoardScreen
from baycompanion.screens.form.form import FormScreen
from baycompanion.screens.job.sequence import Sequence
from baycompanion.screens.learning.practice_label import PracticeLabel
from baycompanion.screens.sums import SumResult
from baycompanion.screens.too_small import TooSmallScreen
from baycompanion.views.practice.cards import LABEL, take_up_deed


def top_line(screen: Screen[object]) -> str:
    """Return the first line as it stands on the screen."""
    strip = screen._compositor.render_strips()[0]
    return "".join(segment.text for segment in strip).strip()


class TestTheLabel:
    """It stands on every screen of practice, in words."""

    @pytest.mark.parametrize("size", [(80, 24), (120, 36)])
    def test_every_screen_says_that_it_is_practice(
        self, bench: Bench, size: tuple[int, int]
    ) -> None:
        seen: list[str] = []

        async def labelled(pilot: Pilot[int], *moves: Move, back: bool = True) -> None:
            await press(pilot, *moves)
            await pilot.pause()
            screen = pilot.app.screen
            seen.append(type(screen).__name__)
            assert top_line(screen) == LABEL, screen
            assert len(screen.query(PracticeLabel)) == 1
            if back:
                await press(pilot, "escape")

        async def walk(pilot: Pilot[int]) -> None:
            await labelled(pilot, back=False)
            await to_first_step(pilot)
            for keys in ("f1", "f2", "f4", "f5", "f9", "f10", "ctrl+p"):
                await labelled(pilot, keys)
            await labelled(pilot, "f10", "enter", back=False)
            await press(pilot, "escape", "escape")
            await labelled(pilot, "1", back=False)  # the next step
            await labelled(pilot, "up", back=False)
            await labelled(pilot, "f6")
            await pilot.resize_terminal(55, 18)
            await pilot.pause()
            await labelled(pilot, back=False)
            await pilot.resize_terminal(*size)
            await pilot.pause()
            await labelled(pilot, "escape", back=False)

        run(bench, walk, size=size)
        assert {"PracticeScreen", "Page", "FormScreen", "Menu", "TooSmallScreen"} <= set(seen)
        assert {"CommandPalette", "SumList"} <= set(seen)

    def test_the_result_of_a_sum_says_it_too(self, bench: Bench) -> None:
        async def walk(pilot: Pilot[int]) -> None:
            await to_first_step(pilot)
            await press(pilot, "f10", *KEY_OFF)
            assert isinstance(pilot.app.screen, SumResult)
            assert top_line(pilot.app.screen) == LABEL
            await press(pilot, "2")
            assert shown(pilot, "#message") == "The sum is kept as a note of the job."

        run(bench, walk)

    def test_a_real_job_has_none(self, bench: Bench) -> None:
        async def walk(pilot: Pilot[int]) -> None:
            await press(pilot, "f2")
            assert not pilot.app.screen.query(PracticeLabel)

        bench.run(walk, bench.job(to="odometer"))

    def test_the_board_behind_it_has_none(self, bench: Bench) -> None:
        async def walk(pilot: Pilot[int]) -> None:
            await press(pilot, More("Leave"))
            assert isinstance(pilot.app.screen, BoardScreen)
            assert not pilot.app.screen.query(PracticeLabel)

        run(bench, walk)


@pytest.mark.parametrize("theme", ["bay-dark", "bay-light"])
def test_the_label_and_the_question_can_be_read(bench: Bench, theme: str) -> None:
    """4.5:1 at least, as on every other screen."""

    async def walk(pilot: Pilot[int]) -> None:
        pilot.app.theme = theme
        await press(pilot, "1")
        assert practice_screen(pilot).card.kind == "next"
        assert palest_text(pilot.app)[0] >= LEAST
        await say_next(pilot, "rest-voltage")
        assert palest_text(pilot.app)[0] >= LEAST

    run(bench, walk, size=(120, 36))


class TestWhatComesNext:
    """The order is hidden while it is asked, and a number or Enter answers."""

    def test_nothing_on_the_screen_tells_the_order_meanwhile(self, bench: Bench) -> None:
        async def walk(pilot: Pilot[int]) -> None:
            await press(pilot, "1")
            screen = practice_screen(pilot)
            assert shown(pilot, "#title") == "What comes next?"
            assert not screen.query_one(Sequence).display
            assert not screen.query_one("#gate", Static).display
            await press(pilot, "up")
            assert screen.card.kind == "next"
            await press(pilot, "f12")
            assert shown(pilot, "#message") == "First say what comes next."

        run(bench, walk)

    def test_enter_answers_with_the_line_in_hand(self, bench: Bench) -> None:
        async def walk(pilot: Pilot[int]) -> None:
            await press(pilot, "1")
            rows = pilot.app.screen.query_one("#rows", OptionList)
            named = [row.name for row in practice_screen(pilot).card.rows]
            steps_down = named.index("ask-amplifier")
            await press(pilot, *["down"] * steps_down, "enter")
            assert rows.has_focus or practice_screen(pilot).card.kind == "told"
            assert "Right." in shown(pilot, "#pieces")
            assert practice_screen(pilot).query_one(Sequence).display

        run(bench, walk)
        assert bench.last(folder(bench), "next-said")["data"]["right"] is True

    def test_a_wrong_answer_is_explained_at_its_gate_and_may_be_done(self, bench: Bench) -> None:
        async def walk(pilot: Pilot[int]) -> None:
            await press(pilot, "1")
            wrong = next(
                row.name
                for row in practice_screen(pilot).card.rows
                if row.name in ("rest-voltage", "disconnect")
            )
            await say_next(pilot, wrong)
            assert shown(pilot, "#title") == SMALL.steps["ask-amplifier"].text
            assert "Gate on-bench-for-make-safe is shut" in shown(pilot, "#pieces")
            assert "It waits for: Multimeter: not ticked off" in shown(pilot, "#pieces")
            await press(pilot, "2")
            assert practice_screen(pilot).card.step == wrong

        run(bench, walk)
        assert bench.last(folder(bench), "begun")["data"]["taken_up"] is True


class TestTheLook:
    """F12, the letter l, or a touch on the strip looks; what is there is told then."""

    @pytest.mark.parametrize("by", ["f12", "l", "strip"])
    def test_what_is_there_is_told_after_it(self, bench: Bench, by: str) -> None:
        async def walk(pilot: Pilot[int]) -> None:
            await to_first_step(pilot)
            assert "At the made-up vehicle" not in shown(pilot, "#pieces")
            if by == "strip":
                strip = pilot.app.screen.query_one("KeyStrip")
                [key] = [key for key in strip.keys if key.does == "Look"]  # type: ignore[attr-defined]
                assert key.ends <= 80
                await pilot.click("KeyStrip", offset=(key.begins + 1, 0))
                await pilot.pause()
            else:
                await press(pilot, by)
            assert "At the made-up vehicle:" in shown(pilot, "#pieces")

        run(bench, walk)
        assert bench.kinds(folder(bench))[-1] == "looked"

    def test_in_a_field_the_letter_is_typed(self, bench: Bench) -> None:
        async def walk(pilot: Pilot[int]) -> None:
            await to_first_step(pilot)
            await press(pilot, "f2", "l")
            assert isinstance(pilot.app.screen, FormScreen)
            assert pilot.app.focused.value == "l"  # type: ignore[union-attr]

        run(bench, walk)
        assert "looked" not in bench.kinds(folder(bench))


def test_the_help_begins_with_the_keys_of_practice(bench: Bench) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f1")
        text = str(pilot.app.screen.query_one("#page Static", Static).content)
        assert text.startswith("In practice\nF12, l  look, measure, try or count")
        assert "write a note" in text

    run(bench, walk)


def test_on_a_low_screen_the_panels_stand_in_words_beside_their_drawing(bench: Bench) -> None:
    """The sequence kept its columns, and each panel had one left: its sign, or three dots."""

    async def walk(pilot: Pilot[int]) -> None:
        await to_first_step(pilot)
        practice_screen(pilot).doing.do(take_up_deed(SMALL.steps["panels"]))
        await pilot.pause()
        text = text_of(pilot.app)
        assert "▸· Hood" in text
        assert "· Left front door" in text

    run(bench, walk, text=PANELS_TEXT)


def test_begun_in_a_small_window_it_stands_there_once_that_has_grown(bench: Bench) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        assert isinstance(pilot.app.screen, TooSmallScreen)
        assert top_line(pilot.app.screen).startswith("PRACTICE")
        await pilot.resize_terminal(80, 24)
        await pilot.pause()
        assert practice_screen(pilot).card.kind == "hazards"
        await press(pilot, More("Leave"))
        assert isinstance(pilot.app.screen, BoardScreen)

    run(bench, walk, size=(50, 18))


class TestTheRest:
    """Steps taken up from the sequence, what practice does not offer, and the way out and back."""

    def test_a_step_looked_at_is_done_now(self, bench: Bench) -> None:
        async def walk(pilot: Pilot[int]) -> None:
            await to_first_step(pilot)
            while practice_screen(pilot).card.step != "rest-voltage":
                await press(pilot, "down")
            assert "Done now, it would run into this:" in shown(pilot, "#pieces")
            await press(pilot, "1")
            assert practice_screen(pilot).card.kind == "step"
            assert practice_screen(pilot).job.state.current == "rest-voltage"
            await press(pilot, "f12")
            assert "Multimeter: 12." in shown(pilot, "#pieces")

        run(bench, walk)
        assert bench.last(folder(bench), "ran-into")["data"]["gate"] == "on-bench-for-make-safe"

    def test_a_touch_on_the_button_lets_it_go_on(self, bench: Bench) -> None:
        async def walk(pilot: Pilot[int]) -> None:
            await press(pilot, "1")
            await say_next(pilot)
            await press(pilot, Click("#key-0"))
            assert practice_screen(pilot).card.kind == "step"

        run(bench, walk)

    def test_a_photo_is_not_asked_for_and_the_menu_reaches_no_shop(self, bench: Bench) -> None:
        async def walk(pilot: Pilot[int]) -> None:
            await to_first_step(pilot)
            await press(pilot, "f3")
            assert "no step asks for a photo" in shown(pilot, "#message")
            await press(pilot, "f9")
            listed = pilot.app.screen.query_one("#menu-list", OptionList).options
            offered = " ".join(str(each.prompt) for each in listed)
            for word in ("Hand the job", "record", "revision", "paper", "earlier", "plan"):
                assert word not in offered, word

        run(bench, walk)

    def test_left_and_gone_on_with(self, bench: Bench) -> None:
        async def leave(pilot: Pilot[int]) -> None:
            await to_first_step(pilot)
            await press(pilot, "1")
            await pass_asked(pilot)
            await press(pilot, More("Leave"))

        async def come_back(pilot: Pilot[int]) -> None:
            assert shown(pilot, "#form-title") == "There is a practice under way"
            await press(pilot, "enter")
            assert practice_screen(pilot).job.state.current == "ask-camera"

        run(bench, leave)
        run(bench, come_back)
        assert folder(bench).name.endswith("small-receiver")

    def test_given_up_for_a_new_one(self, bench: Bench) -> None:
        async def leave(pilot: Pilot[int]) -> None:
            await to_first_step(pilot)

        async def begin_anew(pilot: Pilot[int]) -> None:
            await press(pilot, "down", "enter")
            assert practice_screen(pilot).card.kind == "hazards"

        run(bench, leave)
        run(bench, begin_anew)
        both = sorted((bench.folder / "learning" / "N1" / "practice").iterdir())
        assert [bench.kinds(each)[-1] for each in both] == ["abandoned", "opened"]

    def test_the_form_begins_one_and_asks_for_the_phase(self, bench: Bench) -> None:
        async def walk(pilot: Pilot[int]) -> None:
            assert shown(pilot, "#form-title") == "Practise"
            await press(pilot, "s", "enter", "n", "enter", "enter", "down", "enter")
            await press(pilot, Typed("1"), "enter")
            assert shown(pilot, "#form-title") == "One phase alone"
            await press(pilot, "b", "enter")
            screen = practice_screen(pilot)
            assert screen.job.state.current == "gauges"

        run(bench, walk, in_full=False)

    def test_a_seed_that_is_no_number_keeps_the_form_open(self, bench: Bench) -> None:
        async def walk(pilot: Pilot[int]) -> None:
            await press(pilot, "s", "enter", "enter", "enter", "enter", Typed("x"), "enter")
            assert shown(pilot, "#form-error").startswith("A seed is a whole number")

        run(bench, walk, in_full=False)

    def test_the_end_is_summed_up_and_escape_leaves(self, bench: Bench) -> None:
        seed = str(seed_with("sound"))

        async def walk(pilot: Pilot[int]) -> None:
            await press(pilot, More("Give the practice up"), Typed("enough"), "enter")
            assert shown(pilot, "#title") == "0 of 1 planted fault caught."
            assert "Slipped through: Not so: Every speaker sounds." in shown(pilot, "#pieces")
            await press(pilot, "escape")
            assert isinstance(pilot.app.screen, BoardScreen)

        run(bench, walk, seed=seed, faults="1")
        assert (folder(bench) / "practice.json").is_file()
        assert not list(bench.shop.jobs.iterdir())

    def test_a_wait_runs_out_by_enter(self, bench: Bench) -> None:
        async def walk(pilot: Pilot[int]) -> None:
            await pass_asked(pilot)
            while practice_screen(pilot).card.step != "cure":
                await press(pilot, "down")
            await press(pilot, "1")
            assert "10:00 to go" in shown(pilot, "#pieces")
            await press(pilot, "enter")
            assert "the time is over" in shown(pilot, "#pieces")
            await press(pilot, "1")
            assert practice_screen(pilot).job.state.track("cure").good

        run(bench, walk, phase="bench")
