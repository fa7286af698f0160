"""Every kind of action has a way in, from the screens and line by line; a new one fails here."""

import contextlib
import shutil
import subprocess
import sys
from collections import deque
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path

import practice_screens
import pytest
from bay import BAD, SMALL, keys_in
from bench import Bench, More, Move, Typed, press
from lamp import PICTURE
from listener import Clock, Typist
from ordered import ORDER
from textual.pilot import Pilot

from baycompanion.job import actions as act
from baycompanion.job import hands_actions as hands
from baycompanion.job.practice_actions import LookAt, SayNext, TakeUp
from baycompanion.plain.job import walk_job
from baycompanion.plain.practice import begin_by_lines
from baycompanion.store.job.folder import make_job
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.shelf import shipped
from baycompanion.store.shop import open_shop
from baycompanion.store.staff.pins import hash_pin
from baycompanion.text.to_model import Written

PIN, PHOTO = "2580", "photo"
"""The second stands for the path of a photo in what is typed."""
SILENT = [*BAD["sound"], act.Settle(settle="sound", cause="vehicle", words="no speaker")]
FAULT = act.RaiseFault(fault="clip broke", cause="work")
TAP = act.Borrow(borrow="dome lamp", place="roof", method="tap", fuse_a="10", load_a="1")
PAUSE = hands.PauseWork(pause="meal", loose="dash open", first="route the leads")

BY_THE_PROGRAM = {hands.FindGap: "nobody says that time has passed without the program running"}
"""Kinds that have no key and no word, each with the reason."""


@dataclass(frozen=True)
class Way:
    """How somebody does one kind of action: where, and what is pressed or typed there."""

    keys: tuple[Move, ...]
    lines: tuple[str, ...]
    at: Callable[[Bench], Path] = field(default=lambda bench: bench.job("route"))


def _at(step: str | None, *then: act.Action, **instead: list[act.Action]) -> Callable[..., Path]:
    def job(bench: Bench) -> Path:
        folder = bench.job(step, **instead)
        bench.act(folder, *then)
        return folder

    return job


def _ordered(bench: Bench) -> Path:
    made = make_job(bench.shop.jobs, bench.loaded, keys_in(when=bench.clock(), order=ORDER))
    bench.act(made, act.Accept(accept="hazards"))
    bench.finish(made, "parts")
    return made


def _left(bench: Bench) -> Path:
    folder = bench.job("route")
    bench.clock.move(seconds=7200)
    return folder


def _signed(bench: Bench) -> Path:
    staff = bench.folder / "staff.yaml"
    pinned = staff.read_text(encoding="utf-8").replace(
        "{id: T1, role: technician}", f"{{id: T1, role: technician, pin: '{hash_pin(PIN)}'}}"
    )
    staff.write_text(pinned, encoding="utf-8")
    bench.shop = open_shop(bench.folder)
    return bench.job("route")


def _connectors(bench: Bench) -> Path:
    shutil.copytree(shipped("demo") / "connectors", bench.shop.connectors)
    return bench.job("route")


def _form(key: Move, *answers: str) -> tuple[Move, ...]:
    """Return the moves that open a form and answer it; an empty answer is what stands there."""
    typed = ((Typed(answer), "enter") if answer else ("enter",) for answer in answers)
    return (key, *(move for moves in typed for move in moves))


FILES = "iso-10487-a, iso-10487-b, receiver"
WAYS: dict[type[Written], Way] = {
    act.Accept: Way(("1",), ("1",), lambda bench: bench.new_job()),
    act.Acknowledge: Way(("enter",), ("",), _at("disconnect")),
    act.Answer: Way((Typed("80123"), "enter"), ("80123",), _at("odometer")),
    act.TickLine: Way(("1",), ("1",), _at("before")),
    act.AddToTray: Way(
        _form("f7", "Ashtray", "Screws", "2", "", "B1"),
        ("?F7", "Ashtray", "Screws", "2", "", "B1"),
        _at("out"),
    ),
    act.TickRest: Way(("9",), ("rest",), _at("before")),
    act.Scan: Way((Typed("0815"), "enter"), ("0815",), _ordered),
    act.SetWait: Way(
        _form("2", "3 min", "the manual"), ("2", "3 min", "the manual"), _at("reserve")
    ),
    act.Settle: Way(
        (Typed("11.9"), "enter", *_form("2", "flat")),
        ("11.9", "", "2", "flat"),
        _at("rest-voltage"),
    ),
    act.Note: Way(_form("f2", "seen"), ("note", "seen")),
    act.AddPhoto: Way(_form("f3", PHOTO), ("photo", PHOTO)),
    act.RaiseFault: Way(_form("f5", "clip broke", ""), ("fault", "clip broke", "2")),
    act.ClearFault: Way(
        _form(More("Clear a fault"), "", "new clip"),
        ("clear", "1", "new clip"),
        _at("route", FAULT),
    ),
    act.Borrow: Way(
        _form(More("circuit is borrowed"), "dome lamp", "", "roof", "10", "1"),
        ("more", "borrowed", "dome lamp", "1", "roof", "10", "1"),
    ),
    act.GiveBack: Way(
        _form(More("Give a circuit back"), "", "tap out"),
        ("more", "Give a circuit back", "1", "tap out"),
        _at("route", TAP),
    ),
    act.PlanSplices: Way(_form(More("splice plan"), FILES), ("plan", FILES), _connectors),
    hands.PauseWork: Way(
        _form("f4", "meal", "dash open", "route"), ("pause", "meal", "dash open", "route")
    ),
    hands.Resume: Way(("enter",), ("",), _at("route", PAUSE)),
    hands.ExplainGap: Way(("1",), ("1",), _left),
    act.Reopen: Way(_form("f6", "it moved"), ("reopen", "it moved")),
    act.Confirm: Way(_form("2", "a clamp"), ("2", "a clamp"), _at("reconnect")),
    act.Override: Way(
        _form("8", "", "no speaker", "a cover", "S1"),
        ("8", "1", "no speaker", "a cover", "S1"),
        _at(None, sound=SILENT),
    ),
    hands.HandOver: Way(
        _form(More("Hand the job over"), "", "in", "nothing", "route"),
        ("hand over", "1", "in", "nothing", "route"),
    ),
    hands.SignOn: Way(_form("1", PIN, ""), ("1", PIN, ""), _signed),
    hands.RefusePin: Way(_form("1", "8642", ""), ("1", "8642", "", "?back"), _signed),
    act.Abandon: Way(_form(More("Give the job up"), "no time"), ("give up", "no time")),
    act.Close: Way(("1", "down", "enter"), ("1", "2"), _at(None)),
}

IN_PRACTICE: dict[type[Written], None] = dict.fromkeys((SayNext, TakeUp, LookAt))


def test_every_kind_of_action_has_a_way_in_or_a_reason_why_not() -> None:
    listed = [*WAYS, *IN_PRACTICE, *BY_THE_PROGRAM]
    assert len(listed) == len(set(listed))
    assert set(listed) == set(act.ACTIONS)


@pytest.fixture
def done(monkeypatch: pytest.MonkeyPatch) -> list[type]:
    """Return the kinds of the actions that become durable, in order."""
    kinds: list[type] = []
    carry_out = OpenJob.act

    def noted(self: OpenJob, action: act.Action, *more: object) -> object:
        kinds.append(type(action))
        return carry_out(self, action, *more)  # type: ignore[arg-type]

    monkeypatch.setattr(OpenJob, "act", noted)
    return kinds


def numbered(typist_heard: Sequence[str], words: str) -> str:
    """Return the number under which the entry with these words was read."""
    [line] = [line for line in typist_heard if words in line and line[0].isdigit()]
    return line.split(".")[0]


class ByNumber(Typist):
    """Types the number of an entry of the menu where its words were written down."""

    def ask(self, prompt: str) -> str:
        typed = super().ask(prompt)
        menu = prompt.startswith("A number from 1 to")
        return numbered(self.heard[-20:], typed) if menu and typed else typed

    ask_secret = ask


@pytest.mark.parametrize("kind", WAYS, ids=lambda kind: kind.__name__)
def test_it_is_done_from_the_screen(
    bench: Bench, done: list[type], tmp_path: Path, kind: type[Written]
) -> None:
    way = WAYS[kind]
    folder = way.at(bench)
    done.clear()
    picture = Typed(str(photo(tmp_path)))
    keys = [picture if move == Typed(PHOTO) else move for move in way.keys]
    bench.press(folder, *keys)
    assert kind in done


@pytest.mark.parametrize("kind", WAYS, ids=lambda kind: kind.__name__)
def test_it_is_done_line_by_line(
    bench: Bench, done: list[type], tmp_path: Path, kind: type[Written]
) -> None:
    way = WAYS[kind]
    folder = way.at(bench)
    done.clear()
    lines = [
        str(photo(tmp_path)) if line == PHOTO and n else line for n, line in enumerate(way.lines)
    ]
    clock = Clock(bench.clock.at)
    typist = ByNumber(clock, deque(lines))
    with contextlib.suppress(EOFError):
        walk_job(bench.shop, folder, None, typist, clock)
    assert kind in done, "\n".join(typist.heard)


def with_path(lines: Sequence[str], path: str) -> list[str]:
    """Return `lines` with the path of a photo in its place; the first line is a word."""
    return [*lines[:1], *(path if line == PHOTO else line for line in lines[1:])]


def photo(folder: Path) -> Path:
    path = folder / "bay.png"
    path.write_bytes(PICTURE)
    return path


def test_what_only_practice_has_is_done_from_the_screen(bench: Bench, done: list[type]) -> None:
    async def walk(pilot: Pilot[int]) -> None:
        await practice_screens.to_first_step(pilot)
        await press(pilot, "f12")
        while practice_screens.practice_screen(pilot).card.step != "rest-voltage":
            await press(pilot, "down")
        await press(pilot, "1")

    practice_screens.run(bench, walk)
    assert set(IN_PRACTICE) <= set(done)


def test_what_only_practice_has_is_done_line_by_line(bench: Bench, done: list[type]) -> None:
    (bench.shop.procedures / "small-receiver.yaml").write_text(
        practice_screens.SMALL_TEXT, encoding="utf-8"
    )
    number = str(SMALL.number["rest-voltage"])
    clock = Clock(bench.clock.at)
    typist = Typist(clock, deque(("1", "1", "1", "?see", f"?take up {number}", "quit")))
    with contextlib.suppress(EOFError):
        begin_by_lines(bench.shop, typist, clock, practice_screens.ASKED, True)
    assert set(IN_PRACTICE) <= set(done), "\n".join(typist.heard)


AT_ROUTE = (act.Note, act.AddPhoto, act.RaiseFault, act.ClearFault, hands.HandOver, act.Abandon)


def test_what_can_be_done_from_any_step_goes_through_a_pipe(bench: Bench, tmp_path: Path) -> None:
    """In a process of its own; what else there is goes through one in test_plain_process.py."""
    bench.clock.at = datetime.now(UTC) - timedelta(hours=12)
    folder = bench.job("route")
    before = bench.kinds(folder)
    picture = str(photo(tmp_path))
    lines = ["1"]  # the time since was worked
    for kind in AT_ROUTE:
        lines += [
            picture if line == PHOTO and n else line for n, line in enumerate(WAYS[kind].lines)
        ]
    command = ["resume", folder.name, "--plain", "--shop", str(bench.folder)]
    ran = subprocess.run(
        [sys.executable, "-m", "baycompanion", *command],
        input="\n".join(lines),
        capture_output=True,
        encoding="utf-8",
        timeout=60,
        check=False,
    )
    assert (ran.returncode, ran.stderr) == (0, "")
    kinds = [kind for kind in bench.kinds(folder)[len(before) :] if kind != "begun"]
    assert kinds[:2] == ["gap-found", "gap-explained"], ran.stdout
    assert kinds[2:6] == ["noted", "photo-added", "fault-raised", "fault-cleared"], ran.stdout
    assert kinds[-1] == "abandoned" and "handed-over" in kinds, ran.stdout
