"""What steps and answers are called on a screen: names a person knows, never ids."""

from bay import BAD, SMALL, Bay

from baycompanion.views.card.wording import answered


def test_a_count_that_does_not_match_names_what_is_missing() -> None:
    bay = Bay().walk("back")
    bay.do(*BAD["back"])
    said = answered(SMALL, bay.state, SMALL.steps["back"])
    assert said == "not matching · Screw: 6 off, 5 back, 1 left over"


def test_a_sheet_that_came_out_worse_names_the_line() -> None:
    bay = Bay().walk("after")
    bay.do(*BAD["after"])
    said = answered(SMALL, bay.state, SMALL.steps["after"])
    assert said == "worse · Horn: worse"
