"""Texts that try to be more than text: on the hand-over sheet each of them is what was typed."""

import re
from dataclasses import replace

from bay import S1, T1, Bay
from hand_over_bench import html, section, source, worst_job
from paper import read
from test_hostile_text_on_paper import _ACTING, HOSTILE, MARKUP, hostile_job, hostile_procedure

from baycompanion.job.actions import Note
from baycompanion.procedure.load import load_procedure
from baycompanion.sheets.handover.page import draw_hand_over
from baycompanion.sheets.handover.whole import hand_over

KNOWN = {
    *("class", "lang", "charset", "content", "name", "http-equiv", "scope", "style"),
    *("src", "alt"),
}


def is_only_text(page_text: str) -> None:
    """Prove that nothing in a page came from a text but more text."""
    assert not _ACTING.search(page_text)
    page = read(page_text)
    assert "script" not in {each.tag for each in page.all()}
    assert len(page.all("style")) == 1
    assert {name for each in page.all() for name in each.attributes} <= KNOWN
    styles = {each.attributes.get("style", "width: 1%") for each in page.all()}
    assert all(re.fullmatch(r"width: \d+%", style) for style in styles)


def test_a_hostile_job_comes_out_as_text() -> None:
    bay = hostile_job()
    text = html(bay, shop=HOSTILE, warranty=(HOSTILE,), pictures={})
    is_only_text(text)
    page = read(text)
    assert MARKUP in page.one("h1").text
    assert MARKUP in page.one("p", "shop").text
    for title in ("Still open", "Circuits of the vehicle that the new equipment uses", "Warranty"):
        assert MARKUP in section(page, title).text


def test_a_hostile_note_comes_out_as_text() -> None:
    bay = Bay().walk("join")
    bay.do(Note(note=HOSTILE))
    text = html(bay)
    is_only_text(text)
    assert MARKUP in section(read(text), "Written down").text


def test_a_hostile_procedure_comes_out_as_text() -> None:
    loaded = load_procedure(hostile_procedure(), "hostile.yaml")
    bay = Bay(loaded.procedure).walk("disconnect")
    text = html(bay)
    is_only_text(text)
    assert MARKUP in section(read(text), "Measured and worked out").text


def test_hostile_words_of_an_override_come_out_as_text() -> None:
    """Even where they came past every door, as from a journal written elsewhere."""
    bay = worst_job()
    given = source(bay)
    hostile = [
        each.model_copy(update={"reason": HOSTILE, "words": HOSTILE, "instead": HOSTILE})
        for each in given.record.overrides
    ]
    record = given.record.model_copy(update={"overrides": hostile})
    text = draw_hand_over(hand_over(replace(given, record=record)))
    is_only_text(text)
    assert MARKUP in section(read(text), "Skipped with permission").text
    assert {S1.id, T1.id} <= set(record.people)


def test_the_head_of_every_page_stays_inside_its_quotation_marks() -> None:
    style = read(html(hostile_job(), shop=HOSTILE)).one("style").raw
    [content] = re.findall(r'@top-left \{ content: "(.*)"; \}', style)
    assert re.fullmatch(r"(?:[A-Za-z0-9 ]|\\[0-9a-f]{1,6} )*", content)
    assert "<" not in style


def test_the_page_forbids_itself_everything_it_does_not_hold() -> None:
    [policy] = [
        each.attributes["content"]
        for each in read(html(Bay())).all("meta")
        if each.attributes.get("http-equiv") == "Content-Security-Policy"
    ]
    assert policy.startswith("default-src 'none';")
    assert "script-src" not in policy
    assert "http" not in policy
