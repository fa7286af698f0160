"""A second person on paper: never the one who did it, and what they find afresh."""

from baycompanion.job.events.kinds import Answered
from baycompanion.job.state.second_looks import found_afresh
from baycompanion.procedure.steps import Measure, Record, Witness
from baycompanion.sheets.boxes import boxes
from baycompanion.sheets.form import Ask, Blank, Source


def ask_witness(source: Source, step: Witness, last: Answered | None) -> Ask:
    """Return what a second person is asked, and who it cannot be."""
    others = ", ".join(_who_did(source, name) for name in step.of)
    alone = ("provisional",) if step.provisional else ()
    afresh = found_afresh(source.procedure, step)
    agreeing = ("not agreeing",) if afresh else ()
    return Ask(
        says=(f"{_who(step)} It is not the one who did {others}.", *_how(source, step)),
        blanks=tuple(_blank(source, each, last) for each in afresh),
        boxes=boxes(last, "passed", "failed", *agreeing, *alone, "not done"),
        can_be_bad=True,
        stamp_label="mentor" if step.by_mentor else "second person",
    )


def _who(step: Witness) -> str:
    """Return who looks."""
    if step.by_mentor:
        return "Only where a trainee does the job: the mentor looks."
    return "A second person looks."


def _how(source: Source, step: Witness) -> tuple[str, ...]:
    """Return in which manner a second person looks, and what stands in where there is none."""
    says = []
    if step.manner == "concurrent":
        says.append("Both find the item and agree. Then one acts, and the other watches.")
    elif found_afresh(source.procedure, step):
        says.append("They find this afresh, without seeing what was found before.")
    if step.provisional:
        number = source.procedure.number[step.provisional]
        says.append(f"Where there is nobody else and step {number} is good: provisional.")
    return tuple(says)


def _blank(source: Source, step: Measure | Record, last: Answered | None) -> Blank:
    number = source.procedure.number[step.id]
    readings = (last.readings or {}) if last is not None else {}
    return Blank(f"Afresh, step {number}", readings.get(step.id, ""), step.unit or "")


def _who_did(source: Source, name: str) -> str:
    track = source.state.track(name)
    people = dict.fromkeys(attempt.by for attempt in track.attempts)
    people |= dict.fromkeys(tick.by for tick in track.ticks.values())
    by = f" ({', '.join(people)})" if people else ""
    return f"step {source.procedure.number[name]}{by}"
