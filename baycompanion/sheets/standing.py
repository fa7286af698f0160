"""Where a job stands when its sheet is printed: what is in hand, open, loose or live."""

from collections.abc import Iterator

from baycompanion.job.state.gates import gates_holding
from baycompanion.job.state.order import next_step, standing_now
from baycompanion.job.state.tray import tray_words
from baycompanion.procedure.model import Procedure
from baycompanion.sheets.form import Source
from baycompanion.sheets.words import moment


def stands(source: Source) -> tuple[tuple[str, str], ...]:
    """Return where the job stands, each line with its label; nothing without a job."""
    if not source.state.opened.job:
        return ()
    return (*_status(source), *_resume_card(source), *_in_hand(source), *_open(source))


def conditions(procedure: Procedure) -> tuple[str, ...]:
    """Return what must stay true, and from which step to which."""
    return tuple(
        f"{each.says} From the end of step {procedure.number[each.begins]} "
        f"to step {procedure.number[each.ends]}."
        for each in procedure.standing
    )


def _status(source: Source) -> Iterator[tuple[str, str]]:
    state = source.state
    if state.ended_at is None:
        yield "Last entry", moment(source, state.last_at or state.opened_at)
        return
    clean = {True: ", clean", False: ", not clean", None: ""}[state.clean]
    words = f": {state.ended_words}" if state.ended_words else ""
    yield state.status.capitalize(), f"{moment(source, state.ended_at)}{clean}{words}"


def _resume_card(source: Source) -> Iterator[tuple[str, str]]:
    """Yield the resume card of a job that is paused."""
    if source.state.status != "paused":
        return
    last = source.state.pauses[-1]
    yield "Paused", f"{last.data.reason}, since {moment(source, last.since)}, by {last.by}"
    if last.handed_to:
        yield "Handed to", f"{last.handed_to}: {last.handed_words}"
    yield "Loose, open or live", last.data.loose
    yield "First on return", last.data.first


def _in_hand(source: Source) -> Iterator[tuple[str, str]]:
    procedure, state = source.procedure, source.state
    step = next_step(procedure, state)
    if step is None or state.ended_at is not None:
        return
    word = "In hand" if state.current == step.id else "Next"
    yield word, f"step {procedure.number[step.id]}: {step.text}"
    yield from (("Gate shut", name) for name in gates_holding(procedure, state))
    read = state.track(step.id).acknowledged
    for place, caution in enumerate(step.cautions):
        if caution.signal in ("danger", "warning") and place not in read:
            yield "Not read yet", f"{caution.signal.upper()} {caution.hazard}"


def _open(source: Source) -> Iterator[tuple[str, str]]:
    """Yield what must stay true now, the faults that are open, and time not accounted for."""
    yield from (
        ("Must stay true", each.says) for each in standing_now(source.procedure, source.state)
    )
    for fault in source.state.faults:
        if fault.open:
            yield f"Open fault {fault.number}", f"{fault.words} ({_caused(fault.cause)})"
    lies = tray_words(source.procedure, source.state)
    if lies:
        yield "In the tray", lies
    gap = source.state.gap
    if gap is not None:
        yield "Not accounted for", f"the time since {moment(source, gap.since)}"


def _caused(cause: str) -> str:
    return "fault of our work" if cause == "work" else "fault of the vehicle"
