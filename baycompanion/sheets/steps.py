"""One step on paper: its cautions, what it carries, what it asks, and what stands already."""

from dataclasses import replace

from baycompanion.job.deciding.measuring import limits_in_words
from baycompanion.job.state.order import step_applies, step_state, why_not
from baycompanion.job.state.state import StepTrack
from baycompanion.job.state.words import answer_words, torque_words
from baycompanion.procedure.cautions import AnyCaution
from baycompanion.procedure.model import Standing
from baycompanion.procedure.paths import with_phase
from baycompanion.procedure.steps import Measure, Step
from baycompanion.sheets.asking import ask
from baycompanion.sheets.form import Asked, Box, CautionPart, Source, Stamp, StepPart
from baycompanion.sheets.gates import gates_before
from baycompanion.sheets.words import (
    applying_note,
    moment,
    stamp,
)
from baycompanion.text.duration import write_duration

MUST_READ = ("danger", "warning")
"""Signal words whose caution is to be marked as read before the step begins."""

HELD_BACK = "Answered. What was found is held back until a second person has found it afresh."


def step_part(source: Source, step: Step) -> StepPart:
    """Return `step` whole; one that does not apply is named with the reason and no more."""
    part = StepPart(
        number=source.procedure.number[step.id],
        verb=step.verb,
        text=step.text,
        state=_state_word(source, step),
        gates=gates_before(source, step),
    )
    if not step_applies(source.procedure, source.state, step):
        because = why_not(source.procedure, source.state, step)
        return replace(part, applies=False, note=f"because {because}")
    track = source.state.track(step.id)
    asking = ask(source, step)
    hidden = step.id in source.hidden
    return replace(
        part,
        note=applying_note(source, *with_phase(source.procedure, step.id)),
        cautions=tuple(
            caution_part(caution, place in track.acknowledged)
            for place, caution in enumerate(step.cautions)
        ),
        asked=tuple(
            _asked(source, each) for each in source.procedure.standing if each.ends == step.id
        ),
        carried=_carried(source, step),
        details=step.details,
        ask=asking,
        photo=Box("photo taken", bool(_files(source, step))) if step.photo else None,
        bad=_bad(source, step, track) if asking.can_be_bad else (),
        earlier=(HELD_BACK,) if hidden else _earlier(source, step, track),
        begins=tuple(each.says for each in source.procedure.standing if each.begins == step.id),
        stamp=_stamp(source, track, asking.stamp_label),
    )


def caution_part(caution: AnyCaution, read: bool) -> CautionPart:
    """Return `caution` whole; `read` says whether it was read, if that is to be marked."""
    return CautionPart(
        caution.signal,
        caution.hazard,
        caution.consequence,
        caution.avoid,
        read if caution.signal in MUST_READ else None,
    )


def _state_word(source: Source, step: Step) -> str:
    word = step_state(source.procedure, source.state, step)
    return "" if word == "not reached" else word


def _asked(source: Source, standing: Standing) -> Asked:
    asked = source.state.standings.get(standing.standing)
    held = asked[1] if asked is not None else None
    return Asked(
        standing.says,
        standing.ask,
        (Box("yes, it held", held is True), Box("no", held is False, reason="")),
    )


def _carried(source: Source, step: Step) -> tuple[tuple[str, str], ...]:
    """Return the tools, the torque, the limits and the photo of `step`, each with its label."""
    names = {tool.tool: tool.name for tool in source.procedure.tools}
    carried = []
    if step.tools:
        carried.append(("Tools", ", ".join(names.get(tool, tool) for tool in step.tools)))
    carried += [("Torque", torque_words(torque)) for torque in step.torque]
    if isinstance(step, Measure):
        if step.at_least is not None or step.at_most is not None:
            given = f" (from: {step.source.rstrip('.')})" if step.source else ""
            carried.append(("Limits", f"{limits_in_words(step)}{given}"))
        if step.instrument:
            carried.append(("Read it from", names.get(step.instrument, step.instrument)))
    if step.photo:
        carried.append(("Photo", _photos(source, step)))
    if step.target:
        carried.append(("Target", write_duration(step.target)))
    return tuple(carried)


def _photos(source: Source, step: Step) -> str:
    files = _files(source, step)
    return f"{step.photo}; here: {', '.join(files)}" if files else str(step.photo)


def _files(source: Source, step: Step) -> list[str]:
    """Return the names under which the photos of `step` were handed in."""
    return [photo.data.original for photo in source.state.photos if photo.data.step == step.id]


def _bad(source: Source, step: Step, track: StepTrack) -> tuple[Box, ...]:
    """Return what can follow from a bad answer, and what did."""
    fault = next((each for each in source.state.faults if each.number == track.settled), None)
    cause = fault.cause if fault is not None else ""
    number = f"fault {fault.number}" if fault is not None else ""
    back = source.procedure.number.get(step.back_to or "")
    return (
        Box("done again"),
        *((Box(f"back to step {back}"),) if back is not None else ()),
        Box("fault of the vehicle", cause == "vehicle", number if cause == "vehicle" else ""),
        Box("fault of our work", cause == "work", number if cause == "work" else ""),
    )


def _earlier(source: Source, step: Step, track: StepTrack) -> tuple[str, ...]:
    """Return the answers that count no more, the reasons for reopening, and the notes."""
    earlier = track.attempts if track.last is None else track.attempts[:-1]
    answers = (
        f"Earlier answer: {answer_words(source.procedure, step, attempt.answer)} "
        f"({attempt.by}, {moment(source, attempt.at)})"
        for attempt in earlier
    )
    reopened = (f"Reopened: {reason}" for reason in track.reopened)
    notes = (
        f"Note: {note.words} ({note.by}, {moment(source, note.at)})"
        for note in source.state.notes
        if note.step == step.id
    )
    return (*answers, *reopened, *_ticked_so_far(source, track), *notes)


def _ticked_so_far(source: Source, track: StepTrack) -> tuple[str, ...]:
    if track.last is not None or not track.ticks:
        return ()
    last = max(track.ticks.values(), key=lambda tick: tick.at)
    return (f"Answered line by line so far, the last by {last.by}, {moment(source, last.at)}",)


def _stamp(source: Source, track: StepTrack, by_label: str) -> Stamp:
    if track.last is None:
        return Stamp(by_label=by_label)
    attempt = track.attempts[-1]
    made = stamp(source, attempt)
    return replace(made, by_label=by_label)
