"""The card of a job: whatever its state asks for now, from the hazards to the closed record."""

from collections.abc import Iterator, Mapping
from datetime import datetime
from typing import Literal

from baycompanion.job import actions, hands_actions
from baycompanion.job.deciding.pausing import last_gate, must_verify
from baycompanion.job.events.chain import fingerprint
from baycompanion.job.state.gates import Missing, gates_holding, missing
from baycompanion.job.state.order import next_step, standing_now, step_state, why_not
from baycompanion.job.state.second_looks import hidden_now, released_for_now
from baycompanion.job.state.state import Gap, State
from baycompanion.job.state.timing import phase_spans, seconds_paused
from baycompanion.job.state.words import moment_words
from baycompanion.procedure.model import Gate, Procedure
from baycompanion.procedure.steps import Step
from baycompanion.text.duration import rough_duration
from baycompanion.views.card.against import against, why_not_clean
from baycompanion.views.card.card import Card, Deed, Field, Form, GoTo, Key, Piece, Return, Row
from baycompanion.views.card.second_person import look_keys
from baycompanion.views.card.signs import MARKS
from baycompanion.views.card.step import answer_card, heading, step_card
from baycompanion.views.card.tray_rows import tray_piece
from baycompanion.views.card.wording import (
    answered,
    carried,
    caution_pieces,
    photographed,
    waited_for,
)
from baycompanion.views.forms import job_forms
from baycompanion.views.forms.circuit_forms import load_pieces


def job_card(procedure: Procedure, state: State, reasons: tuple[str, ...], when: datetime) -> Card:
    """Return what the job asks for at `when`; `reasons` are the shop's reasons for an override."""
    if state.status in ("closed", "abandoned"):
        return _ended_card(procedure, state, when)
    if state.gap is not None:
        return _gap_card(state, when)
    if state.status == "paused":
        return _paused_card(procedure, state, when)
    if state.accepted_at is None:
        return _hazards_card(procedure, state)
    if state.current is not None:
        return step_card(procedure, state, procedure.steps[state.current], when)
    holding = gates_holding(procedure, state)
    if holding:
        gate = procedure.all_gates[holding[0]]
        return _gate_card(procedure, state, gate, len(holding), reasons)
    return _close_card(procedure, state)


def again_card(procedure: Procedure, state: State, when: datetime) -> Card:
    """Return the card that answers the step in hand once more, after a bad outcome."""
    assert state.current is not None
    return answer_card(procedure, state, procedure.steps[state.current], when)


def look_card(procedure: Procedure, state: State, step: Step, when: datetime) -> Card:
    """Return the card of a step that is only looked at."""
    word = step_state(procedure, state, step)
    pieces = [Piece("label", f"{MARKS[word].sign} {MARKS[word].word}")]
    if word == "not applicable":
        pieces.append(Piece("plain", f"Because {why_not(procedure, state, step)}"))
    answer = answered(procedure, state, step)
    if answer:
        by = state.track(step.id).attempts[-1]
        pieces.append(Piece("plain", f"Answered: {answer} ({by.by}, {moment_words(by.at, when)})"))
        shown = (by.answer.details or {}).get("shown")
        if shown and step.id not in hidden_now(procedure, state):
            pieces.append(Piece("plain", f"Worked: {shown}"))
    cautions = [piece for caution in step.cautions for piece in caution_pieces(caution)]
    keys = [Key("Enter", "Back", Return(), enter=True)]
    if state.track(step.id).finished and state.status == "open":
        keys.append(Key("F6", "Reopen…", job_forms.reopen_form(procedure, state, step)))
    return Card(
        kind="look",
        heading=f"Looking at: {heading(procedure, step).lower()}",
        title=step.text,
        before=tuple(cautions),
        pieces=(*pieces, *carried(procedure, step), *photographed(state, step)),
        keys=tuple(keys),
        step=step.id,
    )


def _hazards_card(procedure: Procedure, state: State) -> Card:
    begun = bool(state.steps)  # then a newer revision has others
    again = [Piece("label", f"Again: Revision {procedure.revision} asks it otherwise.")]
    accept = Deed(actions.Accept(accept="hazards"))
    hazards = [piece for hazard in procedure.hazards for piece in caution_pieces(hazard)]
    if hazards:
        hazards.append(Piece("label", "These stand for the whole job."))
    read = ", and I have read the hazards" if hazards else ""
    return Card(
        kind="hazards",
        heading="Before the work goes on" if begun else "Before the first step",
        title=f"Does this procedure fit? {procedure.fits}",
        pieces=(*(again if begun else ()), *hazards),
        keys=(
            Key("1", f"It fits{read}", accept),
            Key("2", "It does not fit: give the job up…", job_forms.abandon_form()),
        ),
    )


def _gap_card(state: State, when: datetime) -> Card:
    gap = state.gap
    assert gap is not None
    seen = {
        "left": "Nothing was entered, and the job was left.",
        "slept": "The laptop slept, or its clock was set.",
    }
    return Card(
        kind="gap",
        heading=f"Last entry {moment_words(gap.since, when)}",
        title=_gap_title(state, gap),
        pieces=(Piece("plain", seen[gap.how]), *_whose_time(state, gap)),
        keys=tuple(_gap_keys(state, gap)),
    )


def _gap_title(state: State, gap: Gap) -> str:
    """Return what is asked of the gap; of somebody else's time, what is known of it."""
    last = rough_duration(max(60, gap.milliseconds // 1000))
    if gap.of == state.technician:
        return f"What were the last {last}?"
    return f"{gap.of} had the job for the last {last}. What do you know of it?"


def _whose_time(state: State, gap: Gap) -> Iterator[Piece]:
    """Yield what becomes of the word of somebody else."""
    if gap.of != state.technician:
        yield Piece("label", "It stays in the record who said it.")


def _gap_keys(state: State, gap: Gap) -> Iterator[Key]:
    """Yield what can be said of the gap; of another's time not that it was worked."""

    def explain(meaning: Literal["worked", "away", "clock", "unknown"]) -> Deed:
        return Deed(hands_actions.ExplainGap(explain=meaning))

    own = gap.of == state.technician
    if own:
        yield Key("1", "I worked on", explain("worked"))
    yield Key("2", "I was away" if own else "Nobody worked", explain("away"))
    yield Key("3", "The clock was wrong", explain("clock"))
    yield Key("4", "Not known", explain("unknown"))
    if own:
        form = job_forms.take_over_form(state.technician)
        yield Key("5", f"{state.technician} is not here: take over…", form)


def _paused_card(procedure: Procedure, state: State, when: datetime) -> Card:
    """Return the resume card: what the pause left, and what comes first."""
    last = state.pauses[-1]
    away = seconds_paused(state, when)
    step = next_step(procedure, state)
    pieces = [
        Piece("label", f"Loose, open or live: {last.data.loose}"),
        Piece("label", f"First on return: {last.data.first}"),
        *(
            Piece("warning", f"Must stay true: {each.says}")
            for each in standing_now(procedure, state)
        ),
    ]
    pieces.extend(tray_piece(procedure, state, "label"))
    finished = last_finished(state)
    if finished is not None:
        done = procedure.steps[finished]
        pieces.append(Piece("quiet", f"Last finished: {procedure.number[done.id]}. {done.text}"))
    if step is not None:
        pieces.append(Piece("quiet", f"Next: {procedure.number[step.id]}. {step.text}"))
    if last.handed_to:
        taken_over = last.handed_to == last.by  # nobody was there to say a word to them
        said = last.handed_words if taken_over else f"From {last.by}: {last.handed_words}"
        pieces.insert(0, Piece("label", said))
    title = f"Paused: {last.data.reason}" if not last.handed_to else f"For {last.handed_to} to take"
    return Card(
        kind="paused",
        heading=f"Since {moment_words(last.since, when)}, {rough_duration(away)}",
        title=title,
        pieces=tuple(pieces),
        keys=(Key("1", "Go on", _resume(procedure, state, when), enter=True),),
    )


def _resume(procedure: Procedure, state: State, when: datetime) -> Deed | Form[Deed]:
    """Return the way back: at once after a short pause, else with what has to be verified."""
    last = state.pauses[-1]
    if not must_verify(state, when):
        return Deed(hands_actions.Resume(resume=""))
    live = standing_now(procedure, state)
    gate = last_gate(state)
    checks = [
        Field(f"true-{each.standing}", each.says, ("not verified", "verified at the vehicle"))
        for each in live
    ]
    if gate:
        answers = ("not checked", "checked again at the vehicle")
        checks.append(Field("gate", f"What opened the gate {gate}", answers))
    words = Field("words", "Read back how it stands", may_be_empty=last.handed_to is None)

    def make(given: Mapping[str, str]) -> Deed:
        resume = hands_actions.Resume(
            resume=given["words"],
            still_true=tuple(
                each.standing
                for each in live
                if given[f"true-{each.standing}"].startswith("verified")
            ),
            gate_checked=given.get("gate", "").startswith("checked"),
        )
        return Deed(resume, last.handed_to)

    lead = (Piece("label", "After a long pause or a change of hands, verify first."),)
    return Form("Go on", (*checks, words), make, lead, accept="Go on")


def _gate_card(
    procedure: Procedure, state: State, gate: Gate, count: int, reasons: tuple[str, ...]
) -> Card:
    rows = tuple(
        _missing_row(procedure, state, number, thing)
        for number, thing in enumerate(missing(procedure, state, gate), start=1)
    )
    keys = []
    if gate.override != "nobody":
        form = job_forms.override_form(procedure, state, gate, reasons)
        keys.append(Key("8", f"Override… ({gate.override})", form))
    whom = "Nobody" if gate.override == "nobody" else f"A {gate.override}"
    more = f" ({count} gates hold here)" if count > 1 else ""
    return Card(
        kind="gate",
        heading=f"Gate shut: {gate.gate}{more}",
        title=gate.because,
        pieces=(
            Piece("quiet", f"{whom} may override it."),
            Piece("label", "It opens when this is settled:"),
        ),
        keys=tuple(keys),
        rows=rows,
    )


def _missing_row(procedure: Procedure, state: State, number: int, thing: Missing) -> Row:
    keys: list[Key] = []
    if thing.step is not None:
        keys.append(Key("1", "Look at that step", GoTo(thing.step), enter=True))
    if thing.step is not None and state.track(thing.step).finished:
        step = procedure.steps[thing.step]
        keys.append(Key("2", "Reopen it…", job_forms.reopen_form(procedure, state, step)))
    if thing.fault is not None:
        keys.append(Key("3", "Clear the fault…", job_forms.clear_one_form(thing.fault)))
    words = waited_for(procedure, state, thing)
    return Row(str(number), "■", "", words, keys=tuple(keys))


def _close_card(procedure: Procedure, state: State) -> Card:
    pieces = [*against(state), *tray_piece(procedure, state, "bad")]
    pieces.extend(load_pieces(state))
    pieces.extend(
        Piece("bad", f"Released for now, a second person is still to look: {step.text}")
        for step in released_for_now(procedure, state)
    )
    pieces.extend(
        Piece(
            "plain",
            f"{span.title}: {rough_duration(span.worked)}"
            + (f" of {rough_duration(span.target)}" if span.target else ""),
        )
        for span in phase_spans(procedure, state)
    )
    return Card(
        kind="close",
        heading="Every step is finished",
        title="Close the job, and give the keys back.",
        pieces=tuple(pieces),
        keys=(Key("1", "Close the job…", job_forms.close_form()),),
    )


def _ended_card(procedure: Procedure, state: State, when: datetime) -> Card:
    released = released_for_now(procedure, state)
    clean = {True: "Closed clean.", False: "Closed, not clean.", None: ""}[state.clean]
    words = state.ended_words or clean
    ended = moment_words(state.ended_at or state.last_at, when)
    return Card(
        kind="ended",
        heading=f"{state.status.capitalize()} {ended}",
        title=words,
        pieces=(
            Piece("label", f"Fingerprint {fingerprint(state.head)}"),
            Piece("plain", "The record lies in the job's folder as record.json."),
            Piece("plain", f"For the owner, print: baycompanion handover {state.opened.job}"),
            *(Piece("bad", f"A second person is still to look: {step.text}") for step in released),
            *why_not_clean(procedure, state),
        ),
        keys=look_keys(procedure, state, released[0]) if released else (),
        step=released[0].id if released else None,
    )


def last_finished(state: State) -> str | None:
    """Return the step that was finished last, none before the first."""
    finished = {
        name: track.attempts[-1].seq
        for name, track in state.steps.items()
        if track.finished and track.attempts
    }
    return max(finished, key=lambda name: finished[name], default=None)
