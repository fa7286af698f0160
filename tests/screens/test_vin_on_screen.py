"""A slip in the VIN is told when the job opens first, and the job goes on."""

from bench import Bench, job_screen, press, shown
from textual.pilot import Pilot

from baycompanion.job.events.carried import Vehicle


def test_a_vin_that_does_not_fit_is_told_once_and_holds_nothing_up(bench: Bench) -> None:
    folder = bench.new_job(vehicle=Vehicle(description="blue van", vin="1M8GDM9A0KP042788"))

    async def first(pilot: Pilot[int]) -> None:
        assert shown(pilot, "#message").startswith("Warning: the ninth sign is 0 and X was exp")
        await press(pilot, "1")
        assert job_screen(pilot).card.kind == "step"

    async def later(pilot: Pilot[int]) -> None:
        assert "Warning" not in shown(pilot, "#message")

    bench.run(first, folder)
    bench.run(later, folder)
