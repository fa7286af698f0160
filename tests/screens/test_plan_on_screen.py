"""The splice plan on the screen: taken from files, then walked join by join."""

import shutil

from bay import SMALL_TEXT
from bench import Bench, More, Typed, job_screen, press, shown
from textual.pilot import Pilot

from baycompanion.store.job.folder import read_job
from baycompanion.store.shelf import shipped
from baycompanion.views.card.asks import TAKE_A_PLAN

ROUTE = "      - do: Route the leads.\n        id: route\n"
JOINS = "      - do: Join each pair and tug it.\n        id: joined\n        each: joins\n"
FILES = "iso-10487-a, iso-10487-b, receiver"


def test_the_joins_of_a_plan_are_ticked_one_by_one(bench: Bench) -> None:
    shutil.copytree(shipped("demo") / "connectors", bench.shop.connectors)
    bench.use(SMALL_TEXT.replace(ROUTE, JOINS + ROUTE))
    folder = bench.job(to="joined")

    async def walk(pilot: Pilot[int]) -> None:
        assert job_screen(pilot).card.rows == ()
        assert TAKE_A_PLAN in str(job_screen(pilot).card.pieces)
        await press(pilot, More("splice plan"), Typed("receiver"), "enter")
        assert "needs two connectors" in shown(pilot, "#form-error")
        await press(pilot, Typed("receiver, vehicle"), "enter")
        assert "is not known, so it joins nothing" in shown(pilot, "#form-error")
        await press(pilot, Typed(FILES), "enter")
        rows = job_screen(pilot).card.rows
        assert shown(pilot, "#message").startswith(f"Splice plan: {len(rows)} joins, ")
        assert any(row.text.startswith("constant-feed: iso-a A4 yellow") for row in rows)
        for _ in rows:
            await press(pilot, "1")
        await press(pilot, "enter")
        assert job_screen(pilot).card.step == "route"

    bench.run(walk, folder)
    state = read_job(folder).state
    assert state.plan is not None
    assert {line.item for line in state.plan.joins} == set(state.track("joined").ticks)
