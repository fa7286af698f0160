"""Stopping and going on: pauses, changes of hands, and time nobody can account for."""

from datetime import datetime

from baycompanion.job.deciding.draft import Draft, refuse
from baycompanion.job.events.hands_kinds import (
    ClockBack,
    GapExplained,
    GapFound,
    HandedOver,
    Paused,
    Resumed,
)
from baycompanion.job.events.moment import whole_milliseconds
from baycompanion.job.hands_actions import (
    ExplainGap,
    FindGap,
    HandOver,
    PauseWork,
    Resume,
)
from baycompanion.job.state.order import standing_now
from baycompanion.job.state.state import State
from baycompanion.job.state.timing import seconds_paused, seconds_since_last

LONG_PAUSE = 2 * 3600
"""Seconds of pause after which what stands is verified again. Own choice: longer than a meal."""


def pause(draft: Draft, action: PauseWork) -> None:
    """Stop the clock of the work."""
    draft.say(Paused(reason=action.pause, loose=action.loose, first=action.first))


def resume(draft: Draft, action: Resume) -> None:
    """Go on; after a long pause or in other hands, what stands is verified again first."""
    state = draft.state
    if state.status != "paused":
        refuse("The job is not paused.")
    if draft.who.id != state.technician:
        refuse(
            f"This job is in the hands of {state.technician}, not {draft.who.id}.",
            f"{state.technician} resumes it, or hands it over.",
        )
    last = state.pauses[-1]
    if last.handed_to is not None and not action.resume:
        refuse(
            "The job changes hands.",
            "Walk round the vehicle, and read back in a few words how it stands.",
        )
    if must_verify(state, draft.when):
        _refuse_unverified(draft, action)
    draft.say(
        Resumed(
            words=action.resume,
            confirmed=list(action.still_true),
            gate_checked=action.gate_checked,
        )
    )


def must_verify(state: State, when: datetime) -> bool:
    """Return whether isolation and the last gate have to be verified again on return at `when`.

    They have to after a long pause, a change of hands, or a pause whose length nobody knows.
    """
    last = state.pauses[-1]
    unknown = last.clock_set or whole_milliseconds(when) < state.last_ms
    return last.handed_to is not None or unknown or seconds_paused(state, when) >= LONG_PAUSE


def last_gate(state: State) -> str | None:
    """Return the gate that the job passed last, None before the first."""
    names = [n for n, gate in state.gates.items() if gate.standing in ("open", "overridden")]
    return names[-1] if names else None


def _refuse_unverified(draft: Draft, action: Resume) -> None:
    unverified = [
        standing.says
        for standing in standing_now(draft.procedure, draft.state)
        if standing.standing not in action.still_true
    ]
    gate = last_gate(draft.state)
    if gate and not action.gate_checked:
        unverified.append(f"What opened the gate {gate}")
    if unverified:
        refuse("After a long pause or a change of hands, verify at the vehicle first.", *unverified)


def see_clock(draft: Draft) -> None:
    """Record a clock that reads earlier than the event before; an ended job takes no more."""
    if draft.state.status in ("closed", "abandoned"):
        return
    back = draft.state.last_ms - whole_milliseconds(draft.when)
    if back > 0:
        draft.say(ClockBack(seconds=-(-back // 1000)))


def find_gap(draft: Draft, action: FindGap) -> None:
    """Set time aside that nobody has accounted for, no more than passed since the last event.

    One that waits to be explained grows by it: whoever left it unanswered, and comes back on
    another day, is asked about all of it.
    """
    seconds = min(action.seconds, seconds_since_last(draft.state, draft.when))
    if seconds < 1:
        refuse("No time has passed since the newest event.")
    since, gap = draft.state.last_at, draft.state.gap
    if gap is not None:
        since, seconds = gap.since, gap.milliseconds // 1000 + seconds
    draft.say(GapFound(how=action.gap, seconds=seconds, since=since))


def explain_gap(draft: Draft, action: ExplainGap) -> None:
    """Say what the gap was; a long one away, or unknown, is a pause to be resumed from.

    Whoever has the job by now says it, as far as they know; only those who had it in that time can
    say that it was worked.
    """
    gap = draft.state.gap
    if gap is None:
        refuse("There is no gap in time to explain.")
    if action.explain == "worked" and gap.of != draft.who.id:
        refuse(
            f"{gap.of} had the job in that time, and only {gap.of} can say that it was worked.",
            "Say away, clock, or unknown where you do not know.",
        )
    stood = action.explain in ("away", "unknown") and gap.milliseconds >= LONG_PAUSE * 1000
    if stood and draft.state.status == "open":
        why = "away" if action.explain == "away" else "not known"
        draft.say(Paused(reason=why, loose="not written down", first="verify what stands"))
    draft.say(GapExplained(meaning=action.explain))


def hand_over(draft: Draft, action: HandOver) -> None:
    """Pass the job on; the one who takes it resumes it.

    Time that waits to be explained does not hold this up: whoever takes the job then says of it
    what they know (`explain_gap`).
    """
    state = draft.state
    if state.opened.practice is not None:
        refuse(f"Practice stays with {state.opened_by}, who began it.")
    if draft.who.id != state.technician and draft.who.role != "supervisor":
        refuse(f"Only {state.technician} or a supervisor hands this job over.")
    if action.hand_over == state.technician:
        refuse(f"The job is in the hands of {action.hand_over} already.")
    draft.say(Paused(reason="change of hands", loose=action.loose, first=action.first))
    draft.say(HandedOver(to=action.hand_over, words=action.words, mentor=action.mentor))
