"""Deciding: an action against a state gives events, or a refusal that says what opens the way."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from baycompanion.job import actions, hands_actions, practice_actions
from baycompanion.job.deciding import ending, faults, pausing, practising, signing
from baycompanion.job.deciding.answering import refuse_no_photo
from baycompanion.job.deciding.answers import judge
from baycompanion.job.deciding.arriving import arrive
from baycompanion.job.deciding.choosing import ask_new_lines, refuse_uncounted
from baycompanion.job.deciding.circuits import borrow, give_back, refuse_unlogged
from baycompanion.job.deciding.comparing import worse_lines
from baycompanion.job.deciding.counting import add_to_tray
from baycompanion.job.deciding.draft import Draft, Person, Refusal, Refused, refuse
from baycompanion.job.deciding.faults import say_fault
from baycompanion.job.deciding.planning import plan_splices
from baycompanion.job.deciding.reopening import reopen
from baycompanion.job.deciding.scanning import scan
from baycompanion.job.deciding.ticking import tick_line, tick_rest
from baycompanion.job.deciding.tracing import traced_faults
from baycompanion.job.deciding.witnessing import look_later
from baycompanion.job.events import kinds
from baycompanion.job.events.event import Event
from baycompanion.job.state.gates import Missing, gates_holding, missing
from baycompanion.job.state.order import standing_now, standings_unasked
from baycompanion.job.state.state import State
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Choose, Inspect, Record, Step, Wait, Witness
from baycompanion.text.duration import write_duration
from baycompanion.text.problem import quoted


@dataclass(frozen=True, slots=True)
class Decided:
    """What an action led to: the events to be made durable, and the state after them."""

    events: tuple[Event, ...]
    state: State


def decide(
    procedure: Procedure, state: State, action: actions.Action, who: Person, when: datetime
) -> Decided | Refused:
    """Return what `action` of `who` at `when` leads to, or why it is refused.

    Never raises on any state that events can add up to.
    """
    draft = Draft(procedure, state, who, when)
    try:
        _may_act(draft, action)
        pausing.see_clock(draft)
        _RULES[type(action)](draft, action)
        arrive(draft)
    except Refusal as refusal:
        return refusal.refused
    return Decided(tuple(draft.events), draft.state)


def notice_clock(procedure: Procedure, state: State, who: Person, when: datetime) -> Decided:
    """Return what is to be kept beside a refusal: that the clock was set back, if it was.

    Without it, a wait that is asked for again and again would stand still until the clock has
    caught up, and nothing would say why.
    """
    draft = Draft(procedure, state, who, when)
    pausing.see_clock(draft)
    return Decided(tuple(draft.events), draft.state)


def catch_up(procedure: Procedure, state: State, who: Person, when: datetime) -> Decided:
    """Return what should have followed the newest event, where a crash cut it off."""
    draft = Draft(procedure, state, who, when)
    pausing.see_clock(draft)
    arrive(draft)
    return Decided(tuple(draft.events), draft.state)


def _may_act(draft: Draft, action: actions.Action) -> None:
    """Refuse what the standing of the whole job does not allow."""
    state = draft.state
    if state.status in ("closed", "abandoned"):
        if state.status == "closed" and _looks_later(draft, action):
            return
        refuse(f"This job is {state.status}; its record only stands to be read.")
    if isinstance(action, _ANY_TIME):
        return
    if state.gap is not None and not _goes_with_gap(draft, action):
        refuse(
            "Time passed that is not accounted for.",
            "Say what it was: worked, away, clock, or unknown.",
        )
    if state.status == "paused" and not isinstance(action, _WHILE_PAUSED):
        refuse("The job is paused.", "Resume it.")
    if state.accepted_at is None and not isinstance(action, _BEFORE_ACCEPTED):
        refuse(
            "The hazards of the whole job are not accepted yet.",
            "Read them, and say that the procedure fits this vehicle.",
        )
    if isinstance(action, _BY_TECHNICIAN) and draft.who.id != state.technician:
        _let_witness(draft, action)


def _goes_with_gap(draft: Draft, action: actions.Action) -> bool:
    """Return whether `action` explains the gap, or passes the job on for whoever left it.

    Those who are there themselves say first what the time was.
    """
    if isinstance(action, hands_actions.ExplainGap):
        return True
    gap = draft.state.gap
    return isinstance(action, hands_actions.HandOver) and gap is not None and draft.who.id != gap.of


def _looks_later(draft: Draft, action: actions.Action) -> bool:
    """Return whether `action` is a second person's word on work that was released for now."""
    return (
        isinstance(action, actions.Answer)
        and action.answer in draft.procedure.steps
        and draft.state.track(action.answer).provisional
    )


def _let_witness(draft: Draft, action: actions.Action) -> None:
    """Let somebody other than the job's technician answer only as a witness."""
    if isinstance(action, actions.Answer):
        step = draft.step(action.answer)
        if isinstance(step, Witness):
            return
    technician = draft.state.technician
    refuse(
        f"This job is in the hands of {technician}, not {draft.who.id}.",
        f"{technician} hands it over first.",
    )


def _accept(draft: Draft, action: actions.Accept) -> None:
    if draft.state.accepted_at is not None:
        refuse("The hazards of this job are accepted already.")
    draft.say(kinds.HazardsAccepted(count=len(draft.procedure.hazards)))


def _acknowledge(draft: Draft, action: actions.Acknowledge) -> None:
    step = draft.in_hand(action.acknowledge)
    read = draft.state.track(step.id).acknowledged
    every = range(len(step.cautions))
    wanted = every if action.caution is None else [action.caution]
    unread = [caution for caution in wanted if caution in every and caution not in read]
    if not unread:
        refuse("There is no caution here that is not read yet.")
    for caution in unread:
        draft.say(kinds.Acknowledged(step=step.id, caution=caution))


def _answer(draft: Draft, action: actions.Answer) -> None:
    step = draft.step(action.answer)
    if isinstance(step, Witness) and draft.state.track(step.id).provisional:
        look_later(draft, step, action)
        return
    draft.read_first(step.id)
    _refuse_unasked(draft, step)
    answered = judge(draft, step, action)
    if answered.weight != "bad":
        refuse_no_photo(draft, step)
    if answered.weight == "good":
        refuse_unlogged(draft, step)
    private = isinstance(step, Record) and step.private
    if action.words not in ("", answered.words) and not private:
        draft.say(kinds.Noted(words=action.words, step=step.id))
    # A crash between two lines must lose the answer, which is asked again, never the fault.
    worse = worse_lines(draft, step) if isinstance(step, Inspect) else []
    traced = traced_faults(draft, step) if answered.outcome != "not done" else []
    for fault in (*worse, *traced):
        draft.say(fault)
    draft.say(answered)
    if isinstance(step, Choose):
        refuse_uncounted(draft)
        ask_new_lines(draft)


def _refuse_unasked(draft: Draft, step: Step) -> None:
    """Refuse to answer before the standing conditions that end here were asked about."""
    unasked = standings_unasked(draft.procedure, draft.state, step)
    if unasked:
        asks = [standing.ask for standing in unasked]
        refuse("A standing condition ends here. Say first whether it held.", *asks)


def _set_wait(draft: Draft, action: actions.SetWait) -> None:
    step = draft.read_first(action.set_wait)
    if not isinstance(step, Wait):
        refuse(f"“{step.text}” is not a wait.")
    if action.lasts < max(1, step.lasts or 0):
        least = write_duration(step.lasts) if step.lasts else "1 s"
        refuse(f"This wait cannot be made shorter than {least}.")
    draft.say(kinds.WaitSet(step=step.id, seconds=action.lasts, source=action.source))


def _note(draft: Draft, action: actions.Note) -> None:
    draft.say(kinds.Noted(words=action.note, step=draft.state.current))


def _add_photo(draft: Draft, action: actions.AddPhoto) -> None:
    """Add a photo; the same one twice at a step, as it stands, would only look like two."""
    step = draft.state.current
    since = draft.state.track(step or "").reopened_seq
    for known in draft.state.photos:
        same = known.data.step == step and known.data.sha256 == action.sha256
        if same and known.seq > since:
            refuse(f"This photo is attached already, as {known.data.original}. Nothing was added.")
    draft.say(
        kinds.PhotoAdded(
            file=action.photo,
            sha256=action.sha256,
            size=action.size,
            original=action.original,
            step=step,
        )
    )


def _reopen(draft: Draft, action: actions.Reopen) -> None:
    step = draft.step(action.reopen)
    if not draft.state.track(step.id).finished:
        refuse(f"“{step.text}” is not finished, so it cannot be reopened.")
    reopen(draft, step, action.reason)


def _confirm(draft: Draft, action: actions.Confirm) -> None:
    live = {each.standing: each for each in standing_now(draft.procedure, draft.state)}
    standing = live.get(action.confirm)
    if standing is None:
        refuse(f"{quoted(action.confirm)} is no standing condition that is in force now.")
    if standing.ends != draft.state.current:
        end = draft.procedure.steps[standing.ends]
        refuse("A standing condition is asked about at its end.", Missing(end.text, end.id))
    if not action.held and not action.words:
        refuse("Say in a few words what happened.")
    if not action.held:
        words = f"{standing.says} It did not hold: {action.words}"
        say_fault(draft, "work", words)
    draft.say(kinds.StandingAsked(standing=action.confirm, held=action.held, words=action.words))


def _override(draft: Draft, action: actions.Override) -> None:
    gate = draft.procedure.all_gates.get(action.override)
    if gate is None:
        refuse(f"This procedure has no gate “{action.override}”.")
    if gate.gate not in gates_holding(draft.procedure, draft.state):
        refuse("Only a gate that holds the job right now can be overridden.")
    if gate.override == "nobody":
        refuse("Nobody may override this gate.", *missing(draft.procedure, draft.state, gate))
    role = draft.who.role
    if not draft.who.is_at_least(gate.override):
        refuse(f"This gate asks for a {gate.override}, and {draft.who.id} is a {role}.")
    things = missing(draft.procedure, draft.state, gate)
    for name in filter(None, (thing.step for thing in things)):
        if draft.who.id in draft.state.track(name).worked_by:
            refuse(
                f"{draft.who.id} did “{draft.procedure.steps[name].text}” "
                "and cannot open the gate that waits for it.",
                f"Another {gate.override} on the staff has to say so.",
            )
    draft.say(
        kinds.Overridden(
            gate=gate.gate,
            role=role,
            reason=action.reason,
            words=action.words,
            instead=action.instead,
            missing=[thing.words for thing in things],
            steps=[thing.step for thing in things if thing.step is not None],
            signed=draft.who.signed,
        )
    )


_ANY_TIME = (
    actions.Note,
    actions.AddPhoto,
    actions.RaiseFault,
    hands_actions.FindGap,
    hands_actions.SignOn,
    hands_actions.RefusePin,
    actions.Abandon,
)
"""What anybody on the staff may do while the job is not ended, even while it is paused."""

_WHILE_PAUSED = (hands_actions.Resume, hands_actions.HandOver, hands_actions.ExplainGap)
_BEFORE_ACCEPTED = (actions.Accept, hands_actions.PauseWork, *_WHILE_PAUSED)

_BY_TECHNICIAN = (
    actions.Accept,
    actions.Acknowledge,
    actions.Answer,
    actions.TickLine,
    actions.AddToTray,
    actions.TickRest,
    actions.Scan,
    actions.SetWait,
    actions.Settle,
    actions.Borrow,
    actions.GiveBack,
    actions.PlanSplices,
    hands_actions.PauseWork,
    hands_actions.ExplainGap,
    actions.Reopen,
    actions.Confirm,
    practice_actions.SayNext,
    practice_actions.TakeUp,
    practice_actions.LookAt,
    actions.Close,
)

_RULES: dict[type, Callable[[Draft, Any], None]] = {
    actions.Accept: _accept,
    actions.Acknowledge: _acknowledge,
    actions.Answer: _answer,
    actions.TickLine: tick_line,
    actions.AddToTray: add_to_tray,
    actions.TickRest: tick_rest,
    actions.Scan: scan,
    actions.SetWait: _set_wait,
    actions.Settle: faults.settle,
    actions.Note: _note,
    actions.AddPhoto: _add_photo,
    actions.RaiseFault: faults.raise_fault,
    actions.ClearFault: faults.clear_fault,
    actions.Borrow: borrow,
    actions.GiveBack: give_back,
    actions.PlanSplices: plan_splices,
    hands_actions.PauseWork: pausing.pause,
    hands_actions.Resume: pausing.resume,
    hands_actions.FindGap: pausing.find_gap,
    hands_actions.ExplainGap: pausing.explain_gap,
    actions.Reopen: _reopen,
    actions.Confirm: _confirm,
    actions.Override: _override,
    hands_actions.HandOver: pausing.hand_over,
    hands_actions.SignOn: signing.sign_on,
    hands_actions.RefusePin: signing.refuse_pin,
    practice_actions.SayNext: practising.say_next,
    practice_actions.TakeUp: practising.take_up,
    practice_actions.LookAt: practising.look_at,
    actions.Abandon: ending.abandon,
    actions.Close: ending.close,
}
