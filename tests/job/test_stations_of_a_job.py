"""Stations in a job: noted in one spelling, warned of when off the grid, entered again in order."""

from bay import ON_THE_GRID, Bay

from baycompanion.job.actions import Answer
from baycompanion.job.events.kinds import Answered
from baycompanion.job.state.words import answer_words
from baycompanion.procedure.load import load_procedure

PROCEDURE = load_procedure(ON_THE_GRID, "small-receiver.yaml").procedure
BEFORE = Answer(answer="stations", entries=("88.1", "fm 94,7", "AM 810 The mill"))


def noted(entries: tuple[str, ...], region: str = "us") -> Answered:
    """Return the answer that a job of a shop in `region` keeps."""
    figures = {"region": region} if region else {}
    bay = Bay(PROCEDURE, figures=figures).walk(to="stations")
    bay.do(Answer(answer="stations", entries=entries))
    return bay.state.track("stations").attempts[-1].answer


def test_each_station_is_kept_in_one_spelling() -> None:
    answer = noted(BEFORE.entries or ())
    assert answer.entries == ["FM 88.1", "FM 94.7", "AM 810 The mill"]
    assert (answer.outcome, answer.weight, answer.details) == ("recorded", "good", None)


def test_one_off_the_grid_is_kept_with_a_warning_and_refuses_nothing() -> None:
    answer = noted(("FM 94.6", "FM 88.1"))
    assert (answer.outcome, answer.weight) == ("recorded", "good")
    assert answer.details is not None
    assert "nearest is 94.5 MHz" in answer.details["warning"]
    assert "Warning: " in answer_words(PROCEDURE, PROCEDURE.steps["stations"], answer)


def test_without_a_region_nothing_is_said_of_the_grid() -> None:
    assert noted(("FM 94.6",), region="").details is None


def entered_again(*entries: str) -> Answered:
    bay = Bay(PROCEDURE, figures={"region": "us"}).walk(to="stations-back", stations=[BEFORE])
    bay.do(Answer(answer="stations-back", entries=entries))
    return bay.state.track("stations-back").attempts[-1].answer


def test_the_same_stations_in_the_same_order_agree_however_they_are_typed() -> None:
    assert entered_again("FM 88.1", "94.7 MHz", "810").outcome == "matching"


def test_the_first_station_that_is_in_another_place_is_named() -> None:
    answer = entered_again("FM 94.7", "FM 88.1", "AM 810")
    assert (answer.outcome, answer.weight) == ("different", "bad")
    assert answer.details == {"line": "1", "before": "FM 88.1", "now": "FM 94.7"}


def test_one_that_is_missing_is_named() -> None:
    assert entered_again("FM 88.1", "FM 94.7").details == {
        "line": "3",
        "before": "AM 810 The mill",
        "now": "nothing",
    }
