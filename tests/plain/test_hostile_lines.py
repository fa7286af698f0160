"""Text from outside is said as text: one line, no code for the terminal, nothing obeyed."""

import contextlib
import io
import json
from collections import deque
from pathlib import Path
from typing import Any

import pytest
import yaml
from bay import SMALL_TEXT, keys_in
from hypothesis import given
from hypothesis import strategies as st
from listener import Clock, Listener, Typist, values_of

from baycompanion.job.events.carried import Vehicle
from baycompanion.plain.job import walk_job
from baycompanion.plain.terminal import Terminal
from baycompanion.procedure.load import load_procedure
from baycompanion.store.job.folder import make_job, read_job
from baycompanion.store.shop import Shop
from baycompanion.text.clean import clean, clean_line

CODES = "[b]x[/b] \x1b]0;title\x07 \x1b[2J \x9b31m \u202edrow\u202c \x00\x7f\u2028?quit"
HOSTILE = {"codes": CODES, "long": "x" * 10_000, "words": "?back quit 1 give up"}


def with_text(value: Any, text: str) -> Any:
    """Return the procedure `value` with `text` at the end of every sentence of it."""
    if isinstance(value, dict):
        return {name: with_text(each, text) for name, each in value.items()}
    if isinstance(value, list):
        return [with_text(each, text) for each in value]
    return f"{value} {text}"[:400] if " " in value and not value[0].isdigit() else value


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
def test_a_procedure_of_hostile_sentences_is_walked_to_a_clean_close(
    shop: Shop, clock: Clock, photo: Path, monkeypatch: pytest.MonkeyPatch, text: str
) -> None:
    raw = with_text(yaml.load(SMALL_TEXT, yaml.BaseLoader), text)
    loaded = load_procedure(json.dumps(raw), "hostile.yaml")
    vehicle = Vehicle(description=clean_line(f"van {text}")[:500], vin="", plate="")
    folder = make_job(
        shop.jobs, loaded, keys_in(clean_line(f"WO {text}")[:200], vehicle, when=clock())
    )
    listener = Listener(clock, values_of(loaded.procedure), str(photo))
    monkeypatch.setattr("baycompanion.plain.waiting.sleep", listener.sleep)
    assert walk_job(shop, folder, None, listener, clock) == "quit"
    assert read_job(folder).state.clean is True
    for line in listener.heard:
        assert clean(line).replace("\n", " ") == line


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
def test_what_a_person_types_is_kept_and_said_as_text(
    shop: Shop, folder: Path, clock: Clock, text: str
) -> None:
    lines = ["1", "fault", f"broken {text}", "1", "clear", "?back", "where", "note", text, "quit"]
    given_lines = io.StringIO("".join(f"{line}\n" for line in lines))
    shown = io.StringIO()
    with contextlib.suppress(EOFError):
        walk_job(shop, folder, None, Terminal(given_lines, shown), clock)
    said = shown.getvalue()
    assert not [sign for sign in said if sign != "\n" and (ord(sign) < 32 or sign in "\x7f\x9b")]
    assert "\u202e" not in said
    [fault] = read_job(folder).state.faults[:1] or [None]
    assert fault is None or fault.words.startswith("broken ")


@given(st.lists(st.text(max_size=30) | st.sampled_from(["", "1", "2", "?back", "?", "8", "9"])))
def test_no_lines_whatever_end_in_anything_but_a_place_left(
    tmp_path_factory: pytest.TempPathFactory, lines: list[str]
) -> None:
    """Whatever is typed, the job can be opened again, and everything said is one line."""
    shop = _shop(tmp_path_factory.mktemp("any"))
    clock = Clock()
    loaded = load_procedure(SMALL_TEXT, "small.yaml")
    folder = make_job(shop.jobs, loaded, keys_in("WO", Vehicle(description="van"), when=clock()))
    typist = Typist(clock, deque(clean(line).replace("\n", " ").strip() for line in lines))
    with contextlib.suppress(EOFError):
        walk_job(shop, folder, None, typist, clock)
    assert read_job(folder).state.seq >= 1
    assert not [line for line in typist.heard if "\n" in line]


def _shop(folder: Path) -> Shop:
    from baycompanion.store.shop import open_shop

    return open_shop(folder)
