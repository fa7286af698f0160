"""What stands on the hand-over sheet: the important first, plain words, and nothing secret."""

import re

import pytest
from any_actions import SECONDS, next_actions
from bay import GOOD, PHOTO, S1, SMALL_TEXT, Bay, count, meter, tick
from hand_over_bench import (
    closed,
    facts,
    good_job,
    html,
    rows,
    section,
    sheet,
    titles,
    worst_job,
)
from hypothesis import given, settings
from hypothesis import strategies as st
from paper import Node
from second_person import at_the_witness, closed_for_now, seen

from baycompanion.job.actions import (
    Abandon,
    Action,
    AddPhoto,
    Answer,
    Borrow,
    ClearFault,
    GiveBack,
    Note,
    PlanSplices,
    RaiseFault,
    Reopen,
    Settle,
    TickRest,
)
from baycompanion.job.deciding.answers import KEPT_PRIVATE
from baycompanion.job.events.chain import fingerprint
from baycompanion.procedure.load import load_procedure
from baycompanion.sheets.handover.photos import MOST_SHOWN
from baycompanion.sheets.handover.pictures import Small

ALARMS = {"Skipped with permission", "Still open"}


def standing(page: Node) -> str:
    return page.one("p", "standing").text


def test_the_head_says_whose_it_is_and_when() -> None:
    """The journal says 08:00 UTC; the sheet is printed an hour east of it."""
    head = sheet(good_job()).one("header")
    assert head.one("h1").text == "Blue van"
    found = facts(head)
    assert found["Work order"] == "WO 7"
    assert found["Plate"] == "TEST 1"
    assert found["Keys in"] == "2026-03-02 09:00"
    assert found["Keys back"].startswith("2026-03-02 1")
    assert "VIN" not in found, "none was written down"


def test_what_was_done_is_no_fitting_where_nothing_was_fitted() -> None:
    text = SMALL_TEXT.replace("title: Fit a small receiver", "title: Find out why it came back")
    bay = closed(Bay(load_procedure(text, "p.yaml").procedure).walk())
    assert section(sheet(bay), "What was done").text.split(". ")[0].endswith("it came back")
    assert not any("fitted" in title for title in titles(sheet(bay)))


def test_a_clean_job_says_so_and_lists_nothing_that_is_unchanged() -> None:
    page = sheet(good_job())
    assert standing(page).startswith("✓ CLOSED CLEAN")
    assert not ALARMS & set(titles(page))
    condition = section(page, "Before and after")
    assert not condition.all("table")
    assert "Nothing was faulty or marked before, and nothing is different after." in condition.text
    assert section(page, "Fasteners").text.endswith(
        "10 fasteners came off, 10 went back: the same of every kind."
    )


def test_a_job_that_is_given_up_names_the_fasteners_that_nobody_counted_back() -> None:
    bay = Bay().walk("sound")
    bay.do(Abandon(abandon="the owner wants it back"))
    tray = section(sheet(bay), "Fasteners")
    assert "10 fasteners came off, 0 went back." in tray.text
    counts = [(out, back) for _, out, back in rows(tray)]
    assert counts == [("6", "not counted"), ("4", "not counted")]


def test_one_too_many_of_a_kind_makes_up_for_no_other_that_is_left_over() -> None:
    bay = Bay().walk("back")
    bay.do(*count("back", screw=5, clip=5), Settle(settle="back", cause="work", words="mixed up"))
    tray = section(sheet(bay), "Fasteners")
    assert "10 fasteners came off, 9 went back, and 1 too many." in tray.text
    assert [row[1:] for row in rows(tray)] == [["6", "5"], ["4", "5"]]


def test_a_list_that_is_incomplete_says_which_line_and_why() -> None:
    bay = Bay().walk("tools")
    bay.do(*GOOD["tools"][:1], tick("tools", "trim-tool", "damaged", words="its edge is bent"))
    bay.do(Answer(answer="tools"))
    assert facts(section(sheet(bay), "Still open"))["Lay the tools out."] == (
        "incomplete: Trim tool (damaged, its edge is bent)"
    )


def test_a_step_put_down_as_a_fault_stands_once_and_says_when_it_was_put_right() -> None:
    bay = Bay().walk("joins-hold")
    bay.do(Answer(answer="joins-hold", outcome="failed", words="one moves"))
    bay.do(Settle(settle="joins-hold", cause="work", words="a cap slid"))
    open_now = facts(section(sheet(bay), "Still open"))
    assert [name for name in open_now if "Each join holds" in name] == [
        "Each join holds: a cap slid"
    ]
    bay.do(ClearFault(clear=1, words="a new cap"))
    told = facts(section(sheet(bay), "Still open"))["Each join holds."]
    assert told == "failed: one moves. Put right since."


def test_one_worse_one_marked_one_screw_left_and_one_station_misplaced_all_show() -> None:
    bay = worst_job()
    page = sheet(bay)
    assert standing(page).startswith("! CLOSED, NOT CLEAN")
    assert titles(page)[:2] == ["Skipped with permission", "Still open"]
    compared = {row[0]: row[1:] for row in rows(section(page, "Before and after"))}
    assert compared["Horn"] == ["works", "faulty: silent", "WORSE"]
    assert compared["Dash panel"] == ["unmarked", "marked: scratch of 12 mm", "WORSE"]
    assert len(compared) == 2
    [[_, out, back]] = rows(section(page, "Fasteners"))
    assert (out, back) == ("6", "5")
    again = facts(section(page, "Stations and settings"))
    assert "DIFFERENT: 94.7; 88.1; 101.1" in again.values()
    still_open = list(facts(section(page, "Still open")))
    for words in ("two stations exchanged", "one screw left over"):
        assert any(words in line for line in still_open)
    assert any(words.startswith("Horn: ") for words in still_open)
    assert any(words.startswith("Dash panel: ") for words in still_open)


def test_every_override_is_told_in_plain_words() -> None:
    bay = worst_job()
    told = rows(section(sheet(bay), "Skipped with permission"))
    assert len(told) == len(bay.state.overrides) == 2
    first, second = told
    assert first[0].startswith(
        "Set the stations again in order. Different. Or: Fault 1 is open: two stations exchanged."
    )
    assert "It matters: An opened dash marks the panels." in first[0]
    assert first[1] == "S1, supervisor, " + first[1].split(", ")[-1]
    assert first[2:] == ["r: the owner sets them", "the list lies in the glove box"]
    assert "Worse: Horn." in second[0], "the line that held the gate"
    assert second[2:] == [
        "part on order: the owner agreed to wait",
        "all of it stands on this sheet",
    ]
    for name in bay.procedure.all_gates:
        assert name not in "".join(first + second), "an id tells an owner nothing"


def test_a_job_under_way_is_marked_on_the_sheet() -> None:
    page = sheet(Bay().walk("join"))
    assert "PROVISIONAL, job still under way" in standing(page)
    assert standing(page).startswith("! ")
    condition = section(page, "Before and after").text
    assert "They are not looked at again yet." in condition
    assert "nothing is different" not in condition
    assert "Keys back" not in facts(page.one("header"))


def test_lines_answered_together_are_counted_apart_from_those_tried_one_by_one() -> None:
    first = [tick("before", "horn", "works"), *_rest("before")]
    bay = closed(Bay().walk(before=first))
    sheet_before = bay.record().steps[bay.procedure.number["before"] - 1].lines
    lines = len(sheet_before)
    told = section(sheet(bay), "Before and after").text
    assert f"{lines} functions before the work ({lines - 1} answered together): " in told
    assert f"After it ({lines} answered together): unchanged {lines}." in told
    each = [tick("before", line.item, "works") for line in sheet_before]
    by_hand = Bay().walk("rest-voltage", before=[*each, Answer(answer="before")])
    assert f"{lines} functions before the work: " in sheet(by_hand).text


def test_a_job_given_up_says_why_and_how_much_is_not_done() -> None:
    bay = Bay().walk("join")
    bay.do(Abandon(abandon="the owner took the van"))
    page = sheet(bay)
    assert "GIVEN UP" in standing(page)
    assert "the owner took the van" in standing(page)
    told = facts(section(page, "Still open"))
    left = sum(step.state in ("held", "in progress", "not reached") for step in bay.record().steps)
    assert told["The job was given up"] == f"{left} steps not done"


def test_what_was_faulty_before_is_listed_though_it_is_unchanged() -> None:
    horn = [tick("before", "horn", "faulty", words="hoarse"), *_rest("before")]
    after = [tick("after", "horn", "faulty", words="Hoarse"), *_rest("after")]
    bay = closed(Bay().walk(before=horn, after=after))
    assert rows(section(sheet(bay), "Before and after")) == [
        ["Horn", "faulty: hoarse", "faulty: Hoarse", "unchanged"]
    ]


@pytest.mark.parametrize(
    ("sheets", "item", "outcome"),
    [
        (("before", "after"), "horn", "faulty"),
        (("panels", "panels-after"), "dash-panel", "marked"),
    ],
)
def test_what_was_ill_both_times_in_other_words_is_to_be_looked_at(
    sheets: tuple[str, str], item: str, outcome: str
) -> None:
    """No program can tell whether a scratch of 3 cm and one of 30 cm are the same one."""
    said = dict(zip(sheets, ("3 cm at the edge", "30 cm across"), strict=True))
    answers = {step: [tick(step, item, outcome, words=said[step]), *_rest(step)] for step in sheets}
    told = section(sheet(closed(Bay().walk(None, **answers))), "Before and after")
    [row] = rows(told)
    assert row[1:] == [
        f"{outcome}: 3 cm at the edge",
        f"{outcome}: 30 cm across",
        "said differently: look at both",
    ]
    assert "said differently 1" in told.text


def test_what_could_be_tested_neither_time_is_told_as_not_compared_and_counted() -> None:
    horn = [tick("before", "horn", "could not test", words="no key"), *_rest("before")]
    after = [tick("after", "horn", "could not test", words="no key"), *_rest("after")]
    bay = closed(Bay().walk(before=horn, after=after))
    told = section(sheet(bay), "Before and after")
    words = "could not test: no key"
    assert rows(told) == [["Horn", words, words, "not compared"]]
    assert "not compared 1, unchanged 3." in told.text
    assert "nothing is different" not in told.text


def test_a_list_in_the_middle_of_being_walked_again_is_not_compared_yet() -> None:
    bay = Bay().walk("after")
    bay.do(tick("after", "horn", "faulty", words="silent"))
    assert rows(section(sheet(bay), "Before and after")) == [
        ["Horn", "works", "faulty: silent", "not compared yet"]
    ]


def _rest(step: str) -> list[Action]:
    return [TickRest(tick_rest=step), Answer(answer=step)]


def test_a_reading_stands_with_its_limits_and_instrument_and_the_first_beside_it() -> None:
    bay = Bay().walk("rest-voltage")
    bay.do(Answer(answer="rest-voltage", value="11.9"))
    bay.do(Answer(answer="rest-voltage", value="12.60"))
    measured = {row[0]: row[1:] for row in rows(section(sheet(bay), "Measured and worked out"))}
    reading, limits, by = measured[
        "Measure the battery at rest".removeprefix("Measure ").capitalize()
    ]
    assert reading == "12.60 V (first 11.9 V)"
    assert limits == "12.4 to 12.90 V"
    assert by.startswith("M3, T1, ")


@pytest.mark.parametrize(("days", "told"), [(0, ""), (1, " (calibration due 2026-03-02, overdue)")])
def test_a_calibration_that_lapsed_before_the_reading_is_told_beside_it(
    days: int, told: str
) -> None:
    laid_out = [meter(due="2026-03-02"), tick("tools", "trim-tool", "here"), Answer(answer="tools")]
    bay = Bay().walk("rest-voltage", tools=laid_out)
    bay.do(Answer(answer="rest-voltage", value="12.60"), after=60 + days * 24 * 3600)
    [row] = [row for row in rows(section(sheet(bay), "Measured and worked out")) if "V" in row[1]]
    assert row[3].startswith(f"M3{told}, T1, ")


def test_a_reading_left_outside_its_limits_says_so_in_letters() -> None:
    bay = Bay().walk("rest-voltage")
    bay.do(
        Answer(answer="rest-voltage", value="11.9"),
        Settle(settle="rest-voltage", cause="vehicle", words="flat battery"),
    )
    page = sheet(bay)
    [row] = [row for row in rows(section(page, "Measured and worked out")) if "11.9 V" in row[1]]
    assert row[2].startswith("OUTSIDE: ")
    stands = facts(section(page, "Still open"))
    assert (
        stands["The battery at rest: flat battery"]
        == "fault of the vehicle, found before, not put right"
    )


def test_readings_without_a_limit_stand_together_in_one_line() -> None:
    limits = "        at-least: 12.4\n        at-most: 12.90\n"
    assert limits in SMALL_TEXT
    bay = Bay(load_procedure(SMALL_TEXT.replace(limits, ""), "small").procedure)
    bay.walk("rest-voltage").do(Answer(answer="rest-voltage", value="11.9"))
    part = section(sheet(bay), "Measured and worked out")
    assert "Without a limit: The battery at rest 11.9 V (M3, T1, " in part.text
    assert not part.all("table")


def test_a_private_entry_is_only_noted_and_what_hangs_on_it_stays_in_the_shop() -> None:
    bay = Bay().walk("code")
    secret = AddPhoto(photo="0f.jpg", sha256="0f" * 32, size=9, original="code-4711.jpg")
    bay.do(Note(note="the code is 4711"), secret, Answer(answer="code", value="4711"))
    text = html(bay, pictures={"0f.jpg": Small(b"4711")})
    assert "4711" not in text
    assert Small(b"4711").uri not in text
    page = sheet(bay)
    assert KEPT_PRIVATE in facts(section(page, "Stations and settings")).values()
    assert "1 photo of something private: kept in the shop." in section(page, "Photos").text


def test_a_reason_given_at_a_private_step_stays_in_the_shop() -> None:
    bay = Bay().walk("code")
    bay.do(Answer(answer="code", outcome="not done", words="the card says 4711"))
    assert "4711" not in html(bay)
    stands = facts(section(sheet(bay), "Still open"))
    assert stands["Write the anti-theft code down."] == "not done"


def test_what_a_second_person_finds_afresh_is_not_shown_meanwhile() -> None:
    """R49: blind, until their own is entered."""
    bay = at_the_witness()
    assert "48 mA" not in sheet(bay).text
    bay.do(seen(), who=S1)
    assert "48 mA" in sheet(bay).text


def test_what_was_released_for_now_is_shown_until_somebody_looked() -> None:
    """R51: the sheet says so."""
    bay = closed_for_now()
    told = facts(section(sheet(bay), "Still open")).values()
    [released] = [words for words in told if "Released" in words]
    assert "a second person is still to look" in released
    assert "nobody else in today" in released


def test_borrowed_circuits_stand_with_their_load_against_their_fuse() -> None:
    bay = Bay().walk("join")
    bay.do(
        Borrow(borrow="12 V outlet", place="socket 14", method="tap", fuse_a="5", load_a="4"),
        Borrow(borrow="12 V outlet", place="its lead", method="splice", load_a="2"),
        Borrow(borrow="horn", place="socket 3", method="tap", load_a="0"),
        GiveBack(give_back=3, words="tap out"),
    )
    part = section(sheet(bay), "Circuits of the vehicle that the new equipment uses")
    assert "12 V outlet: 6 A added in all, OVER its fuse of 5 A." in part.text
    circuits = rows(part)
    assert circuits[0] == ["12 V outlet", "tap", "socket 14", "5 A", "4 A"]
    assert circuits[1] == ["12 V outlet", "splice", "its lead", "–", "2 A"]
    assert circuits[2][0].startswith("horn – given back: tap out (T1, ")
    stands = facts(section(sheet(bay), "Still open"))
    assert stands["Circuit 12 V outlet"] == "the work adds 6 A, over its fuse of 5 A"


def test_the_splice_plan_stands_in_short() -> None:
    bay = Bay().walk("join")
    bay.do(
        PlanSplices.model_validate(
            {
                "splice-plan": [{"item": "ground", "name": "ground: 8 black with black"}],
                "left-over": [{"item": "blue", "name": "receiver 12, blue"}],
                "files": [{"file": "receiver.yaml", "sha256": "cd" * 32}],
            }
        )
    )
    assert facts(section(sheet(bay), "Joins in the harness")) == {
        "1 join, each by the splice plan": "ground",
        "Left over, insulated": "receiver 12, blue",
    }


def test_a_fault_put_right_is_told_as_put_right() -> None:
    bay = Bay().walk("join")
    bay.do(RaiseFault(fault="lead cut", cause="work"), ClearFault(clear=1, words="joined anew"))
    page = sheet(bay)
    assert facts(section(page, "Found and put right")) == {
        "lead cut": "put right by T1: joined anew"
    }
    assert "Still open" not in titles(page)


def test_an_answer_that_was_reopened_counts_no_more() -> None:
    bay = Bay().walk("rest-voltage").walk("disconnect")
    bay.do(Reopen(reopen="rest-voltage", reason="wrong posts"))
    assert "Measured and worked out" not in titles(sheet(bay))


def test_every_sign_off_has_a_person_a_time_and_a_meaning() -> None:
    """R42, and 21 CFR 11.50(a) as the requirements give it: name, time, meaning."""
    signed = facts(section(sheet(worst_job()), "Who signed for what"))
    assert signed["T1"].startswith("did ")
    assert "; checked " in signed["T1"]
    assert "allowed 2 overrides, " in signed["S1"]


def test_a_step_that_is_done_again_is_signed_for_as_one_step() -> None:
    bay = Bay().walk("gauges")
    before = facts(section(sheet(bay), "Who signed for what"))["T1"].split(",")[0]
    assert before.startswith("did ")
    bay.do(Reopen(reopen="odometer", reason="misread"))
    bay.walk("gauges")
    after = facts(section(sheet(bay), "Who signed for what"))["T1"].split(",")[0]
    assert after == before


def test_the_owner_is_told_what_fits_the_vehicle() -> None:
    text = SMALL_TEXT + (
        "for-the-owner:\n"
        "  - tell: Bring this sheet.\n"
        "  - tell: The amplifier stays.\n    when: { amplifier: yes }\n"
        "  - tell: There is no amplifier.\n    unless: { amplifier: yes }\n"
    )
    bay = closed(Bay(load_procedure(text, "small.yaml").procedure).walk())
    lines = [each.text for each in section(sheet(bay), "For you, the owner").all("li")]
    assert lines == ["Bring this sheet.", "The amplifier stays."]


def test_the_warranty_of_the_shop_stands_on_it_and_no_section_is_empty() -> None:
    bay = good_job()
    lines = ("Twelve months.", "Bring this sheet.")
    page = sheet(bay, warranty=lines)
    assert [each.text for each in section(page, "Warranty").all("li")] == list(lines)
    assert "Warranty" not in titles(sheet(bay, warranty=()))


def test_the_foot_has_room_for_two_signatures_and_the_fingerprint() -> None:
    bay = good_job()
    foot = sheet(bay).one("footer")
    assert len(foot.one("div", "signatures").all("p")) == 2
    assert foot.one("p", "fingerprint").one("b").text == fingerprint(bay.state.head)
    assert "it cannot show who typed it" in foot.text
    assert bay.state.opened.procedure_hash[:12] in foot.text


def test_a_photo_is_shown_with_its_step_or_named_with_why_not() -> None:
    bay = good_job()
    shown = section(sheet(bay, pictures={PHOTO.photo: Small(b"jpeg")}), "Photos")
    image = shown.one("img")
    assert image.attributes["src"] == Small(b"jpeg").uri
    assert image.attributes["alt"] == shown.one("figcaption").text != ""
    for why in ("the file is missing", "its format cannot be read here"):
        named = section(sheet(bay, pictures={PHOTO.photo: why}), "Photos")
        assert not named.all("img")
        assert f"lead.jpg (abababababab): not shown, because {why}." in named.text


def test_of_many_photos_the_first_are_shown_and_the_rest_counted() -> None:
    bay = Bay().walk("join")
    names = [f"{number}.jpg" for number in range(MOST_SHOWN + 3)]
    for number, name in enumerate(names):
        bay.do(AddPhoto(photo=name, sha256=f"{number:064x}", size=9, original=name))
    part = section(sheet(bay, pictures=dict.fromkeys(names, Small(b"jpeg"))), "Photos")
    assert len(part.all("img")) == MOST_SHOWN
    assert "3 more lie with the record." in part.text


def test_a_late_entry_carries_both_its_times() -> None:
    bay = Bay().walk("rest-voltage")
    late = Answer(answer="rest-voltage", value="12.6", claimed=bay.now, on_paper=True)
    bay.do(late, after=600)
    [row] = [
        row
        for row in rows(section(sheet(bay), "Measured and worked out"))
        if row[1].startswith("12.6")
    ]
    assert " on paper, keyed in " in row[3]


@pytest.mark.parametrize("bay", [good_job(), worst_job(), Bay().walk("join"), Bay()])
def test_headings_descend_in_order_and_tables_have_heads(bay: Bay) -> None:
    page = sheet(bay)
    levels = [each.tag for each in page.all() if each.tag in ("h1", "h2", "h3", "h4")]
    assert levels[0] == "h1"
    assert set(levels[1:]) <= {"h2"}
    assert page.one("html").attributes["lang"] == "en"
    for table in page.all("table"):
        heads = table.one("thead").all("th")
        assert heads
        assert all(head.attributes["scope"] == "col" and head.text for head in heads)
        for row in table.one("tbody").all("tr"):
            cells = [each for each in row.within if isinstance(each, Node)]
            assert cells[0].attributes.get("scope") == "row"
            assert len(cells) == len(heads)


@settings(max_examples=25)
@given(st.data())
def test_any_job_has_its_sheet(data: st.DataObject) -> None:
    bay = Bay()
    for _ in range(data.draw(st.integers(0, 25))):
        action, who = data.draw(next_actions(bay))
        bay.decide(action, who, data.draw(SECONDS))
    page = sheet(bay)
    assert page.one("p", "fingerprint").one("b").text == fingerprint(bay.state.head)
    assert (
        len(rows(section(page, "Skipped with permission"))) == len(bay.state.overrides)
        if (bay.state.overrides)
        else "Skipped with permission" not in titles(page)
    )


def test_every_colour_of_a_text_can_be_read_on_the_paper() -> None:
    """R79: at least 4.5:1 (WCAG 2.2, 1.4.3; the formula is that of its relative luminance)."""
    style = sheet(good_job()).one("style").raw
    colours = set(re.findall(r"[^-]color: #([0-9a-f]{3,6})\b", style))
    assert {"1a1a1a", "444"} <= colours
    for colour in colours - {"fff"}:  # white stands on the dark sign alone
        assert (1.0 + 0.05) / (luminance(colour) + 0.05) >= 4.5
    [sign] = re.findall(r"background: #([0-9a-f]{6}); color: #fff", style)
    assert (1.0 + 0.05) / (luminance(sign) + 0.05) >= 4.5


def luminance(colour: str) -> float:
    """Return the relative luminance of a colour of three or six hex digits."""
    wide = colour if len(colour) == 6 else "".join(sign * 2 for sign in colour)
    parts = [int(wide[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    linear = [
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    ]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
