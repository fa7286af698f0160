"""What can hurt stands before the step: read, and acknowledged one by one, then the answer."""

from bay import SMALL, SMALL_TEXT
from bench import Bench, Click, job_screen, press, shown
from pictures import text_of
from textual.events import Key
from textual.pilot import Pilot
from textual.widgets import Button

EVERY_KEY = ("enter", "space", *"0123456789", "f7", "y", "escape", "tab", "tab", "enter")


def test_a_danger_is_shown_whole_before_its_step(bench: Bench) -> None:
    folder = bench.job(to="disconnect")

    async def walk(pilot: Pilot[int]) -> None:
        assert job_screen(pilot).card.kind == "caution"
        assert shown(pilot, "#title") == "DANGER  The battery can arc."
        pieces = shown(pilot, "#pieces")
        assert "An arc burns eyes and hands." in pieces
        assert "Take the negative clamp off first." in pieces
        assert "Then: Disconnect the battery." in pieces

    bench.run(walk, folder)


def test_no_single_key_acknowledges_two_things_or_answers_too(bench: Bench) -> None:
    folder = bench.job(to="disconnect")

    async def walk(pilot: Pilot[int]) -> None:
        for key in EVERY_KEY:
            if job_screen(pilot).card.kind != "caution":
                break
            before = bench.kinds(folder)
            await pilot.press(key)
            new = bench.kinds(folder)[len(before) :]
            assert new in ([], ["acknowledged"]), f"{key} did {new}"
        assert job_screen(pilot).card.kind == "step"

    bench.run(walk, folder)
    read = [line["data"]["caution"] for line in bench.journal(folder) if _is_read(line)]
    assert read == [0, 1]
    assert bench.kinds(folder)[-1] == "acknowledged"


LISTED = """
      - inspect: Walk the condition sheet.
        id: before
        cautions:
          - warning: A running engine fills all of the bay with exhaust gas, unseen.
            consequence: It can kill.
            avoid: Lead the exhaust outside before the engine starts.
        of:
"""
LINES = "".join(f"          - {{item: lamp-{n}, name: Lamp {n}}}\n" for n in range(20))


def test_what_there_is_to_do_is_in_sight_below_a_caution_and_above_a_long_list(
    bench: Bench,
) -> None:
    short = "\n      - inspect: Walk the condition sheet.\n        id: before\n        of:\n"
    assert short in SMALL_TEXT
    bench.use(SMALL_TEXT.replace(short, f"{LISTED}{LINES}"))

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "enter")
        text = text_of(pilot.app)
        for said in ("WARNING  A running", "Walk the condition sheet.", "Lamp 0", "1  Works"):
            assert said in text

    bench.run(walk, bench.job(to="before"))


def _is_read(line: dict[str, object]) -> bool:
    return line["kind"] == "acknowledged"


def test_keys_that_arrive_together_never_read_and_answer_in_one_go(bench: Bench) -> None:
    """A key that bounces, or that somebody leans on, arrives before the screen has moved."""
    folder = bench.job(to="join")

    async def walk(pilot: Pilot[int]) -> None:
        assert job_screen(pilot).card.kind == "caution"
        for _ in range(4):
            pilot.app.post_message(Key("enter", "\r"))
        await pilot.pause()
        assert job_screen(pilot).card.kind == "step"

    bench.run(walk, folder)
    assert bench.kinds(folder)[-2:] == ["begun", "acknowledged"]


def test_a_double_click_reads_one_caution_and_no_more(bench: Bench) -> None:
    folder = bench.job(to="disconnect")

    async def walk(pilot: Pilot[int]) -> None:
        pilot.app.screen.query_one("#key-0", Button).active_effect_duration = 60
        await pilot.click("#key-0", times=3)
        assert job_screen(pilot).card.kind == "caution"

    bench.run(walk, folder)
    assert bench.kinds(folder)[-2:] == ["begun", "acknowledged"]


def test_every_caution_stays_beside_its_step_once_it_is_read(bench: Bench) -> None:
    folder = bench.job(to="disconnect")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "enter", Click("#key-0"))
        lines = shown(pilot, "#before").splitlines()
        assert [line.split()[0] for line in lines] == ["DANGER", "WARNING", "CAUTION", "NOTICE"]
        top = pilot.app.screen.query_one("#before").region.y
        assert top < pilot.app.screen.query_one("#title").region.y

    bench.run(walk, folder)


def test_a_step_that_is_reopened_has_its_cautions_read_again(bench: Bench) -> None:
    folder = bench.job(to="reserve")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f6")
        assert f"Reopen {SMALL.number['disconnect']}. Disconnect the battery." in shown(
            pilot, "#form-title"
        )
        await press(pilot, *"clamp", "enter")
        assert job_screen(pilot).card.kind == "caution"

    bench.run(walk, folder)
    assert bench.last(folder, "reopened")["data"] == {"step": "disconnect", "reason": "clamp"}


def test_a_standing_condition_is_shown_all_the_while_and_asked_at_its_end(bench: Bench) -> None:
    folder = bench.job(to="reconnect")

    async def walk(pilot: Pilot[int]) -> None:
        assert "MUST STAY TRUE: The battery stays off." in shown(pilot, "#standing")
        assert job_screen(pilot).card.kind == "standing"
        await press(pilot, "enter")
        assert bench.kinds(folder)[-1] == "begun"
        await press(pilot, "1")
        assert job_screen(pilot).card.kind == "step"
        assert bench.last(folder, "standing-asked")["data"]["held"] is True
        await press(pilot, "enter")
        assert shown(pilot, "#standing") == ""

    bench.run(walk, folder)


def test_a_standing_condition_that_did_not_hold_is_a_fault_of_the_work(bench: Bench) -> None:
    folder = bench.job(to="reconnect")
    bench.press(folder, "2", *"clamp", "enter")
    assert bench.kinds(folder)[-2:] == ["fault-raised", "standing-asked"]
    assert bench.last(folder, "fault-raised")["data"]["cause"] == "work"
    assert bench.last(folder, "standing-asked")["data"]["words"] == "clamp"
