"""The sheet of a job under way: what is known stands in its boxes, and nothing that is secret."""

from datetime import timedelta

import pytest
from bay import BAD, GOOD, LONG_STEPS, S1, SMALL, SMALL_TEXT, T1, T2, Bay
from paper import Node, boxes, gate, is_ticked, step, ticked, written
from printed import WHEN, html, sheet
from second_person import FOUND, SECOND, at_the_witness, released, seen

from baycompanion.job.actions import (
    Abandon,
    Accept,
    Action,
    Answer,
    ClearFault,
    Close,
    Confirm,
    Note,
    Override,
    RaiseFault,
    Reopen,
    Settle,
)
from baycompanion.job.deciding.answers import KEPT_PRIVATE
from baycompanion.job.events.chain import fingerprint
from baycompanion.job.hands_actions import HandOver, PauseWork
from baycompanion.job.state.order import why_not
from baycompanion.procedure.load import load_procedure
from baycompanion.sheets.page import draw
from baycompanion.sheets.paper import form_of_job


def part(bay: Bay, name: str) -> Node:
    """Return one step on the sheet of a job."""
    return step(sheet(bay), bay.procedure.number[name])


def stands(bay: Bay) -> list[str]:
    """Return the lines that say where a job stands."""
    return [each.text for each in sheet(bay).one("section", "stands").all("li")]


def facts(bay: Bay) -> dict[str, str]:
    """Return the head of a sheet by its labels."""
    fields = sheet(bay).one("p", "facts").all("span", "field")
    return {each.one("i").text: each.one("span", "blank").text for each in fields}


def rows(bay: Bay, title: str) -> list[list[str]]:
    """Return the rows of a table at the end that are not left to write in."""
    [table] = [each for each in sheet(bay).all("section", "table") if each.one("h2").text == title]
    filled = [row for row in table.one("tbody").all("tr") if "empty" not in row.classes]
    return [[cell.text for cell in row.all("td")] for row in filled]


def test_the_head_says_which_job_it_is() -> None:
    bay = Bay().walk("join")
    assert facts(bay) == {
        "Job": "job-1",
        "Work order": "WO 7",
        "Vehicle": "Blue van",
        "VIN": "",
        "Plate": "TEST 1",
        "Technician": "T1",
        "Procedure": "Fit a small receiver, revision 3, hash abababababab",
        "Fingerprint": fingerprint(bay.events[-1].hash),
        "Printed at": "2026-03-02 15:30+01:00",
    }


def test_an_answer_stands_in_its_boxes_with_time_and_staff_id() -> None:
    """The journal says 08:05 UTC; the sheet is printed an hour east of it."""
    bay = Bay()
    bay.do(Accept(accept="hazards"))
    bay.do(*GOOD["ask-amplifier"], after=4 * 60)
    shown = part(bay, "ask-amplifier")
    assert ticked(shown) == ["yes"]
    assert written(shown.one("span", "stamp")) == ["09:05", "T1"]
    assert "done" in shown.one("h3").text


def test_a_day_that_is_not_the_day_of_printing_is_written() -> None:
    bay = Bay()
    bay.do(Accept(accept="hazards"), *GOOD["ask-amplifier"])
    form = form_of_job(bay.procedure, bay.state, WHEN + timedelta(days=1))
    assert "2026-03-02 09:02" in draw(form)


@pytest.mark.parametrize(
    ("name", "value"),
    [("odometer", "80123"), ("promised", "2026-03-03"), ("rest-voltage", "12.60")],
)
def test_a_value_stands_on_its_line_as_it_was_typed(name: str, value: str) -> None:
    bay = Bay().walk("join")
    assert written(part(bay, name).one("p", "blanks"))[0] == value


def test_a_list_stands_line_by_line() -> None:
    assert written(part(Bay().walk("join"), "stations").one("p", "blanks")) == [
        "88.1",
        "94.7",
        "101.1",
    ]


def test_an_empty_list_is_an_answer() -> None:
    assert ticked(part(Bay().walk("join"), "lamps")) == ["none found: the list is empty"]


def test_a_measure_names_its_instrument() -> None:
    shown = part(Bay().walk("rest-voltage"), "rest-voltage")
    assert written(shown.one("p", "blanks")) == ["", "M3"]


def test_lines_counts_and_the_condition_sheet_stand_in_their_boxes() -> None:
    bay = Bay().walk("join")
    counted = part(bay, "out").all("td", "cell")
    assert [cell.text for cell in counted] == ["6", "4"]
    for row in part(bay, "before").all("tr"):
        cells = row.all("td", "cell")
        if cells:
            assert [is_ticked(cell) for cell in cells] == [True, False, False, False]
    back = part(bay, "back").all("td", "cell")
    by_hand = [""] * 9
    assert [cell.text for cell in back] == ["4", "", "", "6", "", "", *by_hand], "last off first"


def test_what_a_line_said_in_words_stands_beside_it() -> None:
    bay = Bay().walk("panels-after", after=BAD["after"])
    horn = next(row for row in part(bay, "after").all("tr") if row.text.startswith("Horn"))
    assert "silent" in horn.text
    assert "Came out: worse" in part(bay, "after").text
    [fault] = rows(bay, "Faults")
    assert fault[:2] == ["1", str(SMALL.number["after"])]
    assert "faulty now: silent" in fault[2]
    assert fault[3] == "our work"


def test_the_first_reading_is_kept_beside_the_second() -> None:
    twice: list[Action] = [*BAD["rest-voltage"], *GOOD["rest-voltage"]]
    shown = part(Bay().walk("join", rest_voltage=twice), "rest-voltage")
    assert "Earlier answer: outside · 11.9 V (T1, " in shown.text
    assert ticked(shown) == ["inside"]


def test_a_bad_answer_put_down_as_a_fault_says_which() -> None:
    settled: list[Action] = [
        *BAD["rest-voltage"],
        Settle(settle="rest-voltage", cause="vehicle", words="tired battery"),
    ]
    bay = Bay().walk("disconnect", rest_voltage=settled)
    assert ticked(part(bay, "rest-voltage")) == ["outside", "fault of the vehicle (fault 1)"]
    assert "Open fault 1: tired battery (fault of the vehicle)" in stands(bay)


def test_a_reason_stands_where_one_was_given() -> None:
    dark: list[Action] = [Answer(answer="odometer", outcome="not done", words="display is dark")]
    bay = Bay().walk("disconnect", odometer=dark)
    shown = part(bay, "odometer")
    assert ticked(shown) == ["not done, because"]
    assert "display is dark" in written(shown)


def test_a_step_that_does_not_apply_says_why_and_asks_for_nothing() -> None:
    bay = Bay().walk("join")
    shown = part(bay, "picture")
    assert why_not(SMALL, bay.state, SMALL.steps["picture"]) == "Camera: none"
    assert "not applicable because Camera: none" in shown.text
    assert not boxes(shown)
    assert not written(shown)


def test_a_line_that_does_not_apply_says_why() -> None:
    shown = part(Bay().walk("join"), "parts")
    [row] = [row for row in shown.all("tr") if row.text.startswith("Camera adapter")]
    assert row.text == "Camera adapter not applicable, because Camera: none"
    assert not row.all("span", "box")


def test_the_owner_is_told_nothing_of_what_the_vehicle_does_not_have() -> None:
    text = SMALL_TEXT + (
        "for-the-owner:\n"
        "  - tell: Bring this sheet.\n"
        "  - tell: The camera shows the lane.\n    unless: { camera: none }\n"
    )
    bay = Bay(load_procedure(text, "small.yaml").procedure)
    told = [each.text for each in sheet(bay).one("section", "owner").all("li")]
    assert told[0] == "Bring this sheet."
    assert told[1].startswith("The camera shows the lane. not if Camera: none")
    settled = sheet(bay.walk("odometer"))
    assert [each.text for each in settled.one("section", "owner").all("li")] == told[:1]


def test_a_private_entry_never_appears() -> None:
    """4711 is what was typed; the journal itself holds only that it was noted."""
    bay = Bay().walk()
    assert GOOD["code"] == [Answer(answer="code", value="4711")]
    assert "4711" not in html(bay)
    assert ticked(part(bay, "code")) == [KEPT_PRIVATE]


def test_a_gate_stands_as_it_stands() -> None:
    page = sheet(Bay().walk("join"))
    assert gate(page, "on-bench-for-make-safe").one("h3").text.endswith("– open")
    opened = gate(page, "on-bench-for-make-safe").all("p", "way")
    assert [is_ticked(way) for way in opened] == [True, False]
    assert gate(page, "same-as-before").one("h3").text.endswith("– ahead")
    assert not is_ticked(gate(page, "same-as-before"))


def test_a_shut_gate_says_what_it_waits_for() -> None:
    bay = Bay().held(parts=BAD["parts"])
    shown = gate(sheet(bay), "on-bench-for-bench")
    assert shown.one("h3").text.endswith("– shut")
    assert "Still waits for: Crimp cap: missing" in shown.text
    assert "Gate shut: on-bench-for-bench" in stands(bay)


def test_an_override_stands_with_who_why_and_what_protects_instead() -> None:
    bay = Bay().held(parts=BAD["parts"])
    override = Override(
        override="on-bench-for-bench",
        reason="part comes later",
        words="caps are on the van",
        instead="leads taped",
    )
    bay.do(override, who=S1)
    shown = gate(sheet(bay), "on-bench-for-bench")
    assert shown.one("h3").text.endswith("– overridden")
    opened, overridden = shown.all("p", "way")
    assert not is_ticked(opened)
    assert is_ticked(overridden)
    assert written(overridden)[1:] == [
        "S1",
        "part comes later",
        "caps are on the van",
        "leads taped",
    ]


def test_a_gate_shut_again_does_not_look_open() -> None:
    bay = Bay().walk("join")
    bay.do(Reopen(reopen="reserve", reason="wrong figure"))
    shown = gate(sheet(bay), "reserve-before-dash")
    assert shown.one("h3").text.rpartition("– ")[2] in ("shut again", "shut")
    assert not is_ticked(shown)


def test_a_reopened_step_is_empty_again_and_keeps_its_first_answer() -> None:
    bay = Bay().walk("join")
    bay.do(Reopen(reopen="rest-voltage", reason="probes were on the clamps"))
    shown = part(bay, "rest-voltage")
    assert not ticked(shown)
    assert written(shown.one("span", "stamp")) == ["", ""]
    assert "Reopened: probes were on the clamps" in shown.text
    assert "Earlier answer: inside · 12.60 V (T1, " in shown.text


def test_cautions_not_read_yet_are_named_and_their_boxes_are_empty() -> None:
    bay = Bay().walk("disconnect")
    assert "Not read yet: DANGER The battery can arc." in stands(bay)
    assert "Not read yet: WARNING A tool can short the battery." in stands(bay)
    assert not is_ticked(part(bay, "disconnect"))
    bay.good("disconnect")
    read = [is_ticked(each) for each in part(bay, "disconnect").all("div", "caution")]
    assert read == [True, True, False, False]


def test_a_standing_condition_in_force_is_named() -> None:
    bay = Bay().walk("disconnect")
    assert "Must stay true: The battery stays off." not in stands(bay)
    bay.good("disconnect")
    assert "Must stay true: The battery stays off." in stands(bay)


def test_the_last_question_of_a_standing_condition_keeps_its_answer() -> None:
    bay = Bay().walk("reconnect")
    bay.do(Confirm(confirm="battery-off", held=True))
    assert ticked(part(bay, "reconnect").one("p", "asked")) == ["yes, it held"]


def test_a_paused_job_shows_its_resume_card() -> None:
    bay = Bay().walk("join")
    bay.do(PauseWork(pause="lunch", loose="the dash is open", first="cap the leads"))
    assert [line.split(", since")[0] for line in stands(bay) if "lunch" in line] == [
        "Paused: lunch"
    ]
    assert "Loose, open or live: the dash is open" in stands(bay)
    assert "First on return: cap the leads" in stands(bay)
    [pause] = rows(bay, "Pauses and changes of hands")
    assert pause[1:] == ["lunch", "the dash is open", "cap the leads", ""]


def test_a_change_of_hands_says_to_whom() -> None:
    bay = Bay().walk("join")
    bay.do(HandOver(hand_over=T2.id, words="leads paired", loose="dash", first="caps"))
    assert "Handed to: T2: leads paired" in stands(bay)
    assert facts(bay)["Technician"] == "T2"


def test_faults_and_notes_stand_at_the_end() -> None:
    bay = Bay().walk("join")
    bay.do(RaiseFault(fault="Ash tray is cracked", cause="vehicle"), Note(note="Two\nlines"))
    bay.do(ClearFault(clear=1, words="glued"))
    [fault] = rows(bay, "Faults")
    assert fault[:4] == ["1", str(SMALL.number["join"]), "Ash tray is cracked", "vehicle"]
    assert fault[5].startswith("glued, ")
    assert rows(bay, "Notes")[0][:2] == [str(SMALL.number["join"]), "Two lines"]
    assert not [line for line in stands(bay) if "Open fault" in line]


def test_it_says_where_to_begin() -> None:
    said = sheet(Bay().walk("join")).one("section", "explained").text
    assert f"Begin at step {SMALL.number['join']}." in said
    assert "baycompanion resume job-1" in said


def test_a_photo_is_named_at_its_step() -> None:
    assert "photo taken" not in ticked(part(Bay().walk("join"), "join"))
    shown = part(Bay().walk("joins-hold"), "join")
    assert "Photo: required; here: lead.jpg" in shown.text
    assert "photo taken" in ticked(shown)


def test_a_sum_shows_what_it_was_worked_from_and_what_it_came_to() -> None:
    shown = part(Bay().walk("join"), "splice")
    assert "18,16" in written(shown)
    assert ticked(shown) == ["good"]


def test_a_wait_shows_when_it_began_and_when_it_was_over() -> None:
    shown = part(Bay().walk("out"), "reserve")
    assert "Lasts 1 min, from: maker's manual." in shown.text
    began, over = written(shown.one("p", "blanks"))
    assert began < over


@pytest.mark.parametrize(("on_paper", "where"), [(False, "from memory"), (True, "on paper")])
def test_a_late_entry_carries_both_of_its_times(on_paper: bool, where: str) -> None:
    """R36, R54."""
    bay = Bay().walk("route")
    claimed = bay.now - timedelta(minutes=20)
    bay.do(Answer(answer="route", claimed=claimed, on_paper=on_paper))
    at = written(part(bay, "route").one("span", "stamp"))[0]
    local = claimed.astimezone(WHEN.tzinfo)
    assert at == f"{local:%H:%M} {where}, keyed in {bay.now.astimezone(WHEN.tzinfo):%H:%M}"


def test_the_answers_that_a_second_person_finds_afresh_are_held_back() -> None:
    """R49: who sees the first result tends to assume that it was right."""
    page = sheet(at_the_witness())
    number = SECOND.number
    for name in ("draw", "capacity", "days"):
        shown = step(page, number[name])
        assert not ticked(shown)
        assert "held back until a second person has found it afresh" in shown.text
    assert "48" not in written(page)
    assert FOUND[0] == Answer(answer="draw", value="48")
    assert written(step(page, number["seen"]).one("p", "blanks")) == ["", ""]


def test_what_a_second_person_found_stands_beside_the_first_afterwards() -> None:
    bay = at_the_witness()
    bay.do(seen(), who=S1)
    page = sheet(bay)
    assert written(step(page, SECOND.number["draw"]))[0] == "48"
    assert written(step(page, SECOND.number["seen"]).one("p", "blanks")) == ["47.5", "60"]
    assert ticked(step(page, SECOND.number["seen"])) == ["passed"]


def test_a_release_without_a_second_person_is_no_pass() -> None:
    shown = step(sheet(released()), SECOND.number["seen"])
    assert ticked(shown) == ["provisional, because"]
    assert "nobody else in today" in written(shown)


def test_a_witness_is_told_who_did_it() -> None:
    number = SMALL.number
    shown = part(Bay().walk("second-look"), "second-look")
    wanted = f"not the one who did step {number['join']} (T1), step {number['joins-hold']} (T1)."
    assert wanted in shown.text


def test_a_closed_job_asks_for_nothing_more() -> None:
    bay = Bay().walk()
    bay.do(Close(close="keys back"))
    page = sheet(bay)
    assert "This job is closed." in page.one("section", "explained").text
    assert not page.all("tr", "empty")
    assert any(line.startswith("Closed: ") for line in stands(bay))


def test_an_abandoned_job_says_why() -> None:
    bay = Bay().walk("join")
    bay.do(Abandon(abandon="owner took the vehicle back"))
    assert any("owner took the vehicle back" in line for line in stands(bay))


ENDS = [(name, actions[name]) for actions in (GOOD, BAD) for name in actions if name != "picture"]
"""Every step of the small job with what ends it well and badly; without a camera, no picture."""

SILENT = ("recorded", "counted", "inspected", "chosen")
"""Outcomes that are seen by what stands on the lines."""


@pytest.mark.parametrize(("name", "actions"), ENDS)
def test_every_outcome_that_a_job_can_come_to_stands_on_the_sheet(
    name: str, actions: list[Action]
) -> None:
    """Whatever the rules make of an answer, its word is ticked or written at its step."""
    bay = Bay().walk(name)
    bay.now += LONG_STEPS.get(name, timedelta(0))
    for action in actions:
        bay.decide(action, S1 if name == "second-look" else T1)
    last = bay.state.track(name).last
    shown = part(bay, name)
    if last is None:  # a wait that still runs
        assert name == "reserve"
        assert "Lasts 1 h, from: maker's manual." in shown.text
        return
    assert last.outcome in SILENT or last.outcome in shown.text
    assert last.outcome not in boxes(shown) or last.outcome in ticked(shown)
    assert written(shown.all("span", "stamp")[-1])[1] == bay.state.track(name).attempts[-1].by


def test_the_same_events_give_the_same_bytes() -> None:
    assert html(Bay().walk("join")) == html(Bay().walk("join"))
