"""Text from outside is shown as text: never markup, never a code for the terminal."""

import json

import pytest
from bay import GOOD
from bench import Bench, More, Typed, job_screen, press
from hostile import HOSTILE, LONG, MARKUP, hostile_procedure, shown_text
from textual.geometry import Offset
from textual.pilot import Pilot
from textual.widgets import Button, Input

from baycompanion.job.actions import Answer, RaiseFault
from baycompanion.job.events.carried import Vehicle
from baycompanion.job.hands_actions import HandOver, PauseWork
from baycompanion.procedure.fields import LONGEST_LINE
from baycompanion.screens.job.job import JobScreen
from baycompanion.store.shop import open_shop
from baycompanion.text.clean import clean_line

every_text = pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)


def assert_answerable(screen: JobScreen) -> None:
    """Prove that the keys and the field of the card are in sight, whatever fills the rest."""
    for widget in [*screen.query(Button), *screen.query(Input)]:
        if widget.display:
            there = screen.get_widget_at(*(widget.region.offset + Offset(1, 0)))[0]
            assert there is widget, f"{widget} is pushed out of sight: {screen.card.title[:60]}"


@every_text
def test_a_procedure_of_hostile_sentences_is_walked_from_end_to_end(
    bench: Bench, text: str
) -> None:
    bench.use(hostile_procedure(text))
    line = text[:LONGEST_LINE]
    folder = bench.new_job(line, Vehicle(description=line, vin=line, plate=line))

    async def walk(pilot: Pilot[int]) -> None:
        screen = job_screen(pilot)
        assert_answerable(screen)
        await press(pilot, "f8", "1")
        while (step := screen.job.state.current) is not None:
            await pilot.pause()
            assert MARKUP not in text or "[b]x[/b]" in shown_text(pilot.app)
            assert_answerable(screen)
            for action in GOOD[step]:
                bench.clock.move(seconds=600 if step == "cure" else 60)
                by = bench.shop.staff["S1" if step == "second-look" else "T1"]
                screen.job.act(action, by, bench.clock())
            screen.show()
        await press(pilot, "up", "up")
        shown_text(pilot.app)
        await press(pilot, "escape", "1", "down", "enter")
        assert clean_line(line)[:20] in shown_text(pilot.app)

    bench.run(walk, folder)
    assert bench.kinds(folder)[-1] == "closed"


@every_text
def test_what_a_person_types_is_shown_as_typed_wherever_it_comes_up(
    bench: Bench, text: str
) -> None:
    """Notes, faults, reasons, list entries, readings, ids, paths: by every form of the job."""
    line = text[:500]
    folder = bench.job(to="stations")
    fields = {"f2": 1, "f3": 1, "f4": 3, "f5": 1, "f6": 1, "f7": 1}

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, Typed(text))
        shown_text(pilot.app)
        await press(pilot, "enter", Typed(text), "enter")
        shown_text(pilot.app)
        for key, count in fields.items():
            await press(pilot, key)
            for _ in range(count):
                await press(pilot, Typed(line), "enter")
            shown_text(pilot.app)
            if key == "f5":
                await press(pilot, "enter")
            if not isinstance(pilot.app.screen, JobScreen):
                await press(pilot, "escape")
            if job_screen(pilot).card.kind == "paused":
                assert clean_line(line)[:25] in shown_text(pilot.app)
                await press(pilot, "enter")
            assert_answerable(job_screen(pilot))
        await press(pilot, More("Clear a fault"))
        shown_text(pilot.app)
        await press(pilot, "enter", Typed(line), "enter")
        shown_text(pilot.app)

    bench.run(walk, folder)
    kinds = bench.kinds(folder)
    assert {"noted", "paused", "fault-raised", "fault-cleared", "reopened"} <= set(kinds)
    assert "answered" in kinds
    written = (folder / "journal.jsonl").read_text(encoding="utf-8")
    assert not any(c in written for c in "\x1b\x07\x9b\u202e\x00\x7f")


@every_text
def test_the_board_lists_hostile_jobs_shops_and_troubles_as_text(bench: Bench, text: str) -> None:
    settings = {"name": text[:480], "reasons": [text[:480]]}
    (bench.folder / "shop.yaml").write_text(json.dumps(settings))
    bench.shop = open_shop(bench.folder)
    damaged = bench.shop.jobs / "[b]x [1] \u202edrow"
    damaged.mkdir()
    (damaged / "journal.jsonl").write_bytes(b'{"kind": "[/]"}\n')
    (bench.shop.procedures / "[b] [\u202edrow.yaml").write_text("[/]: [")
    paused = bench.job(to="gauges")
    bench.act(paused, PauseWork(pause=text[:500], loose=text[:500], first=text[:500]))
    other = bench.new_job(text[:LONGEST_LINE], Vehicle(description=text[:LONGEST_LINE]))

    async def walk(pilot: Pilot[int]) -> None:
        shown_text(pilot.app)
        await press(pilot, "n", "enter", Typed(text), "enter", Typed(text), "enter", "enter")
        await press(pilot, "enter", "enter")
        shown_text(pilot.app)
        await press(pilot, "escape", "r", "end", "enter")
        shown_text(pilot.app)

    bench.run(walk)
    assert other.exists()


def test_a_gate_shows_hostile_faults_reasons_and_words_as_text(bench: Bench) -> None:
    (bench.folder / "shop.yaml").write_text(json.dumps({"reasons": [MARKUP]}))
    bench.shop = open_shop(bench.folder)
    bench.use(hostile_procedure(MARKUP))
    folder = bench.job(sound=[Answer(answer="sound", outcome="not fitted")])
    bench.act(folder, RaiseFault(fault=MARKUP, cause="work"))

    async def walk(pilot: Pilot[int]) -> None:
        assert MARKUP[:20] in shown_text(pilot.app)
        assert_answerable(job_screen(pilot))
        await press(pilot, "8", "down", "enter", Typed(MARKUP), "enter", Typed(MARKUP), "enter")
        await press(pilot, Typed(MARKUP), "enter")
        assert "is not on the staff" in shown_text(pilot.app)
        await press(pilot, Typed("S1"), "enter")
        shown_text(pilot.app)

    bench.run(walk, folder)
    overridden = bench.last(folder, "overridden")["data"]
    assert (overridden["reason"], overridden["words"]) == (MARKUP, MARKUP)


def test_a_job_handed_over_with_hostile_words_is_taken(bench: Bench) -> None:
    folder = bench.job(to="gauges")
    words = HandOver(hand_over="T2", words=MARKUP, loose=MARKUP, first=MARKUP)
    bench.act(folder, words)

    async def walk(pilot: Pilot[int]) -> None:
        assert MARKUP[:20] in shown_text(pilot.app)
        await press(pilot, "1", "down", "enter", "down", "enter", Typed(MARKUP), "enter")
        assert job_screen(pilot).card.step == "gauges"

    bench.run(walk, folder)
    assert bench.last(folder, "resumed")["data"]["words"] == MARKUP


@pytest.mark.parametrize("name", ["holder.json", "draft.json"])
@every_text
def test_a_file_that_others_can_write_holds_text_and_no_more(
    bench: Bench, name: str, text: str
) -> None:
    folder = bench.job(to="gauges")
    content = {"step": "gauges", "fields": {"entry": text, "entries": json.dumps([text])}}
    (folder / name).write_text(json.dumps(content | {"by": text, "host": text, "at": text}))

    async def walk(pilot: Pilot[int]) -> None:
        shown_text(pilot.app)
        assert_answerable(job_screen(pilot))

    bench.run(walk, folder)


def test_a_refusal_that_quotes_ten_thousand_characters_leaves_the_field_in_sight(
    bench: Bench,
) -> None:
    folder = bench.job(to="rest-voltage")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, Typed(LONG), "enter")
        assert_answerable(job_screen(pilot))
        assert "Type a number in V" in shown_text(pilot.app)
        await press(pilot, "f3", Typed(f"/{LONG}.png"), "enter")
        field = pilot.app.screen.query_one("#field-path")
        assert pilot.app.screen.get_widget_at(*field.region.offset)[0] is field

    bench.run(walk, folder)
    assert bench.kinds(folder)[-1] == "begun"
