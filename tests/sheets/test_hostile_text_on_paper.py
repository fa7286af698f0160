"""Texts that try to be more than text: on the sheet each of them is what was typed."""

import json
import re
from typing import Any

import pytest
import yaml
from bay import SMALL_TEXT, VEHICLE, Bay, keys_in
from paper import Node, read, step
from printed import WHEN, empty, html, sheet

from baycompanion.job.actions import (
    Accept,
    Borrow,
    Note,
    RaiseFault,
    Reopen,
)
from baycompanion.job.deciding.opening import open_job
from baycompanion.job.events.carried import Vehicle
from baycompanion.job.hands_actions import HandOver, PauseWork
from baycompanion.procedure.load import load_procedure
from baycompanion.sheets.page import css_text, draw
from baycompanion.sheets.paper import form_of_job

MARKUP = "</span></style><script>alert(1)</script><b onclick='x'>&amp; \"}{{ 7*7 }}{% raw %} <!--"
CODES = "\x1b[2J\x00\x07\x9b31m \u202edrow\u202c\u2066x\u2069 \u200e\x7f \u2028end"
HOSTILE = f"{MARKUP}{CODES}"

_TEXTS = {
    *("title", "fits", "because", "says", "ask", "details", "source", "name", "group"),
    *("danger", "warning", "caution", "notice", "consequence", "avoid"),
    *("do", "check", "measure", "record", "sum", "choose", "wait", "inspect", "witness"),
    *("count", "fastener", "into", "pattern", "tool", "unit"),
}
_ACTING = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]")


def hostile_procedure() -> str:
    """Return the small procedure with hostile text in every sentence of it."""
    raw = yaml.load(SMALL_TEXT, yaml.BaseLoader)
    for phase in raw["phases"]:
        for each in phase["steps"]:
            each["details"] = ["How"]
            if "do" in each:
                each["torque"] = [{"fastener": "M5", "into": "plastic", "source": "maker"}]
    return json.dumps(_with(raw, ""))


def _with(value: Any, key: str) -> Any:
    if isinstance(value, dict):
        return {name: _with(each, name) for name, each in value.items()}
    if isinstance(value, list):
        return [_with(each, key) for each in value]
    is_text = key in _TEXTS and value != "none" and " " in value
    return f"{value} {HOSTILE}"[:480] if is_text else value


def is_only_text(page: Node, source: str) -> None:
    """Prove that nothing in a page came from a text but more text."""
    assert not _ACTING.search(source)
    tags = {each.tag for each in page.all()}
    assert "script" not in tags
    assert len(page.all("style")) == 1
    names = {name for each in page.all() for name in each.attributes}
    assert names <= {"class", "id", "colspan", "lang", "charset", "content", "name"}


def test_a_hostile_procedure_comes_out_as_text() -> None:
    loaded = load_procedure(hostile_procedure(), "hostile.yaml")
    page = empty(loaded)
    source = draw(form_of_job(loaded.procedure, Bay(loaded.procedure).state, WHEN))
    is_only_text(read(source), source)
    for each in loaded.procedure.steps.values():
        shown = step(page, loaded.procedure.number[each.id]).text
        assert MARKUP in shown
        assert " ".join(each.text.split()) in shown


def hostile_job() -> Bay:
    """Return a job whose work order, vehicle, notes, faults, circuits and pauses are hostile."""
    vehicle = Vehicle(description=HOSTILE, vin=HOSTILE, plate=HOSTILE)
    bay = Bay()
    opened = open_job(bay.procedure, "ab" * 32, "job-1", keys_in(HOSTILE, vehicle, when=bay.now))
    bay = Bay(events=[opened])
    bay.do(Accept(accept="hazards"))
    bay.walk("disconnect")
    bay.do(
        Note(note=HOSTILE),
        RaiseFault(fault=HOSTILE, cause="vehicle"),
        Borrow(borrow=HOSTILE, place=HOSTILE, method="ground"),
        Reopen(reopen="odometer", reason=HOSTILE),
        PauseWork(pause=HOSTILE, loose=HOSTILE, first=HOSTILE),
        HandOver(hand_over="T2", words=HOSTILE, loose=HOSTILE, first=HOSTILE),
    )
    return bay


def test_a_hostile_job_comes_out_as_text() -> None:
    bay = hostile_job()
    source = html(bay)
    page = read(source)
    is_only_text(page, source)
    for part in (page.one("header"), page.one("section", "stands"), *page.all("section", "table")):
        assert MARKUP in part.text


def test_the_head_of_every_page_stays_inside_its_quotation_marks() -> None:
    """It stands in the style sheet, where other signs end a text than in HTML."""
    style = sheet(hostile_job()).one("style").raw
    [content] = re.findall(r'@top-left \{ content: "(.*)"; \}', style)
    assert re.fullmatch(r"(?:[A-Za-z0-9 ]|\\[0-9a-f]{1,6} )*", content)
    assert "<" not in style


@pytest.mark.parametrize(
    ("text", "escaped"),
    [
        ("WO 7", "WO 7"),
        ('"', "\\22 "),
        ("\\", "\\5c "),
        ("a\nb", "a b"),
        ("</style>", "\\3c \\2f style\\3e "),
        ("Ω", "\\3a9 "),
        ("\u202e", "\\fffd "),
        ("{{ x }}", "\\7b \\7b  x \\7d \\7d "),
    ],
)
def test_a_text_in_the_style_sheet_is_written_by_its_code_points(text: str, escaped: str) -> None:
    assert css_text(text) == escaped


def test_a_vehicle_of_another_script_keeps_its_letters() -> None:
    bay = Bay()
    vehicle = VEHICLE.model_copy(update={"description": "синий фургон, 青いバン"})
    opened = open_job(bay.procedure, "ab" * 32, "job-1", keys_in(vehicle=vehicle, when=bay.now))
    assert "синий фургон, 青いバン" in sheet(Bay(events=[opened])).one("header").text
