"""Looking back and ahead is free: it moves nothing, answers nothing, and Escape comes back."""

from bay import SMALL_TEXT
from bench import Bench, Click, Typed, job_screen, press, shown
from pictures import text_of
from textual.pilot import Pilot
from textual.widgets import Button, Input


def test_looking_moves_nothing_and_escape_returns(bench: Bench) -> None:
    folder = bench.job(to="gauges")
    before = (folder / "journal.jsonl").read_bytes()

    async def walk(pilot: Pilot[int]) -> None:
        screen = job_screen(pilot)
        state = screen.job.state
        for keys, step in (
            (("down",), "splice"),
            (("down", "down"), "joins-hold"),
            (("up",) * 5, "out"),
            (("escape",), "gauges"),
            (("up",), "amplifier-lead"),
            (("escape",), "gauges"),
        ):
            await press(pilot, *keys)
            assert screen.card.step == step
            assert screen.card.kind == ("step" if step == "gauges" else "look")
        assert screen.job.state is state
        assert pilot.app.screen.query_one("#entry").has_focus

    bench.run(walk, folder)
    assert (folder / "journal.jsonl").read_bytes() == before


def test_a_step_that_is_looked_at_cannot_be_answered(bench: Bench) -> None:
    folder = bench.job(to="joins-hold")
    before = bench.kinds(folder)

    async def walk(pilot: Pilot[int]) -> None:
        for away in ("down", "up"):
            await press(pilot, away, *"123450", "f7", "escape")
        await press(pilot, "down")
        assert [key.label for key in job_screen(pilot).card.keys] == ["Back"]
        assert not pilot.app.screen.query_one("#key-1").display

    bench.run(walk, folder)
    assert bench.kinds(folder) == before


def test_enter_goes_back_to_the_step_now_as_the_card_says(bench: Bench) -> None:
    """It answers nothing on the way, from the list and from the button."""
    folder = bench.job(to="joins-hold")
    before = bench.kinds(folder)

    async def walk(pilot: Pilot[int]) -> None:
        for back in ("enter", Click("#key-0")):
            await press(pilot, "up", "up")
            button = pilot.app.screen.query_one("#key-0", Button)
            assert str(button.label) == "Enter  Back"
            await press(pilot, back)
            assert job_screen(pilot).card.kind == "step"
            assert job_screen(pilot).card.step == "joins-hold"

    bench.run(walk, folder)
    assert bench.kinds(folder) == before


def test_both_ends_of_the_sequence_are_one_key_away(bench: Bench) -> None:
    folder = bench.job(to="ask-camera")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "up", "end")
        assert job_screen(pilot).card.step == "keys"
        await press(pilot, "home")
        assert job_screen(pilot).card.step == "ask-amplifier"
        await press(pilot, "escape")
        assert job_screen(pilot).card.step == "ask-camera"

    bench.run(walk, folder)


def test_the_sequence_is_looked_through_with_the_mouse(bench: Bench) -> None:
    folder = bench.job(to="promised")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, Click("#sequence", 1))
        assert job_screen(pilot).card.step == "ask-amplifier"
        assert job_screen(pilot).card.kind == "look"
        await press(pilot, Click("#sequence", 6))
        assert job_screen(pilot).card.kind == "step"

    bench.run(walk, folder)


def test_what_is_half_typed_waits_while_another_step_is_looked_at(bench: Bench) -> None:
    """A private entry waits too, though it is written nowhere."""
    for step in ("gauges", "code"):
        folder = bench.job(to=step)
        bench.run(_look_away, folder)
        assert bench.last(folder, "answered")["data"]["step"] == step


async def _look_away(pilot: Pilot[int]) -> None:
    await press(pilot, *"18,", "down", "down", "escape")
    assert pilot.app.screen.query_one("#entry", Input).value == "18,"
    await press(pilot, Click("#sequence", 4), "escape")
    assert pilot.app.screen.query_one("#entry", Input).value == "18,"
    await press(pilot, *"16", "enter")


def test_a_finished_step_shows_its_answer_and_who_gave_it(bench: Bench) -> None:
    folder = bench.job(to="disconnect")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "up")
        pieces = shown(pilot, "#pieces")
        assert "Answered: inside · 12.60 V (T1, 08:" in pieces
        assert "✓ done" in pieces

    bench.run(walk, folder)


def test_a_step_that_does_not_apply_says_why(bench: Bench) -> None:
    folder = bench.job(to="sound")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "down")
        assert job_screen(pilot).card.step == "picture"
        assert "– not applicable" in shown(pilot, "#pieces")
        assert "Because Camera: none" in shown(pilot, "#pieces")

    bench.run(walk, folder)


def test_a_step_looked_at_is_reopened_by_one_key_and_a_reason(bench: Bench) -> None:
    folder = bench.job(to="second-look")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "up")
        assert job_screen(pilot).card.step == "joins-hold"
        await press(pilot, "f6")
        assert "Shuts again" not in shown(pilot, "#form-lead")
        await press(pilot, "enter")
        assert shown(pilot, "#form-error") == "Why: nothing is entered yet."
        await press(pilot, Typed("one came loose"), "enter")
        assert job_screen(pilot).job.state.current == "joins-hold"

    bench.run(walk, folder)
    reopened = [line["data"] for line in bench.journal(folder) if line["kind"] == "reopened"]
    assert {"step": "joins-hold", "reason": "one came loose"} in reopened


def test_a_step_that_is_not_finished_cannot_be_reopened(bench: Bench) -> None:
    folder = bench.new_job()

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "1", "f6")
        assert "Look at a finished step first" in shown(pilot, "#message")
        await press(pilot, "down", "f6")
        assert "Look at a finished step first" in shown(pilot, "#message")

    bench.run(walk, folder)
    assert "reopened" not in bench.kinds(folder)


def test_a_why_that_is_asked_for_comes_in_sight_above_a_list(bench: Bench) -> None:
    """Above many lines there is room for a few words: the why lay below, and F8 did nothing."""
    line = "          - {item: horn, name: Horn}\n"
    many = "".join(
        line.replace("horn", f"lamp-{n}").replace("Horn", f"Lamp {n}") for n in range(20)
    )
    details = "        why: What is lit now is not ours.\n        details: [Doors shut., Key in.]\n"
    text = SMALL_TEXT.replace("        id: before\n", f"        id: before\n{details}")
    bench.use(text.replace(line, line + many))

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f8")
        why = pilot.app.screen.query_one("#why")
        assert shown(pilot, "#why") == "Why: What is lit now is not ours."
        assert pilot.app.screen.query_one("#reading").region.contains_region(why.region)

    bench.run(walk, bench.job(to="before"))


def test_a_trainee_sees_each_why_at_once_and_others_when_they_ask(bench: Bench) -> None:
    bench.use(
        SMALL_TEXT.replace("id: gauges\n", "id: gauges\n        why: A cap takes only some.\n")
    )
    why = "Why: A cap takes only some."

    async def trainee(pilot: Pilot[int]) -> None:
        assert shown(pilot, "#why") == why

    async def technician(pilot: Pilot[int]) -> None:
        assert shown(pilot, "#why") == ""
        await pilot.press("f8")
        assert shown(pilot, "#why") == why
        await press(pilot, "f8", "down", "f8")
        assert "gives no why" in shown(pilot, "#message")

    bench.run(trainee, bench.job(to="gauges", who=bench.shop.staff["N1"]))
    bench.run(technician, bench.job(to="gauges"))


def test_a_why_that_is_asked_for_comes_into_sight_below_a_long_card(bench: Bench) -> None:
    """It stood out of sight, and the key that had asked for it seemed to do nothing."""
    details = "".join(f"          - Line {n} of many that stand before it.\n" for n in range(12))
    said = f"        why: A cap takes only some.\n        details:\n{details}"
    bench.use(SMALL_TEXT.replace("id: gauges\n", f"id: gauges\n{said}"))

    async def walk(pilot: Pilot[int]) -> None:
        await pilot.press("f8")
        await pilot.pause()
        reading = pilot.app.screen.query_one("#reading")
        assert reading.region.contains_region(pilot.app.screen.query_one("#why").region)
        await press(pilot, "f8")
        assert "Line 0" in text_of(pilot.app)

    bench.run(walk, bench.job(to="gauges"))
