"""Stopping asks what is loose and what comes first; going on shows it, and verifies what stands."""

from bay import SMALL
from bench import READING, Bench, More, Typed, job_screen, press, shown
from textual.pilot import Pilot
from textual.widgets import Input

PAUSE = ("f4", Typed("lunch"), "enter", Typed("dash open"), "enter", Typed("cover it"), "enter")
HAND_OVER = (
    *(More("Hand the job over"), "enter"),
    *(Typed("the left clip is cracked"), "enter", Typed("dash open"), "enter"),
    *(Typed("count the clips"), "enter"),
)


def test_a_pause_leaves_a_resume_card_and_one_key_goes_on(bench: Bench) -> None:
    folder = bench.job(to="out")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, *PAUSE)
        assert job_screen(pilot).card.kind == "paused"
        assert shown(pilot, "#title") == "Paused: lunch"
        said = shown(pilot, "#pieces").splitlines()
        assert said == [
            "Loose, open or live: dash open",
            "First on return: cover it",
            "Must stay true: The battery stays off.",
            f"Last finished: {SMALL.number['reserve']}. Let the airbag reserve run down.",
            f"Next: {SMALL.number['out']}. Count the fasteners out.",
        ]
        bench.clock.move(minutes=40)
        job_screen(pilot).tick()
        assert "40 min" in shown(pilot, "#heading")
        await press(pilot, "enter")
        assert job_screen(pilot).card.step == "out"

    bench.run(walk, folder)
    assert bench.kinds(folder)[-2:] == ["paused", "resumed"]
    paused = bench.last(folder, "paused")["data"]
    assert paused == {"reason": "lunch", "loose": "dash open", "first": "cover it"}


def test_a_pause_asks_each_question_and_a_paused_job_takes_no_answer(bench: Bench) -> None:
    folder = bench.job(to="joins-hold")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f4", "enter", "enter", "enter")
        assert shown(pilot, "#form-error") == "Why: nothing is entered yet."
        await press(pilot, "escape")
        assert bench.kinds(folder)[-1] == "begun"
        await press(pilot, *PAUSE, *"234567890", "space")
        assert job_screen(pilot).card.kind == "paused"

    bench.run(walk, folder)
    assert bench.kinds(folder)[-1] == "paused"


def test_after_a_long_pause_what_stands_is_verified_again(bench: Bench) -> None:
    folder = bench.job(to="gauges")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, *PAUSE)
        bench.clock.move(hours=14)
        job_screen(pilot).tick()
        await press(pilot, "1")
        assert "verify first" in shown(pilot, "#form-lead")
        await press(pilot, "enter", "enter", "enter")
        said = shown(pilot, "#form-error")
        assert "verify at the vehicle first" in said
        assert "The battery stays off." in said
        assert "What opened the gate" in said
        assert bench.kinds(folder)[-1] == "paused"
        await press(pilot, "tab", "tab", "tab", "down", "enter", "down", "enter", "enter")
        assert job_screen(pilot).job.state.status == "open"

    bench.run(walk, folder)
    resumed = bench.last(folder, "resumed")["data"]
    assert resumed["confirmed"] == ["battery-off"]
    assert resumed["gate_checked"] is True


def test_a_job_changes_hands_with_words_and_a_read_back(bench: Bench) -> None:
    folder = bench.job(to="gauges")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, *HAND_OVER)
        assert shown(pilot, "#title") == "For T2 to take"
        assert shown(pilot, "#pieces").startswith("From T1: the left clip is cracked")
        await press(pilot, "1", "down", "enter", "down", "enter", "enter")
        assert "Read back how it stands: nothing is entered yet." in shown(pilot, "#form-error")
        await press(pilot, Typed("dash open, one clip cracked"), "enter")
        assert "· T2" in shown(pilot, "#where")
        await press(pilot, Typed("18,16"), "enter")

    bench.run(walk, folder)
    handed, resumed = bench.last(folder, "handed-over"), bench.last(folder, "resumed")
    assert (handed["by"], handed["data"]["to"]) == ("T1", "T2")
    assert (resumed["by"], resumed["data"]["words"]) == ("T2", "dash open, one clip cracked")
    assert bench.last(folder, "answered")["by"] == "T2"


def test_a_job_that_changed_hands_waits_for_the_one_who_takes_it(bench: Bench) -> None:
    """It is left and opened again in between, as at the end of a shift."""
    folder = bench.job(to="gauges")
    bench.press(folder, *HAND_OVER)
    bench.clock.move(hours=10)

    async def walk(pilot: Pilot[int]) -> None:
        assert shown(pilot, "#title") == "For T2 to take"
        read_back = Typed("all clips counted")
        await press(pilot, "1", "down", "enter", "down", "enter", read_back, "enter")
        assert job_screen(pilot).card.step == "gauges"

    bench.run(walk, folder, who=bench.shop.staff["T2"])
    assert bench.last(folder, "resumed")["by"] == "T2"


def test_time_while_the_program_did_not_run_is_asked_about(bench: Bench) -> None:
    folder = bench.job(to="gauges")
    bench.clock.move(minutes=25)

    async def walk(pilot: Pilot[int]) -> None:
        assert job_screen(pilot).card.kind == "gap"
        assert shown(pilot, "#title") == "What were the last 25 min?"
        assert "and the job was left." in shown(pilot, "#pieces")
        await press(pilot, "enter", "6", "f7", "escape")
        assert bench.kinds(folder)[-1] == "gap-found"
        await press(pilot, "1")
        assert job_screen(pilot).card.step == "gauges"

    bench.run(walk, folder)
    assert bench.last(folder, "gap-found")["data"]["how"] == "left"
    assert bench.last(folder, "gap-explained")["data"] == {"meaning": "worked"}


def test_a_night_away_is_a_pause_with_everything_that_a_pause_asks(bench: Bench) -> None:
    folder = bench.job(to="gauges")
    bench.clock.move(hours=15)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "2")
        assert job_screen(pilot).card.kind == "paused"
        await press(pilot, "1", "down", "enter", "down", "enter", "enter")
        assert job_screen(pilot).card.step == "gauges"

    bench.run(walk, folder)
    assert bench.kinds(folder)[-4:] == ["gap-found", "paused", "gap-explained", "resumed"]


def test_a_job_that_was_left_passes_to_somebody_else_before_the_gap_is_explained(
    bench: Bench,
) -> None:
    folder = bench.job(to="gauges")
    bench.clock.move(hours=15)

    async def walk(pilot: Pilot[int]) -> None:
        why = Typed("T1 is ill at home")
        await press(pilot, "5", Typed("T2"), "enter", why, "enter", Typed("T2"), "enter")
        assert "or a supervisor" in shown(pilot, "#form-error")
        await press(pilot, Typed("S1"), "enter")
        assert job_screen(pilot).card.kind == "gap"
        assert shown(pilot, "#title").startswith("T1 had the job for the last 15 h 00 min.")
        await press(pilot, "4")
        assert job_screen(pilot).card.kind == "paused"

    bench.run(walk, folder)
    assert bench.kinds(folder)[-4:] == ["gap-found", "paused", "handed-over", "gap-explained"]
    assert bench.last(folder, "handed-over")["by"] == "S1"
    assert bench.last(folder, "gap-explained")["by"] == "T2"


def test_a_laptop_that_slept_is_noticed_and_the_half_typed_entry_waits(bench: Bench) -> None:
    folder = bench.job(to="gauges")

    async def walk(pilot: Pilot[int]) -> None:
        screen = job_screen(pilot)
        await press(pilot, *"18,")
        bench.clock.move(seconds=119)
        screen.tick()
        assert screen.card.kind == "step"
        bench.clock.move(minutes=50)
        screen.tick()
        await pilot.pause()
        assert screen.card.kind == "gap"
        assert "The laptop slept" in shown(pilot, "#pieces")
        await press(pilot, "2")
        assert pilot.app.screen.query_one("#entry", Input).value == "18,"
        await press(pilot, *"16", "enter")

    bench.run(walk, folder)
    assert bench.last(folder, "gap-found")["data"]["how"] == "slept"
    assert bench.last(folder, "answered")["data"]["words"] == "18,16"


def test_a_form_that_is_open_while_the_laptop_sleeps_stays_as_typed(bench: Bench) -> None:
    folder = bench.job(to="gauges")

    async def walk(pilot: Pilot[int]) -> None:
        screen = job_screen(pilot)
        await press(pilot, "f2", Typed("a clip is cracked"))
        bench.clock.move(hours=1)
        screen.tick()
        await pilot.pause()
        assert pilot.app.screen.query_one("#field-words", Input).value == "a clip is cracked"
        await press(pilot, "enter")
        assert screen.card.kind == "gap"

    bench.run(walk, folder)
    assert bench.kinds(folder)[-2:] == ["gap-found", "noted"]


def test_a_clock_that_was_set_back_is_noted_and_gives_no_negative_time(bench: Bench) -> None:
    folder = bench.job(to="gauges")

    async def walk(pilot: Pilot[int]) -> None:
        screen = job_screen(pilot)
        before = dict(screen.job.state.phases)
        bench.clock.move(hours=-3)
        screen.tick()
        await press(pilot, Typed("18,16"), "enter")
        after = screen.job.state.phases
        assert all(after[name].worked >= before[name].worked for name in before)
        assert "-" not in shown(pilot, "#phase")

    bench.run(walk, folder)
    kinds = bench.kinds(folder)
    assert kinds[-3:] == ["clock-back", "answered", "begun"]
    assert bench.last(folder, "clock-back")["data"] == {"seconds": 10800 - READING}


def test_a_wait_counts_down_and_cannot_be_keyed_through(bench: Bench) -> None:
    folder = bench.job(to="cure")

    async def walk(pilot: Pilot[int]) -> None:
        screen = job_screen(pilot)
        assert "10:00 to go" in shown(pilot, "#pieces")
        await pilot.press("enter", *"1345677890", "space")
        bench.clock.move(seconds=70)
        screen.tick()
        assert "08:50 to go" in shown(pilot, "#pieces")

    async def later(pilot: Pilot[int]) -> None:
        screen = job_screen(pilot)
        assert "08:00 to go" in shown(pilot, "#pieces"), "it went on while nobody looked"
        for _ in range(8):
            await pilot.press("enter")
            assert bench.kinds(folder)[-1] == "begun"
            bench.clock.move(seconds=60)
            screen.tick()
        await pilot.pause()
        assert "00:00 – the time is over" in shown(pilot, "#pieces")
        await press(pilot, "enter")

    bench.run(walk, folder)
    bench.clock.move(seconds=50)
    bench.run(later, folder)
    answered = bench.last(folder, "answered")["data"]
    assert (answered["step"], answered["outcome"]) == ("cure", "over")


def test_a_wait_of_unknown_length_is_entered_with_where_it_comes_from(bench: Bench) -> None:
    folder = bench.job(to="reserve")

    async def walk(pilot: Pilot[int]) -> None:
        assert "Nobody has entered how long." in shown(pilot, "#pieces")
        await press(pilot, "enter", "1", "2", Typed("a while"), "enter", Typed("manual"), "enter")
        assert "“a while” is no length of time." in shown(pilot, "#form-error")
        await press(pilot, "shift+tab", Typed("3 min"), "enter", Typed(""), "enter")
        assert "nothing is entered yet" in shown(pilot, "#form-error")
        await press(pilot, Typed("maker's manual, page 12"), "enter")
        assert "Lasts 3 min, from: maker's manual, page 12" in shown(pilot, "#pieces")
        await press(pilot, "enter", "1")
        assert bench.kinds(folder)[-1] == "wait-set"

    bench.run(walk, folder)
    wait = bench.last(folder, "wait-set")["data"]
    assert wait == {"step": "reserve", "seconds": 180, "source": "maker's manual, page 12"}


def test_a_wait_is_never_made_shorter_than_its_procedure_says(bench: Bench) -> None:
    folder = bench.job(to="cure")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "2", Typed("1 min"), "enter", Typed("in a hurry"), "enter")
        assert "cannot be made shorter than 10 min" in shown(pilot, "#form-error")

    bench.run(walk, folder)
    assert "wait-set" not in bench.kinds(folder)[-2:]


def test_a_key_pressed_before_the_sleep_was_noticed_is_not_an_hour_of_work(bench: Bench) -> None:
    folder = bench.job(to="joins-hold")

    async def walk(pilot: Pilot[int]) -> None:
        bench.clock.move(hours=1)
        await press(pilot, "1")
        assert job_screen(pilot).card.kind == "gap"
        assert "Time passed that is not accounted for" in shown(pilot, "#message")
        await press(pilot, "2", "1")

    bench.run(walk, folder)
    assert bench.kinds(folder)[-4:] == ["gap-found", "gap-explained", "answered", "begun"]
