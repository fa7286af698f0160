"""The empty sheet: all that a person must know to do a shipped procedure by hand is on it."""

import pytest
from bay import SMALL, Bay, load_small
from paper import Node, boxes, gate, is_ticked, step, written
from printed import SHIPPED, WHEN, empty, shipped

from baycompanion.job.deciding.measuring import limits_in_words
from baycompanion.job.deciding.ticking import outcomes_of
from baycompanion.procedure.cautions import AnyCaution
from baycompanion.procedure.conditions import leaves, step_named
from baycompanion.procedure.load import Loaded, hash_of
from baycompanion.procedure.steps import Choose, Count, Measure, Record, Wait, Witness
from baycompanion.sheets.page import draw
from baycompanion.sheets.paper import form_of_procedure
from baycompanion.sheets.tray_lines import BLANK_LINES
from baycompanion.text.duration import write_duration
from baycompanion.text.reading import write_number
from baycompanion.views.card.menu import menu


@pytest.fixture(scope="module", params=sorted(SHIPPED))
def loaded(request: pytest.FixtureRequest) -> Loaded:
    """Return each shipped procedure in turn."""
    return shipped(request.param)


@pytest.fixture(scope="module")
def page(loaded: Loaded) -> Node:
    """Return its empty sheet, printed once."""
    return empty(loaded)


@pytest.fixture(scope="module")
def small() -> Node:
    """Return the empty sheet of the small procedure, which has everything there can be."""
    return empty(load_small())


def has_caution(part: Node, caution: AnyCaution) -> bool:
    """Return whether `part` shows this caution whole, its signal word in words."""
    wanted = f"{caution.signal.upper()} {caution.hazard} {caution.consequence} {caution.avoid}"
    return any(each.text.startswith(wanted) for each in part.all("div", "caution"))


def test_what_ships_is_looked_at_here() -> None:
    assert len(SHIPPED) >= 6


def test_every_step_has_its_number_its_verb_and_its_text(page: Node, loaded: Loaded) -> None:
    steps = loaded.procedure.steps
    shown = [each.attributes["id"] for each in page.all("article", "step")]
    assert shown == [f"step-{number}" for number in range(1, len(steps) + 1)]
    for each in steps.values():
        head = step(page, loaded.procedure.number[each.id]).one("h3").text
        assert head.startswith(f"{loaded.procedure.number[each.id]} {each.verb} {each.text}")


def test_every_step_has_a_place_for_the_time_and_the_staff_id(page: Node) -> None:
    for each in page.all("article", "step"):
        stamp = each.one("span", "stamp")
        assert stamp.text.startswith("Done at")
        assert written(stamp) == ["", ""]


def test_nothing_is_ticked_on_an_empty_sheet(page: Node) -> None:
    assert page.all("span", "box")
    assert not is_ticked(page)


def test_every_caution_stands_whole_with_its_step(page: Node, loaded: Loaded) -> None:
    for each in loaded.procedure.steps.values():
        part = step(page, loaded.procedure.number[each.id])
        assert len(part.all("div", "caution")) == len(each.cautions)
        for caution in each.cautions:
            assert has_caution(part, caution), caution
    for hazard in loaded.procedure.hazards:
        assert has_caution(page.one("section", "hazards"), hazard)


def test_a_caution_stands_before_the_boxes_of_its_step(page: Node) -> None:
    for part in page.all("article", "step"):
        kinds = [each.classes & {"caution", "answers"} for each in part.all()]
        order = [kind.pop() for kind in kinds if kind]
        assert order == sorted(order, key=["caution", "answers"].index)


def test_danger_and_warning_ask_for_a_tick_that_they_were_read(page: Node) -> None:
    for part in page.all("article", "step"):
        for caution in part.all("div", "caution"):
            wanted = ["read"] if caution.classes & {"danger", "warning"} else []
            assert boxes(caution) == wanted


def test_every_limit_stands_with_its_unit_and_a_blank_for_the_reading(
    page: Node, loaded: Loaded
) -> None:
    measures = [each for each in loaded.procedure.steps.values() if isinstance(each, Measure)]
    assert measures
    for each in measures:
        part = step(page, loaded.procedure.number[each.id])
        reading, instrument = part.one("p", "blanks").all("span", "field")
        assert reading.text == f"Reading {each.unit}"
        assert instrument.text == "Instrument"
        for limit in (each.at_least, each.at_most):
            if limit is not None:
                assert limits_in_words(each) in part.text
                assert write_number(limit) in part.text
                assert {"inside", "outside"} <= set(boxes(part))


def test_every_torque_stands_with_its_source(page: Node, loaded: Loaded) -> None:
    for each in loaded.procedure.steps.values():
        for torque in each.torque:
            part = step(page, loaded.procedure.number[each.id])
            assert torque.fastener in part.text
            assert f"From: {torque.source.rstrip('.')}" in part.text


def test_details_and_tools_stand_with_their_step(page: Node, loaded: Loaded) -> None:
    names = {tool.tool: tool.name for tool in loaded.procedure.tools}
    for each in loaded.procedure.steps.values():
        text = step(page, loaded.procedure.number[each.id]).text
        assert all(detail in text for detail in each.details)
        assert all(names[tool] in text for tool in each.tools)
        assert (f"Photo: {each.photo}" in text) == (each.photo is not None)


def test_every_gate_stands_before_the_first_step_that_it_holds(page: Node, loaded: Loaded) -> None:
    procedure = loaded.procedure
    parts = [each for each in page.all() if each.classes & {"step", "gate"}]
    for name, each in procedure.all_gates.items():
        held = [step for step in procedure.steps if each in procedure.gates_on[step]]
        place = parts.index(gate(page, name))
        following = next(part for part in parts[place:] if "step" in part.classes)
        assert following.attributes["id"] == f"step-{procedure.number[held[0]]}"


def test_every_gate_says_why_what_must_be_true_and_who_may(page: Node, loaded: Loaded) -> None:
    procedure = loaded.procedure
    for name, each in procedure.all_gates.items():
        part = gate(page, name)
        assert each.because in part.text
        for leaf in leaves(each.until):
            needed = step_named(leaf)
            if needed is not None:
                assert f"Step {procedure.number[needed]} is " in part.text
        for thing in procedure.needed_by(each.holds[0])["tools"]:
            if name.startswith("on-bench"):
                assert thing.name in part.text  # type: ignore[union-attr]
        may = {"nobody": "Nobody may", "supervisor": "Only a supervisor may"}
        assert may.get(each.override, "Any technician or supervisor may") in part.text
        assert ("Protects instead" in part.text) == (each.override != "nobody")


def test_every_line_has_the_boxes_that_its_verb_takes(page: Node, loaded: Loaded) -> None:
    for each in loaded.procedure.steps.values():
        items = loaded.procedure.items_of(each)
        tables = step(page, loaded.procedure.number[each.id]).all("table", "lines")
        rows = [row for table in tables for row in table.all("tr") if row.all("td")]
        if isinstance(each, Count):
            by_hand = rows[len(items) :]
            assert [row.text.split()[:1] for row in by_hand] == [["Panel"]] * BLANK_LINES
            rows, items = rows[: len(items)], items[:: -1 if each.matches else 1]
        assert len(rows) == len(items)
        outcomes = outcomes_of(loaded.procedure, each)
        if isinstance(each, Choose) and each.by_lines:
            outcomes = ("yes", "no")
        for row, item in zip(rows, items, strict=True):
            assert row.text.startswith(item.name)
            assert len(row.all("span", "box")) == len(outcomes)
            if isinstance(each, Count):
                assert len(row.all("td", "cell")) == (3 if each.matches else 1)
        for table in tables:
            heads = [head.text for head in table.one("thead").all("th")[1:]]
            assert heads == list(outcomes) or isinstance(each, Count)


def test_every_choice_has_a_box_for_each_answer(page: Node, loaded: Loaded) -> None:
    answers = {choice.choice: choice.answers for choice in loaded.procedure.choices}
    for each in loaded.procedure.steps.values():
        if isinstance(each, Choose) and not each.by_lines:
            shown = boxes(step(page, loaded.procedure.number[each.id]).one("p", "answers"))
            for box, answer in zip(shown, answers[each.settles[0]], strict=True):
                assert box.startswith(answer.replace("-", " "))


def test_a_step_switched_by_a_choice_says_so(page: Node, loaded: Loaded) -> None:
    for each in loaded.procedure.steps.values():
        note = step(page, loaded.procedure.number[each.id]).one("h3").text
        assert ("only if" in note) >= bool(each.when)
        assert ("not if" in note) >= bool(each.unless)


def test_every_wait_has_its_length_or_a_blank_with_its_source(page: Node, loaded: Loaded) -> None:
    for each in loaded.procedure.steps.values():
        if isinstance(each, Wait):
            part = step(page, loaded.procedure.number[each.id])
            if each.lasts is not None:
                assert f"Lasts {write_duration(each.lasts)}" in part.text
            else:
                assert "Lasts Where that comes from" in part.text
            assert "Over at" in part.text


def test_every_witness_has_a_blank_of_their_own_and_is_not_the_one(
    page: Node, loaded: Loaded
) -> None:
    for each in loaded.procedure.steps.values():
        if isinstance(each, Witness):
            part = step(page, loaded.procedure.number[each.id])
            number = loaded.procedure.number[each.of[0]]
            assert f"It is not the one who did step {number}" in part.text
            looks = "mentor" if each.by_mentor else "second person"
            assert looks in part.one("span", "stamp").text


def test_a_private_entry_has_no_line_to_write_it_on(page: Node, loaded: Loaded) -> None:
    for each in loaded.procedure.steps.values():
        if isinstance(each, Record) and each.private:
            part = step(page, loaded.procedure.number[each.id])
            assert not part.all("p", "blanks")
            assert "Never write it on this sheet" in part.text


def test_standing_conditions_stand_where_they_begin_and_where_they_end(
    page: Node, loaded: Loaded
) -> None:
    procedure = loaded.procedure
    for each in procedure.standing:
        begins, ends = procedure.number[each.begins], procedure.number[each.ends]
        assert f"Must stay true from here on: {each.says}" in step(page, begins).text
        assert f"{each.says} {each.ask}" in step(page, ends).text


def test_what_the_owner_is_told_stands_at_the_end(page: Node, loaded: Loaded) -> None:
    told = [each.text for each in page.one("section", "owner").all("li")]
    lines = loaded.procedure.for_the_owner
    assert lines
    assert len(told) == len(lines)
    for shown, line in zip(told, lines, strict=True):
        assert shown.startswith(line.tell)
        assert ("only if" in shown) == bool(line.when)
        assert ("not if" in shown) == bool(line.unless)


def test_a_procedure_that_tells_the_owner_nothing_has_no_place_for_it(small: Node) -> None:
    assert not small.all("section", "owner")


def test_the_head_names_procedure_revision_hash_and_hour(page: Node, loaded: Loaded) -> None:
    head = page.one("header").text
    procedure = loaded.procedure
    assert f"{procedure.title}, revision {procedure.revision}" in head
    assert f"hash {hash_of(loaded.pinned_text)[:12]}" in head
    assert "Printed at 2026-03-02 15:30+01:00" in head


def test_it_says_how_to_key_it_in_afterwards(page: Node) -> None:
    said = page.one("section", "explained").text
    [label] = [entry.label for entry in menu(Bay().state, ()) if entry.does == "paper"]
    assert f"press F9 and choose “{label}”" in said
    assert "both times" in said


def test_it_needs_nothing_but_itself(page: Node) -> None:
    assert not [each for each in page.all() if {"src", "href"} & set(each.attributes)]
    assert {each.tag for each in page.all()}.isdisjoint({"script", "link", "img", "iframe"})
    style = page.one("style").raw
    assert "url(" not in style
    assert "@import" not in style
    assert not [name for each in page.all() for name in each.attributes if name.startswith("on")]


def test_the_same_procedure_gives_the_same_bytes(loaded: Loaded) -> None:
    first, second = (
        draw(form_of_procedure(loaded.procedure, hash_of(loaded.pinned_text), WHEN))
        for _ in range(2)
    )
    assert first == second


def test_the_gate_that_nests_its_conditions_shows_how(small: Node) -> None:
    needs = [each.text for each in gate(small, "sound-before-refit").all("li")]
    number = SMALL.number
    assert needs == [
        f"Step {number['sound']} is passed: Every speaker sounds.",
        f"Step {number['picture']} is passed: The camera shows a picture. "
        f"(only if Camera: rear or front (step {number['ask-camera']}))",
        f"Step {number['second-look']} is passed by a second person: "
        "Somebody else looks at the joins.",
        "Any one of these:",
        f"Step {number['stations-back']} is matching: Set the stations again in order.",
        "All of these:",
        f"Step {number['stations']} is done: Write the stations down in order.",
        "No fault is open, of the vehicle or of our work.",
    ]


def test_a_fault_of_the_vehicle_holds_no_gate_that_waits_for_those_of_the_work() -> None:
    """The rule itself is that of `no-open-fault` in procedures/README.md, under Gates."""
    page = empty(shipped("receiver-swap"))
    said = [each.text for each in page.all("li") if each.text.startswith("No fault")]
    assert said == [
        "No fault of our work is open.",
        "No fault of our work is open, save one that another gate waits for by “matching”.",
    ]


def test_an_answer_that_leaves_steps_out_says_which(small: Node) -> None:
    shown = boxes(step(small, SMALL.number["ask-camera"]).one("p", "answers"))
    assert shown == [f"none (leave out step {SMALL.number['picture']})", "rear", "front"]


def test_an_answer_that_parts_the_ways_says_where_each_goes_on() -> None:
    """In the shipped procedure for the receiver, the sleeve comes off only where it is unused."""
    loaded = shipped("receiver-swap")
    number = loaded.procedure.number
    page = empty(loaded)
    shown = boxes(step(page, number["sleeve-known"]).one("p", "answers"))
    at = number["sleeve-known"]
    assert shown == [
        f"yes (go on with step {at + 2}; leave out step {at + 1})",
        f"no (go on with step {at + 1})",
    ]


def test_every_outcome_that_a_verb_takes_has_a_box(small: Node) -> None:
    wanted = {
        "odometer": {"not done"},
        "rest-voltage": {"inside", "outside", "not fitted", "could not test"},
        "route": {"done", "not done"},
        "splice": {"good", "bad", "could not test"},
        "joins-hold": {"passed", "failed", "not fitted", "could not test"},
        "second-look": {"passed", "failed", "not done"},
        "back": {"matching", "not matching"},
        "cure": {"over"},
    }
    for name, outcomes in wanted.items():
        answers = step(small, SMALL.number[name]).one("p", "answers")
        assert {box.removesuffix(", because") for box in boxes(answers)} == outcomes


def test_after_a_bad_answer_there_is_a_box_for_what_follows(small: Node) -> None:
    bad = step(small, SMALL.number["joins-hold"]).one("p", "bad")
    back = f"back to step {SMALL.number['join']}"
    assert boxes(bad) == ["done again", back, "fault of the vehicle", "fault of our work"]
    assert not step(small, SMALL.number["route"]).all("p", "bad")


def test_there_are_rows_at_the_end_for_what_is_written_down(small: Node) -> None:
    tables = {each.one("h2").text: each for each in small.all("section", "table")}
    assert list(tables) == ["Faults", "Borrowed circuits", "Notes", "Pauses and changes of hands"]
    for each in tables.values():
        assert len(each.all("tr", "empty")) >= 4
