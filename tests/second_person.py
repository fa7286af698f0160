"""A job for two people: one finds a draw, another finds it afresh, or nobody else is there."""

from pathlib import Path

from bay import Bay

from baycompanion.job.actions import (
    Accept,
    Action,
    Answer,
    Close,
    TickLine,
)
from baycompanion.procedure.check import check
from baycompanion.procedure.load import Loaded, load_procedure
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Witness
from baycompanion.trade.catalogue import SUMS

TEXT = Path(__file__).with_name("second-person.yaml").read_text(encoding="utf-8")


def load_second(text: str = TEXT) -> Loaded:
    """Return the procedure in `text`, freshly loaded; it has no errors."""
    loaded = load_procedure(text, "second-person.yaml")
    assert [problem for problem in check(loaded, SUMS) if problem.weight == "error"] == []
    return loaded


SECOND: Procedure = load_second().procedure
TOOLS: list[Action] = [
    TickLine.model_validate(
        {"tick": "tools", "item": "meter", "outcome": "here", "instrument": "M3"}
        | {"due": "2026-12-31"}
    ),
    Answer(answer="tools"),
]
FOUND: list[Action] = [
    Answer(answer="draw", value="48"),
    Answer(answer="capacity", value="60"),
    Answer(answer="days"),
    Answer(answer="starts", outcome="passed"),
]
ALONE = Answer(answer="seen", outcome="provisional", words="nobody else in today")


def at_the_witness(text: str = TEXT) -> Bay:
    """Return a job whose second person is to look now."""
    bay = Bay(load_second(text).procedure if text != TEXT else SECOND)
    bay.do(Accept(accept="hazards"), *TOOLS, *FOUND)
    assert bay.state.current == "seen"
    return bay


def seen(draw: str = "47.5", capacity: str = "60", outcome: str = "passed") -> Answer:
    """Return what a second person says, with what they found."""
    return Answer(answer="seen", outcome=outcome, readings={"draw": draw, "capacity": capacity})


def step_seen() -> Witness:
    """Return the step of the second person."""
    step = SECOND.steps["seen"]
    assert isinstance(step, Witness)
    return step


def released() -> Bay:
    """Return a job released without a second person, with its keys still here."""
    bay = at_the_witness()
    bay.do(ALONE, Answer(answer="noted"))
    assert bay.state.current == "keys"
    return bay


def closed_for_now() -> Bay:
    """Return a job that was closed before a second person had looked."""
    bay = released()
    bay.do(Answer(answer="keys"), Close(close="keys back"))
    return bay
