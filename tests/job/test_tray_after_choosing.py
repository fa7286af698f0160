"""What a choice settled anew does to fasteners: what is off stays, what comes off is asked."""

from bay import SMALL_TEXT, Bay, count

from baycompanion.job.actions import Answer, Reopen, TickLine
from baycompanion.job.order import items_that_apply
from baycompanion.job.tray import in_the_tray
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


def test_fasteners_of_a_count_that_a_choice_leaves_out_since_are_still_told_of() -> None:
    text = SMALL_TEXT
    for step in ("out", "back"):
        assert f"        id: {step}\n" in text
        text = text.replace(
            f"        id: {step}\n", f"        id: {step}\n        when: {{amplifier: yes}}\n"
        )
    bay = Bay(load_procedure(text, "p.yaml").procedure).walk("gauges")
    choose_anew(bay, "no")
    assert in_the_tray(bay.procedure, bay.state) == {"Screw": 6, "Clip": 4}
    assert [(line.out, line.back) for line in bay.record().tray] == [(6, None), (4, None)]
