"""Going on by a newer revision of the procedure: a deliberate act that says what it changes."""

from datetime import datetime

from baycompanion.job.deciding.arriving import arrive
from baycompanion.job.deciding.counting import refuse_lost_lines
from baycompanion.job.deciding.decide import Decided
from baycompanion.job.deciding.draft import Draft, Person, Refusal, Refused, refuse
from baycompanion.job.deciding.pausing import see_clock
from baycompanion.job.deciding.reopening import reopen
from baycompanion.job.events.kinds import GateShutAgain, Revised
from baycompanion.job.state.state import State
from baycompanion.procedure.comparing.changes import Changes, changes
from baycompanion.procedure.model import Procedure


def revise(
    old: Procedure,
    new: Procedure,
    new_hash: str,
    state: State,
    words: str,
    who: Person,
    when: datetime,
) -> Decided | Refused:
    """Return what moving the job from `old` to the revision `new` leads to, or why it is refused.

    `words` say why. A finished step that is asked otherwise is done again, gates that rest on it
    or are others shut again, and other hazards are accepted anew.
    """
    draft = Draft(old, state, who, when)
    try:
        _may_revise(old, state, new, who, words)
        see_clock(draft)
        found = changes(old, new)
        # A crash between two lines must leave a job that asks again, never one that goes by the
        # newer revision with answers to the older one.
        _shut_changed(draft, found.gates_changed)
        _reopen_changed(draft, found.changed, new.revision)
        draft.say(_revised(state, new, new_hash, words, found))
        draft.procedure = new
        arrive(draft)
    except Refusal as refusal:
        return refusal.refused
    return Decided(tuple(draft.events), draft.state)


def _revised(state: State, new: Procedure, new_hash: str, words: str, found: Changes) -> Revised:
    return Revised(
        title=new.title,
        was=state.opened.revision,
        revision=new.revision,
        procedure_hash=new_hash,
        words=words,
        added=list(found.added),
        gone=list(found.gone),
        changed=list(found.changed),
        phases_gone=list(found.phases_gone),
        gates_added=list(found.gates_added),
        gates_gone=list(found.gates_gone),
        gates_changed=list(found.gates_changed),
        hazards=found.hazards,
    )


def _may_revise(old: Procedure, state: State, new: Procedure, who: Person, words: str) -> None:
    if state.gap is not None:
        refuse(
            "The job goes on by a newer revision once somebody has said what the time since its "
            "last entry was.",
            "Resume it, and say so.",
        )
    if state.status != "open":
        refuse(
            "The job goes on by a newer revision only while somebody is at work on it.",
            "Resume it first.",
        )
    if who.id != state.technician and who.role != "supervisor":
        refuse(f"Only {state.technician} or a supervisor moves this job to a newer revision.")
    if new.procedure != state.opened.procedure:
        refuse(f"This job follows {state.opened.procedure}, not {new.procedure}.")
    if new.revision <= state.opened.revision:
        refuse(
            f"This job follows revision {state.opened.revision} already, "
            f"and the one on the shelf is revision {new.revision}."
        )
    refuse_lost_lines(old, state, new)
    if not words:
        refuse("Say in a few words why the job goes on by the newer revision.")


def _shut_changed(draft: Draft, gates: tuple[str, ...]) -> None:
    for name in gates:
        track = draft.state.gates.get(name)
        if track is not None and track.standing in ("open", "overridden"):
            draft.say(GateShutAgain(gate=name, step=track.step))


def _reopen_changed(draft: Draft, steps: tuple[str, ...], revision: int) -> None:
    """Reopen the finished ones of `steps`; an answer to something else is no answer."""
    for name in steps:
        if draft.state.track(name).finished:
            reason = f"Revision {revision} asks it otherwise."
            reopen(draft, draft.procedure.steps[name], reason)
