"""What is asked before a practice: which procedure, by whom, how many faults, all or one part."""

from collections.abc import Mapping

from baycompanion.learning.practice.summary import PracticeSummary
from baycompanion.procedure.model import Procedure
from baycompanion.views.card.card import Field, Form, Piece

WHOLE = "the whole job"
ONE_PHASE = "one phase alone"

MOST_FAULTS = 5
"""Planted faults that a form offers; a command takes more."""

FAULTS = "2"
"""Planted faults where nothing else is said. Own choice."""

GO_ON = "go on with it"
GIVE_UP = "give it up, and begin a new one"


def start_form(
    procedures: tuple[str, ...], staff: tuple[str, ...], asked: Mapping[str, str]
) -> Form[Mapping[str, str]]:
    """Ask what is practised; what was `asked` before stands in the fields."""
    counts = tuple(str(count) for count in range(MOST_FAULTS + 1))
    fields = (
        Field("procedure", "Procedure", procedures, value=asked.get("procedure", "")),
        Field("by", "Who practises", staff, value=asked.get("by", "")),
        Field("faults", "Planted faults", counts, value=asked.get("faults", FAULTS)),
        Field("what", "What", (WHOLE, ONE_PHASE)),
        Field(
            "seed",
            "Seed",
            hint="the same number gives the same vehicle; may stay empty",
            value=asked.get("seed", ""),
            may_be_empty=True,
        ),
    )
    lead = (Piece("label", "On a made-up vehicle. It counts for nothing, and makes no record."),)
    return Form("Practise", fields, dict, lead, accept="Practise")


def phase_form(procedure: Procedure) -> Form[str]:
    """Ask which phase is practised alone; it makes the name of the phase."""
    titles = {phase.title: phase.phase for phase in procedure.phases}

    def make(given: Mapping[str, str]) -> str:
        return titles[given["phase"]]

    lead = (Piece("label", "What lies before it is done by the program, as it should be."),)
    return Form("One phase alone", (Field("phase", "Phase", tuple(titles)),), make, lead)


def unfinished_form(unfinished: PracticeSummary, phase_title: str) -> Form[str]:
    """Ask what becomes of a practice that was left; it makes `go on` or `give up`."""

    def make(given: Mapping[str, str]) -> str:
        return "go on" if given["left"] == GO_ON else "give up"

    part = f", “{phase_title}” alone" if phase_title else ""
    begun = unfinished.begun_at[:16].replace("T", " ")
    lead = (Piece("label", f"{unfinished.title}{part}, begun {begun} UTC, has not ended."),)
    fields = (Field("left", "What becomes of it", (GO_ON, GIVE_UP)),)
    return Form("There is a practice under way", fields, make, lead, accept="Go on")
