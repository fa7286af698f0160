"""A shut gate says why, leads to what would open it, and gives way to authority alone."""

import json
import string

import pytest
from bay import S1, SMALL, SMALL_TEXT, tick
from bench import Bench, Click, Move, Typed, job_screen, press, shown
from textual.pilot import Pilot
from textual.widgets import Input

from baycompanion.job.actions import (
    Action,
    Answer,
    Note,
    RaiseFault,
)
from baycompanion.store.shop import WRONG_FOR_VEHICLE

SOUND = SMALL.number["sound"]
SILENT: list[Action] = [Answer(answer="sound", outcome="not fitted")]
STUCK: list[Action] = [Answer(answer="amplifier-lead", outcome="not done", words="stuck")]
UP_TO_ID: tuple[Move, ...] = (
    "8",
    "down",
    "enter",
    Typed("no speaker in this van"),
    "enter",
    Typed("tested at the amplifier"),
    "enter",
)
EVERY_KEY = (
    *string.digits,
    *"oy",
    *("enter", "space", "ctrl+o"),
    *(f"f{number}" for number in range(1, 10)),
)


def test_a_shut_gate_says_why_what_would_open_it_and_who_may_override(bench: Bench) -> None:
    folder = bench.job(sound=SILENT, amplifier_lead=STUCK)

    async def walk(pilot: Pilot[int]) -> None:
        assert job_screen(pilot).card.kind == "gate"
        assert shown(pilot, "#heading") == "Gate shut: sound-before-refit (2 gates hold here)"
        assert shown(pilot, "#title") == "An opened dash marks the panels."
        assert "A supervisor may override it." in shown(pilot, "#pieces")
        assert "■ gate shut: sound-before-refit" in _sequence(pilot)
        await pilot.press("f8")
        assert "This card is no step: it says itself why" in shown(pilot, "#message")

    bench.run(walk, folder)
    held = [line["data"]["gate"] for line in bench.journal(folder) if line["kind"] == "gate-held"]
    assert held == ["sound-before-refit", "amplifier-checked"]


def _sequence(pilot: Pilot[int]) -> str:
    return "\n".join(
        str(option.prompt) for option in pilot.app.screen.query_one("#sequence").options
    )  # type: ignore[attr-defined]


def test_each_thing_a_gate_waits_for_leads_to_its_step(bench: Bench) -> None:
    folder = bench.job(sound=SILENT)
    before = bench.kinds(folder)

    async def walk(pilot: Pilot[int]) -> None:
        for way in ("enter", "1", Click("#rows"), Click("#key-0")):
            await press(pilot, way)
            assert job_screen(pilot).card.step == "sound"
            assert job_screen(pilot).card.kind == "look"
            await press(pilot, "escape")
            assert job_screen(pilot).card.kind == "gate"

    bench.run(walk, folder)
    assert bench.kinds(folder) == before


def test_every_line_of_a_gate_with_several_leads_to_its_own_step(bench: Bench) -> None:
    folder = bench.job(
        stations_back=[
            Answer(answer="stations-back", outcome="not done", words="later"),
            Note(note="the list is on the bench"),
        ],
        sound=SILENT,
    )
    bench.act(folder, RaiseFault(fault="a scratch", cause="work"))

    async def walk(pilot: Pilot[int]) -> None:
        rows = job_screen(pilot).card.rows
        assert len(rows) == 2
        assert " — or — " in rows[1].text
        await press(pilot, "down", "enter")
        assert job_screen(pilot).card.step == "stations-back"

    bench.run(walk, folder)


def test_a_gate_opens_when_its_step_is_done_again(bench: Bench) -> None:
    folder = bench.job(sound=SILENT)
    bench.press(folder, "2", Typed("a speaker was found"), "enter", "1")
    kinds = bench.kinds(folder)
    assert kinds[-4:] == ["begun", "answered", "gate-opened", "begun"]
    assert "overridden" not in kinds


def test_no_single_key_overrides_a_gate(bench: Bench) -> None:
    folder = bench.job(sound=SILENT)
    before = bench.kinds(folder)

    async def walk(pilot: Pilot[int]) -> None:
        screen = job_screen(pilot)
        for key in EVERY_KEY:
            await press(pilot, key)
            assert bench.kinds(folder) == before, f"{key} wrote to the journal"
            if pilot.app.screen is not screen or screen.card.kind != "gate":
                await press(pilot, "escape")
            assert screen.card.kind == "gate"
            assert pilot.app.screen is screen

    bench.run(walk, folder)


def test_the_form_of_an_override_takes_no_single_key_for_yes(bench: Bench) -> None:
    folder = bench.job(sound=SILENT)
    before = bench.kinds(folder)

    async def walk(pilot: Pilot[int]) -> None:
        for key in ("enter", "8", "y", "1", "tab", "enter", "enter", "enter", "enter", "enter"):
            await press(pilot, "8" if not pilot.app.screen.query("#form") else key)
        assert "nothing is entered yet" in shown(pilot, "#form-error")

    bench.run(walk, folder)
    assert bench.kinds(folder) == before


def test_an_override_is_refused_without_authority_and_recorded_with_it(bench: Bench) -> None:
    folder = bench.job(sound=SILENT)
    before = bench.kinds(folder)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, *UP_TO_ID, Typed("T1"), "enter")
        assert "asks for a supervisor, and T1 is a technician" in shown(pilot, "#form-error")
        await press(pilot, Typed("X9"), "enter")
        assert "“X9” is not on the staff of this shop." in shown(pilot, "#form-error")
        assert bench.kinds(folder) == before
        held = [field.value for field in pilot.app.screen.query(Input)]
        assert held == ["no speaker in this van", "tested at the amplifier", "X9"]
        await press(pilot, Typed("s1"), "enter")
        assert job_screen(pilot).job.state.current == "route"
        assert "» gate overridden: sound-before-refit" in _sequence(pilot)
        assert f"» {SOUND} overridden Every speaker sounds." in _sequence(pilot)

    bench.run(walk, folder)
    event = bench.last(folder, "overridden")
    assert event["by"] == "S1"
    assert event["data"] == {
        "gate": "sound-before-refit",
        "role": "supervisor",
        "reason": "part on order, owner agreed to wait",
        "words": "no speaker in this van",
        "instead": "tested at the amplifier",
        "missing": [f"{SOUND}. Every speaker sounds. Not fitted."],
        "steps": ["sound"],
    }


def test_the_reasons_begin_with_the_one_that_questions_the_gate(bench: Bench) -> None:
    folder = bench.job(sound=SILENT)
    words = (Typed("no speakers"), "enter", Typed("tested open"), "enter", Typed("S1"), "enter")
    bench.press(folder, "8", "enter", *words)
    assert bench.last(folder, "overridden")["data"]["reason"] == WRONG_FOR_VEHICLE


@pytest.mark.parametrize(("who", "opened"), [("N1", False), ("T2", True)])
def test_a_technicians_gate_gives_way_to_any_technician_and_no_trainee(
    bench: Bench, who: str, opened: bool
) -> None:
    folder = bench.job(amplifier_lead=STUCK)
    bench.press(folder, *UP_TO_ID, Typed(who), "enter")
    assert ("overridden" in bench.kinds(folder)) is opened


def test_a_gate_that_nobody_may_override_offers_no_such_key(bench: Bench) -> None:
    bench.use(SMALL_TEXT.replace("override: supervisor", "override: nobody"))
    folder = bench.job(sound=SILENT)

    async def walk(pilot: Pilot[int]) -> None:
        assert "Nobody may override it." in shown(pilot, "#pieces")
        await press(pilot, "8")
        assert job_screen(pilot).card.kind == "gate"

    bench.run(walk, folder)
    assert "overridden" not in bench.kinds(folder)


def test_a_missing_tool_holds_the_phase_that_needs_it_and_leads_to_the_list(bench: Bench) -> None:
    lacking: list[Action] = [
        tick("tools", "meter", "missing"),
        tick("tools", "trim-tool", "here"),
        Answer(answer="tools"),
    ]
    folder = bench.job(to="rest-voltage", tools=lacking)

    async def walk(pilot: Pilot[int]) -> None:
        assert shown(pilot, "#heading") == "Gate shut: on-bench-for-make-safe"
        assert [row.text for row in job_screen(pilot).card.rows] == ["Multimeter: missing"]
        await press(pilot, "enter")
        assert job_screen(pilot).card.step == "tools"

    bench.run(walk, folder)


def test_a_witness_is_never_the_one_who_did_the_work(bench: Bench) -> None:
    folder = bench.job(to="second-look")
    before = bench.kinds(folder)

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "1", Typed("T1"), "enter", Typed("looked"), "enter")
        said = shown(pilot, "#form-error")
        assert said.startswith("T1 did “Join the leads.” and cannot witness it.")
        assert bench.kinds(folder) == before
        assert [field.value for field in pilot.app.screen.query(Input)] == ["T1", "looked"]
        await press(pilot, "shift+tab", Typed("N1"), "enter", "enter")
        assert shown(pilot, "#form-error") == "This asks for a technician, and N1 is a trainee."
        await press(pilot, "shift+tab", Typed("T2"), "enter", "enter")
        assert job_screen(pilot).job.state.current == "cure"

    bench.run(walk, folder)
    answered = bench.last(folder, "answered")
    assert (answered["by"], answered["data"]["outcome"]) == ("T2", "passed")


def test_an_overridden_job_does_not_close_as_clean(bench: Bench) -> None:
    folder = bench.job(sound=SILENT)
    bench.press(folder, *UP_TO_ID, Typed("S1"), "enter")
    bench.finish(folder)

    async def walk(pilot: Pilot[int]) -> None:
        assert job_screen(pilot).card.kind == "close"
        assert "Overridden: sound-before-refit, by S1" in shown(pilot, "#pieces")
        await press(pilot, "1", "enter")
        assert "The job stays open." in shown(pilot, "#form-error")
        await press(pilot, "down", "enter")
        assert "Closed, not clean." in shown(pilot, "#title")

    bench.run(walk, folder)
    assert bench.last(folder, "closed")["data"]["clean"] is False
    record = json.loads((folder / "record.json").read_bytes())
    assert [each["by"] for each in record["overrides"]] == [S1.id]
