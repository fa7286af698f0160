"""Hostile text on the screens around the job: its timeline, the drill, practice, the review."""

import asyncio

import pytest
from bay import N1
from bench import READ, Bench, More, Move, Walk, press
from hostile import HOSTILE, MARKUP, hostile_procedure, shown_text
from test_review_on_screen import audited
from textual.pilot import Pilot

from baycompanion.audit.choice import Choice
from baycompanion.audit.findings import Finding
from baycompanion.audit.shop import audit_shop
from baycompanion.job.actions import Abandon, Note, RaiseFault
from baycompanion.job.events.carried import Vehicle
from baycompanion.procedure.fields import LONGEST_LINE
from baycompanion.screens.app import BayApp
from baycompanion.screens.learning.drill import DrillScreen
from baycompanion.screens.learning.practice_start import begin_practice
from baycompanion.screens.looking_back.review import ReviewScreen
from baycompanion.store.review import LookedAt, look_at
from baycompanion.store.shop import open_shop
from baycompanion.working.drilling import Wish, sit_down

every_text = pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)


def drive(app: BayApp, walk: Walk) -> None:
    async def driven() -> None:
        async with app.run_test(size=(80, 24)) as pilot:
            await pilot.pause()
            await walk(pilot)
            await app.action_quit()

    asyncio.run(driven())


async def all_text(pilot: Pilot[int], text: str, *moves: Move) -> None:
    """Prove that all which is shown before and after `moves` is text, and `text` part of it."""
    seen = shown_text(pilot.app)
    for move in moves:
        await press(pilot, move)
        await pilot.pause()
        seen += shown_text(pilot.app)
    assert ("[b]x[/b]" if MARKUP in text else "xxxxxxxx") in seen


def hostile_job(bench: Bench, text: str) -> None:
    """Abandon a job in which everything that somebody can type was hostile."""
    line = text[:LONGEST_LINE]
    bench.use(hostile_procedure(text))
    folder = bench.new_job(line, Vehicle(description=line, vin=line, plate=line))
    bench.act(folder, Note(note=line), RaiseFault(fault=line, cause="work"), Abandon(abandon=line))


@every_text
def test_the_timeline_of_a_hostile_job_is_text(bench: Bench, text: str) -> None:
    hostile_job(bench, text)
    [folder] = bench.shop.jobs.iterdir()

    async def walk(pilot: Pilot[int]) -> None:
        await all_text(
            pilot, text, More("Look at the timeline"), "end", "up", "o", "home", "escape"
        )

    bench.run(walk, folder)


@every_text
def test_the_review_of_hostile_jobs_is_text(bench: Bench, text: str) -> None:
    hostile_job(bench, text)
    (bench.shop.jobs / "[b]x [1]").mkdir()
    (bench.shop.jobs / "[b]x [1]" / "journal.jsonl").write_bytes(b'{"kind": "[/]"}\n')
    [found] = [each for each in audit_shop(bench.folder, Choice()) if isinstance(each, Finding)]
    looked = LookedAt(finding=found.key, rule=found.rule.id, words=text[:900])
    look_at(bench.folder, looked, bench.shop.staff["S1"], bench.clock())
    app = BayApp(None, now=bench.clock, alone=lambda: ReviewScreen([bench.folder], bench.clock))

    async def walk(pilot: Pilot[int]) -> None:
        await audited(pilot)
        await all_text(pilot, text, "down", "enter", "escape", "end", "enter", "escape")

    drive(app, walk)


@every_text
def test_a_drill_in_a_hostile_procedure_is_text(bench: Bench, text: str) -> None:
    path = bench.shop.procedures / "small-receiver.yaml"
    path.write_text(hostile_procedure(text), encoding="utf-8")
    shop = open_shop(bench.folder)
    sitting = sit_down(shop, N1, "small-receiver", Wish(), bench.clock)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, READ)
        for _ in range(3):
            await all_text(pilot, text, "1", "2", "3", "enter", "enter")

    drive(BayApp(shop, now=bench.clock, alone=lambda: DrillScreen(sitting)), walk)


@every_text
def test_a_practice_of_a_hostile_procedure_is_text(bench: Bench, text: str) -> None:
    path = bench.shop.procedures / "small-receiver.yaml"
    path.write_text(hostile_procedure(text), encoding="utf-8")
    asked = {"procedure": "small-receiver", "by": "N1", "faults": "2", "seed": "1"}

    def first(app: BayApp) -> None:
        assert begin_practice(app, bench.shop, app.now, asked) is None

    async def walk(pilot: Pilot[int]) -> None:
        await all_text(
            pilot, text, "1", "1", "enter", "f10", "enter", "escape", "escape", "f1", "escape"
        )

    drive(BayApp(bench.shop, now=bench.clock, first=first), walk)
