"""Events: what may stand in a journal's line, and what is refused, in words."""

import inspect
import json
from typing import Any

import pytest
from bay import Bay
from hypothesis import given
from hypothesis import strategies as st
from pydantic import BaseModel

from baycompanion.job.events import carried
from baycompanion.job.events.chain import FIRST_PREV, canonical, hash_event
from baycompanion.job.events.event import BadEvent, read_event, read_link, seal
from baycompanion.job.events.kinds import KINDS
from baycompanion.job.state.fold import fold
from baycompanion.text.clean import clean

FIRST = Bay().events[0]


def line(**changes: Any) -> dict[str, Any]:
    """Return the first line of a journal with some members changed, and its hash made to fit."""
    raw = {**FIRST.as_dict(), **changes}
    raw["hash"] = changes.get("hash", hash_event(raw))
    return raw


def data(**changes: Any) -> dict[str, Any]:
    return {**FIRST.as_dict()["data"], **changes}


REFUSED: list[tuple[Any, str]] = [
    (None, "This is no event of a job"),
    ([], "This is no event of a job"),
    ("opened", "This is no event of a job"),
    ({}, "This is no event of a job"),
    ({**line(), "more": 1}, "This is no event of a job"),
    ({name: value for name, value in line().items() if name != "by"}, "This is no event of a job"),
    (line(kind="repainted"), "“repainted” is no kind of event known here; it may be newer"),
    (line(kind=7), "“7” is no kind of event known here; it may be newer"),
    (line(kind="\x1b[2J"), "“\N{REPLACEMENT CHARACTER}[2J” is no kind of event"),
    (line(kind="x" * 5000), "“" + "x" * 40 + "…” is no kind of event"),
    (line(seq=2), "Event “2” stands where 1 belongs"),
    (line(seq="1"), "Event “1” stands where 1 belongs"),
    (line(prev="f" * 64), "It is not tied to the event before it"),
    (line(prev=None), "It is not tied to the event before it"),
    (line(hash="f" * 64), "It was changed after it was written: its hash does not fit"),
    ({**line(), "by": "T2"}, "It was changed after it was written: its hash does not fit"),
    (line(data=data(format=2)), "Its format is “2”, and this program reads 1"),
    (line(data=data(format=2, new="member")), "Its format is “2”, and this program reads 1"),
    (line(data=data(format=None)), "Its format is “None”, and this program reads 1"),
    (line(data=data(more=1)), "What it carries does not fit a “opened” event"),
    (line(data=data(revision="3")), "What it carries does not fit a “opened” event"),
    (line(data=7), "What it carries does not fit a “opened” event"),
    (line(at="yesterday"), "What it carries does not fit a “opened” event"),
    (line(at="2026-03-02T08:00:00"), "What it carries does not fit a “opened” event"),
    (line(at=5), "What it carries does not fit a “opened” event"),
    (line(by=["T1"]), "What it carries does not fit a “opened” event"),
    (line(data=data(work_order="\x1b]0;x\x07")), "It holds control codes"),
    (line(data=data(title="\u202edrow")), "It holds control codes"),
    (line(by="T1\x9b"), "It holds control codes"),
    (line(kind="noted", data={"words": "w"}), "A job begins with one “opened” event"),
]


@pytest.mark.parametrize(("raw", "why"), REFUSED)
def test_a_line_that_is_no_event_is_refused_in_words(raw: Any, why: str) -> None:
    """R56: never guessed at. Invariant 8: an unknown kind is refused, not skipped."""
    with pytest.raises(BadEvent) as refused:
        read_event(raw, None)
    assert why in str(refused.value)
    assert "\x1b" not in str(refused.value)


def test_a_second_opening_is_refused() -> None:
    again = seal(FIRST.data, "T1", Bay().now, seq=2, prev=FIRST.hash)
    with pytest.raises(BadEvent, match="A job begins with one"):
        read_event(again.as_dict(), FIRST)


def test_an_event_must_follow_the_one_before_it() -> None:
    bay = Bay().walk("tools")
    for before, event in zip(bay.events, bay.events[1:], strict=False):
        assert read_event(event.as_dict(), before) == event
    with pytest.raises(BadEvent, match="Event “3” stands where 2 belongs"):
        read_event(bay.events[2].as_dict(), bay.events[0])


def test_the_first_event_is_tied_to_sixty_four_zeros_and_carries_the_format() -> None:
    """Invariant 8."""
    assert FIRST.prev == FIRST_PREV == "0" * 64
    assert (FIRST.seq, FIRST.as_dict()["data"]["format"]) == (1, 1)


KNOWN = {
    "abandoned",
    "acknowledged",
    "answered",
    "begun",
    "clock-back",
    "circuit-borrowed",
    "circuit-given-back",
    "closed",
    "fault-cleared",
    "fault-raised",
    "gap-explained",
    "gap-found",
    "gate-held",
    "gate-opened",
    "gate-shut-again",
    "handed-over",
    "hazards-accepted",
    "looked",
    "next-said",
    "noted",
    "opened",
    "overridden",
    "paused",
    "photo-added",
    "pin-refused",
    "ran-into",
    "reopened",
    "resumed",
    "revised",
    "settled",
    "signed-on",
    "splice-planned",
    "standing-asked",
    "ticked",
    "tray-line-added",
    "unprotected",
    "wait-set",
}


def test_the_kinds_are_stable_words() -> None:
    """Invariant 8: journals of every shop hold these words. Add to this list, never change it."""
    assert set(KINDS) == KNOWN


WALKED = Bay().walk("join")


CARRIED = [
    each
    for _, each in inspect.getmembers(carried, inspect.isclass)
    if issubclass(each, BaseModel) and each is not BaseModel
]
for model in (*CARRIED, *KINDS.values()):
    model.model_rebuild()  # models are built when they are first used, and drawn by their fields


@given(st.sampled_from(sorted(set(KINDS) - {"opened"})), st.data())
def test_any_event_reads_back_as_it_was_written_and_can_be_folded(
    kind: str, draw: st.DataObject
) -> None:
    """A fold never refuses: rules stand in decide alone, so that an old job stays readable."""
    drawn = draw.draw(st.from_type(KINDS[kind]))
    again = KINDS[kind].model_validate(_cleaned(drawn.model_dump()))
    state, newest = WALKED.state, WALKED.events[-1]
    event = seal(again, "T1", WALKED.now, seq=newest.seq + 1, prev=newest.hash)
    assert read_event(json.loads(json.dumps(event.as_dict())), newest) == event
    assert fold(state, event).seq == event.seq


def _cleaned(value: Any) -> Any:
    if isinstance(value, str):
        return clean(value)
    if isinstance(value, dict):
        return {clean(name): _cleaned(item) for name, item in value.items()}
    return [_cleaned(item) for item in value] if isinstance(value, list) else value


def test_a_link_of_a_chain_reads_as_the_event_that_it_is() -> None:
    before = None
    for event in Bay().walk(None).events:
        raw = event.as_dict()
        before = read_event(raw, before)
        assert read_link(raw, canonical(raw), first=event.seq == 1) == before == event


@pytest.mark.parametrize(("raw", "why"), [each for each in REFUSED if isinstance(each[0], dict)])
def test_a_link_that_is_no_event_is_refused_in_the_same_words(raw: Any, why: str) -> None:
    """But for its place and its hash, which whoever reads the chain has looked at before."""
    if raw.keys() >= {"hash", "prev", "seq"} and why.split()[0] not in ("Event", "It"):
        with pytest.raises(BadEvent) as refused:
            read_link(raw, canonical(raw), first=True)
        assert str(refused.value).startswith(why)


@given(text=st.text(max_size=8))
def test_whatever_could_do_more_than_be_shown_is_refused_in_a_link_too(text: str) -> None:
    raw = line(data=data(work_order=text))
    try:
        expected: Any = read_event(raw, None)
    except BadEvent as refused:
        expected = str(refused)
    try:
        found: Any = read_link(raw, canonical(raw), first=True)
    except BadEvent as refused:
        found = str(refused)
    assert found == expected
