"""The register of borrowed circuits on the screen: written where the circuit is borrowed."""

from bay import SMALL_TEXT
from bench import Bench, More, Typed, job_screen, press, shown
from textual.pilot import Pilot

TAPS = SMALL_TEXT.replace("        id: route\n", "        id: route\n        borrows: tap\n")


def test_a_step_that_taps_asks_for_the_circuit_before_it_is_finished(bench: Bench) -> None:
    bench.use(TAPS)
    folder = bench.job(to="route")

    async def walk(pilot: Pilot[int]) -> None:
        assert "register of borrowed circuits: tap" in shown(pilot, "#pieces")
        await press(pilot, "enter")
        assert "the register has none of it yet" in shown(pilot, "#message")
        await press(pilot, "8", Typed("dome lamp"), "enter", "enter", Typed("roof"), "enter")
        await press(pilot, Typed("10"), "enter", Typed("12 V"), "enter")
        assert "“12 V” is not in A." in shown(pilot, "#form-error")
        await press(pilot, Typed("12"), "enter")
        assert shown(pilot, "#message") == "dome lamp: 12 A added, OVER its fuse of 10 A."
        await press(pilot, "enter")
        assert job_screen(pilot).card.step == "back"

    bench.run(walk, folder)
    borrowed = bench.last(folder, "circuit-borrowed")["data"]
    assert borrowed == {
        "number": 1,
        "circuit": "dome lamp",
        "place": "roof",
        "method": "tap",
        "fuse_a": "10",
        "load_a": "12",
        "step": "route",
    }


def test_a_circuit_is_borrowed_and_given_back_from_the_menu_and_its_load_shown_at_the_end(
    bench: Bench,
) -> None:
    folder = bench.job(to="route")

    async def borrow(pilot: Pilot[int]) -> None:
        for circuit, load in (("dome lamp", "12"), ("trunk lamp", "1")):
            await press(pilot, More("circuit is borrowed"), Typed(circuit), "enter", "enter")
            await press(pilot, Typed("roof"), "enter", Typed("10"), "enter", Typed(load), "enter")
        await press(pilot, More("Give a circuit back"), "down", "enter", Typed("tap out"), "enter")

    bench.run(borrow, folder)
    bench.finish(folder)

    async def close(pilot: Pilot[int]) -> None:
        assert "dome lamp: 12 A added, OVER its fuse of 10 A" in shown(pilot, "#pieces")
        assert "trunk lamp" not in shown(pilot, "#pieces")

    bench.run(close, folder)
    assert bench.last(folder, "circuit-given-back")["data"]["number"] == 2
