"""What a choice settled anew does to fasteners: what is off stays, what comes off is asked."""

import pytest
from bay import SMALL_TEXT, T1, Bay, count

from baycompanion.job.actions import (
    Answer,
    Reopen,
    Settle,
    TickLine,
)
from baycompanion.job.events.event import seal
from baycompanion.job.events.kinds import Answered
from baycompanion.job.state.gates import gates_holding
from baycompanion.job.state.order import items_that_apply
from baycompanion.job.state.tray import in_the_tray
from baycompanion.procedure.load import load_procedure

SCREW = "{item: screw, name: Screw}"
OF_AMPLIFIER = "{item: screw, name: Screws, group: Amplifier, when: {amplifier: yes}}"
PROCEDURE = load_procedure(SMALL_TEXT.replace(SCREW, OF_AMPLIFIER), "p.yaml").procedure
ONLY_SCREWS = load_procedure(
    SMALL_TEXT.replace(SCREW, OF_AMPLIFIER).replace(
        "          - {item: clip, name: Clip}\n", "", 1
    ),
    "p.yaml",
).procedure

LOST = Settle(settle="back", cause="work", words="It fell behind the dash.")


def choose_anew(bay: Bay, value: str) -> None:
    bay.do(Reopen(reopen="ask-amplifier", reason="looked again"))
    bay.do(Answer(answer="ask-amplifier", value=value))


def lines(bay: Bay, step: str) -> list[str]:
    procedure = bay.procedure
    return [each.item for each in items_that_apply(procedure, bay.state, procedure.steps[step])]


def test_what_came_off_goes_back_although_a_choice_settled_since_leaves_its_line_out() -> None:
    bay = Bay(PROCEDURE).walk("back")
    choose_anew(bay, "no")
    assert bay.state.current == "back"
    assert in_the_tray(PROCEDURE, bay.state) == {"Amplifier": 6, "Clip": 4}
    assert sorted(lines(bay, "back")) == ["clip", "screw"]
    bay.do(TickLine(tick="back", item="clip", count=4))
    assert "1 line has no answer yet" in bay.refused(Answer(answer="back")).why
    bay.do(TickLine(tick="back", item="screw", count=5), Answer(answer="back"))
    last = bay.state.track("back").last
    assert last is not None
    assert last.details == {"screw": "Amplifier: screws: 6 off, 5 back, 1 left over"}
    assert [line.left for line in bay.record().tray if line.item == "screw"] == [1]


def test_a_line_that_a_choice_leaves_out_and_of_which_nothing_came_off_is_not_asked() -> None:
    bay = Bay(PROCEDURE).walk("back", out=count("out", screw=0, clip=4))
    choose_anew(bay, "no")
    assert lines(bay, "back") == ["clip"]


def test_a_count_that_had_no_line_is_made_once_a_choice_brings_one() -> None:
    no = [Answer(answer="ask-amplifier", value="no")]
    nothing = [Answer(answer="out")]
    bay = Bay(ONLY_SCREWS).walk("gauges", ask_amplifier=no, out=nothing)
    choose_anew(bay, "yes")
    assert bay.state.current == "out"
    assert lines(bay, "out") == ["screw"]


def counted_with_amplifier(*steps: str) -> Bay:
    """Return a job with 6 screws and 4 clips off, whose `steps` are for an amplifier only."""
    text = SMALL_TEXT
    for step in steps:
        assert f"        id: {step}\n" in text
        text = text.replace(
            f"        id: {step}\n", f"        id: {step}\n        when: {{amplifier: yes}}\n"
        )
    return Bay(load_procedure(text, "p.yaml").procedure).walk("gauges")


@pytest.mark.parametrize("steps", [("out", "back"), ("back",)])
def test_a_choice_that_leaves_fasteners_with_nothing_to_count_them_back_is_refused(
    steps: tuple[str, ...],
) -> None:
    """Refused, not put down as a fault: what lies there is no fault, and is still to go back.

    Both counts off, no gate would hold: a condition on a step that does not apply drops out.
    """
    bay = counted_with_amplifier(*steps)
    bay.do(Reopen(reopen="ask-amplifier", reason="looked again"))
    assert bay.refused(Answer(answer="ask-amplifier", value="no")).why == (
        "The tray holds Screw 6, Clip 4, and with this answer nothing counts them back: "
        "choose as before, count them back, then choose anew."
    )
    bay.do(Answer(answer="ask-amplifier", value="yes"))
    bay.walk("after")
    choose_anew(bay, "no")
    assert in_the_tray(bay.procedure, bay.state) == {}
    assert bay.step("back") == "not applicable"


def test_a_count_taken_back_before_the_choice_is_no_way_round() -> None:
    """What came off lies there until it is counted anew, be it that nothing came off."""
    bay = counted_with_amplifier("out", "back")
    bay.do(Reopen(reopen="out", reason="miscounted"))
    assert in_the_tray(bay.procedure, bay.state) == {"Screw": 6, "Clip": 4}
    assert bay.record().tray == []
    bay.do(TickLine(tick="out", item="screw", count=5))
    bay.do(Reopen(reopen="ask-amplifier", reason="looked again"))
    no = Answer(answer="ask-amplifier", value="no")
    assert "The tray holds Screw 5, Clip 4, and" in bay.refused(no).why
    bay.do(Answer(answer="ask-amplifier", value="yes"))
    assert bay.state.current == "out"
    bay.do(*count("out", screw=0, clip=0))
    choose_anew(bay, "no")
    assert in_the_tray(bay.procedure, bay.state) == {}


def test_a_line_counted_before_stays_in_a_count_taken_back() -> None:
    bay = Bay(PROCEDURE).walk("gauges")
    bay.do(Reopen(reopen="out", reason="miscounted"))
    choose_anew(bay, "no")
    assert lines(bay, "out") == ["screw", "clip"]
    bay.do(TickLine(tick="out", item="clip", count=4))
    assert "1 line has no answer yet" in bay.refused(Answer(answer="out")).why


def test_a_choice_that_leaves_the_count_back_in_the_job_is_free() -> None:
    bay = counted_with_amplifier("out")
    choose_anew(bay, "no")
    bay.held(back=[*count("back", screw=5, clip=4), LOST])
    assert "same-as-before" in gates_holding(bay.procedure, bay.state)


def test_one_screw_left_over_is_enough_to_refuse_the_choice() -> None:
    bay = counted_with_amplifier("out", "back")
    bay.walk("after", back=[*count("back", screw=5, clip=4), LOST])
    bay.do(Reopen(reopen="ask-amplifier", reason="looked again"))
    assert "holds Screw 1, and" in bay.refused(Answer(answer="ask-amplifier", value="no")).why


def test_fasteners_that_an_older_journal_left_uncounted_are_still_told_of() -> None:
    """Before such a choice was refused, it could be made; the journal must still be read."""
    bay = counted_with_amplifier("out", "back")
    bay.do(Reopen(reopen="ask-amplifier", reason="looked again"))
    no = Answered(
        step="ask-amplifier", outcome="chosen", weight="good", words="no", settles="amplifier"
    )
    bay.events.append(seal(no, T1.id, bay.now, bay.state.seq + 1, bay.state.head))
    bay = Bay(bay.procedure, bay.now, bay.events)
    assert in_the_tray(bay.procedure, bay.state) == {"Screw": 6, "Clip": 4}
    assert [(line.out, line.back) for line in bay.record().tray] == [(6, None), (4, None)]
