"""Ten thousand characters pasted into every kind of field: kept whole, or refused in a sentence.

Which kinds there are is read off the product: the classes of its fields, the names of the
questions in its forms, and the functions that make the field of a card. A new one fails here.
"""

import ast
import importlib
import json
import pkgutil
import random
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from fnmatch import fnmatch
from pathlib import Path

import pytest
from bay import BAD, T1, keys_in
from bench import Bench, Click, More, Move, Typed, job_screen, press, shown
from hostile import shown_text
from ordered import ORDER
from panels import PANELS_TEXT
from rich.cells import cell_len
from second_person import FOUND, TOOLS
from second_person import TEXT as SECOND_PERSON
from textual._xterm_parser import XTermParser
from textual.command import CommandPalette
from textual.events import Paste
from textual.pilot import Pilot
from textual.widget import Widget
from textual.widgets import Input, MaskedInput, TextArea

import baycompanion
from baycompanion import screens
from baycompanion.job.actions import Accept, Settle
from baycompanion.learning.standing_of import PracticeStanding, Standing, SupervisedStanding
from baycompanion.screens.app import BayApp
from baycompanion.screens.form.form import FormScreen, ask
from baycompanion.screens.form.questions import ChosenAnswer, TypedAnswer
from baycompanion.screens.job.card_entry import CardEntry
from baycompanion.screens.learning.practice_start import ask_practice
from baycompanion.screens.typed.line_field import LineField
from baycompanion.screens.typed.marked_paste import BEGINS, ENDS, MarkedPaste
from baycompanion.store.job.draft import CARD, FORM
from baycompanion.store.job.folder import make_job
from baycompanion.store.shop import open_shop
from baycompanion.store.staff.pins import hash_pin
from baycompanion.text.clean import clean
from baycompanion.views.card.parts import PASTED_NOWHERE
from baycompanion.views.trainees import sign_off_form

COUNT = 10_000
PAGE = ("lorem\x1b[2J \u202eip\rsum\ndolor\tsit\ud800 e\u0301t\x00\x9b\r\n\u2028" * COUNT)[:COUNT]
DIGITS = "9" * COUNT
LONGEST_SENTENCE = 300
"""Characters of a refusal that can still be read at a glance. Own choice."""

CARDS = "baycompanion.views.card.card"
"""What makes questions imports it."""
OWN: set[type[Widget]] = {LineField, TypedAnswer}
"""Every class of field that the screens have; the library has one of its own, in the palette."""


def in_a_line(text: str) -> str:
    """Return what a field holds after `text` was pasted into it."""
    return clean(" ".join(text.splitlines()))


# --- what there is --------------------------------------------------------------------------------


def all_below(kind: type[Widget]) -> Iterator[type[Widget]]:
    for each in kind.__subclasses__():
        yield each
        yield from all_below(each)


def calls(name: str, user: str) -> Iterator[tuple[Path, ast.AST, ast.Call]]:
    """Yield every call of `name` in the files that have `user` in them, and what it stands in."""
    for path in Path(baycompanion.__file__).parent.rglob("*.py"):
        text = path.read_text(encoding="utf-8")
        if user not in text:
            continue
        for part in ast.parse(text).body:
            for node in ast.walk(part):
                if isinstance(node, ast.Call) and getattr(node.func, "id", "") == name:
                    yield path, part, node


def questions() -> set[str]:
    """Return the names of all questions that are typed; * stands for what is put in by program."""
    typed = [
        call.args[0]
        for _, _, call in calls("Field", CARDS)
        if len(call.args) < 3 and all(each.arg != "choices" for each in call.keywords)
    ]
    return {
        each.value
        if isinstance(each, ast.Constant)
        else f"{each.values[0].value}*"  # type: ignore[attr-defined]
        if isinstance(each, ast.JoinedStr)
        else ast.unparse(each)
        for each in typed
    }


def entries() -> set[str]:
    """Return the names of all functions that make the field of a card."""
    made = [*calls("Entry", CARDS), *calls("ListEntry", CARDS)]
    return {f"{path.stem}.{part.name}" for path, part, _ in made if hasattr(part, "name")}


# --- where it is reached --------------------------------------------------------------------------


def _at(step: str) -> Callable[[Bench], Path]:
    return lambda bench: bench.job(step)


def _panels(bench: Bench) -> Path:
    bench.use(PANELS_TEXT)
    return bench.job("panels")


def _gate(bench: Bench) -> Path:
    settled = Settle(settle="sound", cause="vehicle", words="no speaker")
    return bench.job(sound=[*BAD["sound"], settled])


def _ordered(bench: Bench) -> Path:
    made = make_job(bench.shop.jobs, bench.loaded, keys_in(when=bench.clock(), order=ORDER))
    bench.act(made, Accept(accept="hazards"))
    bench.finish(made, "parts")
    return made


def _signed(bench: Bench) -> Path:
    staff = bench.folder / "staff.yaml"
    pinned = f"{{id: T1, role: technician, pin: '{hash_pin('2580')}'}}"
    known = staff.read_text(encoding="utf-8").replace("{id: T1, role: technician}", pinned)
    staff.write_text(known, encoding="utf-8")
    bench.shop = open_shop(bench.folder)
    return bench.job("route")


def _left(bench: Bench) -> Path:
    folder = bench.job("route")
    bench.clock.move(seconds=7200)
    return folder


def _witness(bench: Bench) -> Path:
    bench.use(SECOND_PERSON)
    folder = bench.new_job()
    bench.act(folder, Accept(accept="hazards"), *TOOLS, *FOUND)
    return folder


def _practice(app: BayApp) -> None:
    ask_practice(app, app.shop, app.now, {})


def _release(app: BayApp) -> None:
    practice = PracticeStanding(0, 0, 0, 0, ())
    watched = SupervisedStanding(("job-1",), {3: 1}, 0, 0, ())
    standing = Standing("N1", "lamp", "A lamp", 3, None, practice, watched, None, None, "")
    ask(app, sign_off_form(standing, app.now().date()), lambda signed: "Not here.", lambda: None)


Way = tuple[Move | Callable[[BayApp], None], ...]
"""Moves, or calls, that lead to a form; without any, the field of the card is meant."""


@dataclass(frozen=True)
class Place:
    """Where fields are reached: the job, or the board, and the ways to each of several."""

    at: Callable[[Bench], Path | None]
    ways: dict[Way, str]
    """Each way, and what is typed there: names of questions, or the function that makes a field."""


PLACES = {
    "board": Place(
        lambda bench: None,
        {
            ("n",): "order vehicle vin plate parts",
            ("f",): "sought",
            (_practice,): "seed",
            (_release,): "job until words pin who",
        },
    ),
    "job": Place(
        _at("route"),
        {
            ("f2",): "words",
            ("f3",): "path",
            ("f4",): "why loose first",
            ("f6",): "reason",
            (More("done earlier"),): "at",
            (More("circuit is borrowed"),): "circuit place fuse load",
            (More("splice plan"),): "files",
            ("f10", "0"): "draw_ma battery_ah share_usable limit_ma",
        },
    ),
    "tools": Place(_at("tools"), {("1",): "instrument due"}),
    "parts": Place(_at("parts"), {("5",): "code"}),
    "codes": Place(_ordered, {(): "parts.code_entry"}),
    "number": Place(_at("odometer"), {(): "asks._ask_record"}),
    "list": Place(_at("stations"), {(): "asks._ask_record"}),
    "measure": Place(_at("rest-voltage"), {(): "asks._ask_measure"}),
    "wait": Place(_at("reserve"), {("2",): "lasts source"}),
    "out": Place(
        _at("out"), {(): "tray_rows._out_entry", ("f7",): "panel fastener count size slot"}
    ),
    "back": Place(
        _at("back"), {(): "tray_rows._back_entry", ("f7",): "back exchanged instead why"}
    ),
    "mark": Place(_panels, {("2",): "size words photo"}),
    "gate": Place(_gate, {("8",): "words instead by"}),
    "witness": Place(_witness, {("1",): "found-draw found-capacity by words"}),
    "pin": Place(_signed, {("1",): "pin who"}),
    "left": Place(_left, {("5",): "to words by"}),
}
BY_PROGRAM = {"each.name": "draw_ma"}
"""What stands for questions that are named by program: those of a sum, by its inputs."""


# --- what comes of it -----------------------------------------------------------------------------


async def paste(pilot: Pilot[int], field: Input, text: str) -> None:
    """Paste `text` into `field`, which holds all of it then, with the cursor behind it."""
    field.value = ""
    pilot.app.screen.set_focus(field)
    pilot.app.post_message(Paste(text))
    await pilot.pause()
    assert field.value == in_a_line(text)
    assert field.cursor_position == len(field.value)


def assert_painted(pilot: Pilot[int]) -> None:
    """Prove that what is shown is text, and fills the window and no more."""
    lines = shown_text(pilot.app).splitlines()
    assert (len(lines), max(map(cell_len, lines))) == (pilot.app.size.height, pilot.app.size.width)


def assert_said(sentence: str) -> None:
    """Prove that a refusal is one sentence, or two, which somebody can read."""
    assert sentence.endswith(".") and "\n" not in sentence, sentence
    assert len(sentence) <= LONGEST_SENTENCE, sentence


async def fill(pilot: Pilot[int], names: list[str], text: str) -> str:
    """Paste `text` into every field of the form in front and hand it in; return what is said.

    Where nothing is, the form was taken; where something is, it stands as it was filled in.
    """
    form = pilot.app.screen
    assert isinstance(form, FormScreen), form
    fields = list(form.query(Input))
    assert [f"{field.id}".removeprefix("field-") for field in fields] == names
    for field in fields:
        await paste(pilot, field, text)
    assert_painted(pilot)
    await press(pilot, Click("#form-accept"))
    if pilot.app.screen is not form:
        return ""
    assert [field.value for field in fields] == [in_a_line(text)] * len(fields)
    assert_painted(pilot)
    return shown(pilot, "#form-error")


def makes(pilot: Pilot[int]) -> str:
    """Return which function made the field of the card in front."""
    asks = pilot.app.screen.query_one(CardEntry)
    make = (asks._listed or asks._entry).make  # type: ignore[union-attr]
    return f"{make.__module__.rpartition('.')[2]}.{make.__qualname__.partition('.')[0]}"


async def enter(pilot: Pilot[int], text: str) -> str:
    """Paste `text` into the field of the card and hand it in; return what is said."""
    screen = job_screen(pilot)
    await paste(pilot, screen.query_one(LineField), text)
    screen.keep_half_typed()
    draft = json.loads((screen.job.folder / CARD).read_bytes())
    assert draft["steps"][screen.card.step]["entry"] == in_a_line(text)
    assert_painted(pilot)
    await press(pilot, "enter", "enter")
    assert_painted(pilot)
    lead = "#form-lead" if isinstance(pilot.app.screen, FormScreen) else "#message"
    return shown(pilot, lead)


@pytest.mark.parametrize("name", PLACES)
def test_what_is_pasted_is_kept_whole_or_refused_in_a_sentence(bench: Bench, name: str) -> None:
    place = PLACES[name]
    folder = place.at(bench)

    async def walk(pilot: Pilot[int]) -> None:
        front = pilot.app.screen
        for way, typed in place.ways.items():
            for text in (PAGE, DIGITS):
                for move in way if pilot.app.screen is front else ():
                    await (called(pilot, move) if callable(move) else press(pilot, move))
                assert way or makes(pilot) == typed
                said = await (fill(pilot, typed.split(), text) if way else enter(pilot, text))
                if said:
                    assert_said(said)
                else:
                    assert folder is not None
                    assert in_a_line(text) in str(bench.journal(folder)[-1]["data"])
                while pilot.app.screen is not front and (not way or text == DIGITS):
                    await press(pilot, "escape")

    bench.run(walk, folder)


async def called(pilot: Pilot[int], call: Callable[[BayApp], None]) -> None:
    assert isinstance(pilot.app, BayApp)
    call(pilot.app)
    await pilot.pause()


def test_every_kind_of_field_of_the_product_is_among_these() -> None:
    for module in pkgutil.walk_packages(screens.__path__, f"{screens.__name__}."):
        importlib.import_module(module.name)
    own = {each for each in all_below(Widget) if each.__module__.startswith(screens.__name__)}
    assert {each for each in own if hasattr(each, "_on_paste") or hasattr(each, "on_paste")} == OWN
    library = (Input, MaskedInput, TextArea)
    assert [call for each in library for call in calls(each.__name__, "textual.widgets")] == []
    reached = {
        name for place in PLACES.values() for kinds in place.ways.values() for name in kinds.split()
    }
    asked = {BY_PROGRAM.get(each, each) for each in questions()}
    assert {each for each in asked if not any(fnmatch(name, each) for name in reached)} == set()
    assert entries() <= reached


def test_the_palette_looks_for_what_is_pasted_and_sends_no_codes(bench: Bench) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "ctrl+p")
        assert isinstance(pilot.app.screen, CommandPalette)
        await paste(pilot, pilot.app.screen.query_one(Input), PAGE)
        assert_painted(pilot)
        await press(pilot, "enter", "escape", "escape")
        assert job_screen(pilot)

    folder = bench.job(to="route")
    before = bench.kinds(folder)
    bench.run(walk, folder)
    assert bench.kinds(folder) == before


def test_a_paste_into_the_middle_leaves_the_cursor_behind_it(bench: Bench) -> None:
    """A tab becomes four spaces: what is typed next belongs behind them all."""

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, *"ab", "left")
        pilot.app.post_message(Paste("1\t2\n3"))
        await press(pilot, "x")
        assert pilot.app.screen.query_one("#entry", Input).value == "a1    2 3xb"

    bench.run(walk, bench.job(to="gauges"))


def test_a_page_in_a_form_that_is_closed_stands_there_again(bench: Bench) -> None:
    folder = bench.job(to="route")

    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f4")
        for field in pilot.app.screen.query(Input):
            await paste(pilot, field, PAGE)
        await press(pilot, "ctrl+q")

    async def later(pilot: Pilot[int]) -> None:
        await press(pilot, "f4")
        kept = [field.value for field in pilot.app.screen.query(Input)]
        assert kept == [in_a_line(PAGE)] * 3

    bench.run(walk, folder)
    assert (folder / FORM).exists()
    bench.run(later, folder)


def test_a_list_of_answers_takes_no_paste_and_says_so(bench: Bench) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await press(pilot, "f5", Typed("the lamp is out"), "enter")
        chosen = pilot.app.focused
        assert isinstance(chosen, ChosenAnswer)
        pilot.app.post_message(Paste("work\n" * 2000))
        await pilot.pause()
        assert chosen.highlighted == 0 and isinstance(pilot.app.screen, FormScreen)
        assert [toast.message for toast in pilot.app._notifications] == [PASTED_NOWHERE]

    bench.run(walk, bench.job(to="route"))


# --- while a job is being opened -----------------------------------------------------------------


def test_what_comes_while_a_job_is_opened_is_answered_once_it_stands(bench: Bench) -> None:
    folder = bench.job(to="joins-hold")

    async def walk(pilot: Pilot[int]) -> None:
        assert isinstance(pilot.app, BayApp)
        assert pilot.app.open_job(folder, T1) is None
        assert not pilot.app.screen.is_mounted
        pilot.app.post_message(Paste(PAGE))
        await pilot.pause()
        assert shown(pilot, "#message") == PASTED_NOWHERE

    bench.run(walk)


def test_who_leaves_while_a_job_is_opened_leaves_and_keeps_what_was_typed(bench: Bench) -> None:
    folder = bench.job(to="gauges")
    bench.press(folder, *"18,1", "ctrl+q")
    kept = (folder / CARD).read_bytes()

    async def walk(pilot: Pilot[int]) -> None:
        assert isinstance(pilot.app, BayApp)
        assert pilot.app.open_job(folder, T1) is None
        assert not pilot.app.screen.is_mounted
        await pilot.app.action_quit()

    bench.run(walk)
    assert (folder / CARD).read_bytes() == kept
    bench.act(folder)  # nobody holds it any more


# --- what a terminal marks as pasted -------------------------------------------------------------


def read_in_parts(sent: str, drawn: random.Random) -> list[str]:
    """Return the keys and pastes that come of `sent`, of which a read takes a few characters."""
    marked, parser = MarkedPaste(), XTermParser()
    came = []
    while sent:
        end = drawn.randint(1, 12)
        if text := marked.take(sent[:end]):
            came += list(parser.feed(text))
        sent = sent[end:]
    return [each.text if isinstance(each, Paste) else each.key for each in came]  # type: ignore[attr-defined]


@pytest.mark.parametrize("seed", range(20))
def test_a_code_in_a_marked_paste_ends_nothing_and_presses_no_key(seed: int) -> None:
    red = f"\x1b[31m1{'red' * 20}\x1b[0m\x1b2\x1b[200~\x1b[20"
    sent = f"a{BEGINS}{red}{ENDS}b\x1b[A{BEGINS}{ENDS}{BEGINS}c{ENDS}\x1b[B"
    came = read_in_parts(sent, random.Random(seed))
    shown_red = red.replace("\x1b", "\ufffd")
    assert [each for each in came if each] == ["a", shown_red, "b", "up", "c", "down"]
