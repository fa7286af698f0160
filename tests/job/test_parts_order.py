"""Parts held against their order: read from a file, scanned code by code, kept in the record."""

import pytest
from bay import Bay, tick
from ordered import ORDER, ORDER_TEXT, ordered_bay

from baycompanion.job.actions import (
    Accept,
    Answer,
    Reopen,
    Scan,
    TickLine,
)
from baycompanion.job.events.event import read_event
from baycompanion.job.state.gates import gates_holding
from baycompanion.job.state.parts_list import not_needed, not_ordered
from baycompanion.job.state.parts_order import read_order
from baycompanion.procedure.load import load_procedure
from baycompanion.text.problem import BadFile
from baycompanion.views.card.parts import why_parts_stop


def scan(code: str) -> Scan:
    return Scan(scan="parts", code=code)


def at_the_parts() -> Bay:
    return ordered_bay().walk("parts")


def outcome(bay: Bay, part: str) -> str:
    return bay.state.track("parts").ticks[part].answer.outcome


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("order: O-77\n", "", "order.yaml:1:1: “order” is missing"),
        ('"0815"', '"4711"', "order.yaml:4:44: The code “4711” stands on this order twice"),
        ("part: cap", "part: receiver", "order.yaml:4:12: The part “receiver” stands on this"),
        ("count: 3", "count: 0", "order.yaml:4:59: “count” cannot be “0”. Write 1 or more."),
        ("count: 3", "cont: 3", "order.yaml:4:52: “cont” is not known here. Did you mean count?"),
        ("name: Phone lead, ", "", "order.yaml:5:5: “name” is missing"),
    ],
)
def test_a_bad_order_is_refused_with_its_place(old: str, new: str, told: str) -> None:
    with pytest.raises(BadFile) as refused:
        read_order(ORDER_TEXT.replace(old, new), "order.yaml")
    assert str(refused.value).splitlines()[0].startswith(told)


def test_the_order_is_pinned_in_the_first_event_and_read_back_from_it() -> None:
    first = ordered_bay().events[0]
    again = read_event(first.as_dict(), None)
    assert again.data == first.data
    assert ordered_bay().state.opened.order == ORDER


def test_a_job_without_an_order_begins_with_the_event_it_always_began_with() -> None:
    assert "order" not in Bay().events[0].as_dict()["data"]


def test_a_code_ticks_its_part_off() -> None:
    bay = at_the_parts()
    bay.do(scan("4711"))
    ticked = bay.state.track("parts").ticks["receiver"].answer
    assert (ticked.outcome, ticked.weight, ticked.code) == ("here", "good", "4711")


def test_a_code_read_several_times_counts_up_to_what_was_ordered() -> None:
    bay = at_the_parts()
    for count, (word, words) in enumerate(
        [("missing", "1 of 3 here"), ("missing", "2 of 3 here"), ("here", "3 of 3 here")], 1
    ):
        bay.do(scan("0815"))
        ticked = bay.state.track("parts").ticks["cap"].answer
        assert (ticked.count, ticked.outcome, ticked.words) == (count, word, words)
    assert "ticked off already, all 3" in bay.refused(scan("0815")).why


@pytest.mark.parametrize(
    ("outcome", "words", "told", "stops"),
    [
        ("damaged", "", "2 of 3 here", "Damaged: Crimp cap (2 of 3 here)"),
        ("missing", "", "2 of 3 here", "Missing: Crimp cap (2 of 3 here)"),
        ("wrong", "blue ones", "blue ones", "Wrong: Crimp cap (blue ones)"),
        ("here", "", "", ""),
    ],
)
def test_an_answer_by_its_key_keeps_how_many_labels_were_read(
    outcome: str, words: str, told: str, stops: str
) -> None:
    bay = at_the_parts()
    bay.do(scan("4711"), scan("0815"), scan("0815"))
    bay.do(tick("parts", "cap", outcome, words=words))
    ticked = bay.state.track("parts").ticks["cap"].answer
    assert (ticked.outcome, ticked.count, ticked.words) == (outcome, 2, told)
    assert why_parts_stop(bay.procedure, bay.state) == stops
    if outcome != "here":
        bay.do(scan("0815"))
        ticked = bay.state.track("parts").ticks["cap"].answer
        assert (ticked.outcome, ticked.count, ticked.words) == ("here", 3, "3 of 3 here")


def test_a_label_more_than_was_ordered_counts_as_a_replacement() -> None:
    bay = at_the_parts()
    bay.do(*[scan("0815")] * 3, tick("parts", "cap", "damaged"), scan("0815"))
    ticked = bay.state.track("parts").ticks["cap"].answer
    assert (ticked.outcome, ticked.count, ticked.words) == ("here", 3, "3 of 3 here")


def test_a_part_of_one_label_that_is_damaged_after_it_was_read_is_named_alone() -> None:
    bay = at_the_parts()
    bay.do(scan("4711"), tick("parts", "receiver", "damaged"))
    assert why_parts_stop(bay.procedure, bay.state) == "Damaged: Receiver"


@pytest.mark.parametrize(
    ("code", "why"),
    [("5", "“5” is not on the order O-77."), ("999", "“Phone lead” is on the order, and no part")],
)
def test_a_code_that_is_no_part_of_this_job_ticks_nothing(code: str, why: str) -> None:
    bay = at_the_parts()
    assert why in bay.refused(scan(code)).why
    assert bay.state.track("parts").ticks == {}


def test_without_an_order_there_is_nothing_to_hold_a_code_against() -> None:
    assert "no order" in Bay().walk("parts").refused(scan("4711")).why


def test_only_parts_are_scanned() -> None:
    bay = ordered_bay().walk("tools")
    assert "ticks off no parts" in bay.refused(Scan(scan="tools", code="4711")).why


def test_a_part_that_turned_up_is_scanned_later_and_opens_the_gate() -> None:
    bay = at_the_parts()
    bay.do(tick("parts", "receiver", "missing"), tick("parts", "cap", "here"))
    bay.do(Answer(answer="parts"))
    bay.walk()
    assert gates_holding(bay.procedure, bay.state) == ("on-bench-for-make-safe",)
    assert why_parts_stop(bay.procedure, bay.state) == "Missing: Receiver"
    bay.do(scan("4711"))
    assert bay.state.track("parts").good
    assert bay.state.current == "rest-voltage"
    assert why_parts_stop(bay.procedure, bay.state) == ""


def test_what_is_missing_wrong_or_damaged_is_the_reason_to_pause() -> None:
    bay = at_the_parts()
    assert why_parts_stop(bay.procedure, bay.state) == ""
    bay.do(tick("parts", "receiver", "damaged"), scan("0815"))
    said = why_parts_stop(bay.procedure, bay.state)
    assert said == "Missing: Crimp cap (1 of 3 here); Damaged: Receiver"


def test_the_order_and_the_procedure_are_held_against_each_other() -> None:
    bay = ordered_bay()
    bay.walk("parts", ask_camera=[Answer(answer="ask-camera", value="rear")])
    assert not_ordered(bay.procedure, bay.state) == ("Camera adapter",)
    assert not_needed(bay.procedure, bay.state) == ("Phone lead",)


def test_the_record_lists_parts_with_order_code_and_outcome() -> None:
    bay = at_the_parts()
    bay.do(scan("4711"), TickLine(tick="parts", item="cap", outcome="wrong", code="1234"))
    record = bay.record()
    assert record.order == "O-77"
    listed = [(part.part, part.ordered, part.code, part.outcome) for part in record.parts]
    assert listed == [
        ("receiver", "Receiver of one unit", "4711", "here"),
        ("cap", "Caps in a bag", "1234", "wrong"),
        (None, "Phone lead", "999", ""),
    ]


SERIAL = """\
procedure: serial
title: Fit one
revision: 1
fits: F?
hazards: none
tools: none
parts:
  - {part: receiver, name: Receiver}
phases:
  - phase: only
    title: Only
    target: 5 min
    steps:
      - record: Write down the serial number.
        id: number
        serial-of: receiver
      - do: Fit it.
        id: fitted
gates: []
"""


def test_a_serial_number_stands_beside_its_part_in_the_record() -> None:
    bay = Bay(load_procedure(SERIAL, "serial.yaml").procedure)
    bay.do(Accept(accept="hazards"), Answer(answer="number", value="SN 00123"))
    assert [part.serial for part in bay.record().parts] == ["SN 00123"]
    bay.do(Reopen(reopen="number", reason="read off the box"))
    assert [part.serial for part in bay.record().parts] == [None]
    bay.do(Answer(answer="number", value="SN 00124"))
    assert [part.serial for part in bay.record().parts] == ["SN 00124"]
