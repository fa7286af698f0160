"""Entries made after the fact: when they are said to have happened, and whether on paper."""

from datetime import datetime, timedelta
from typing import Any

from baycompanion.job.actions import Later
from baycompanion.job.deciding.draft import Draft, refuse
from baycompanion.job.events.moment import read_moment, write_moment
from baycompanion.job.state.state import State

LATEST_ENTRY = timedelta(days=366)
"""How far back a late entry may reach; what lies further back is a slip of the pen. Own choice."""


def happened(draft: Draft, action: Later) -> dict[str, Any]:
    """Return what an event says of when `action` happened; nothing where it happens now."""
    if action.claimed is None:
        if action.on_paper:
            refuse("Copied from paper: say when it was done, as the paper says.")
        return {}
    if action.claimed > draft.when:
        refuse("The time claimed lies ahead. Type when it was really done.")
    if action.claimed < draft.when - LATEST_ENTRY:
        refuse(f"The time claimed lies more than {LATEST_ENTRY.days} days back. Check the date.")
    return {"claimed": write_moment(action.claimed), "on_paper": True if action.on_paper else None}


def seconds_on_paper(draft: Draft, since: str | None, claimed: datetime) -> int:
    """Return the seconds from the finish of `since`, or of the newest step, to `claimed`.

    Both by the word of the person where the earlier one was copied from paper too.
    """
    finished = _finished(draft.state, since)
    return int((claimed - read_moment(finished)).total_seconds()) if finished else 0


def _finished(state: State, step: str | None) -> str | None:
    """Return when `step`, or the step answered last, is said to have been done."""
    tracks = [state.track(step)] if step else list(state.steps.values())
    attempts = [track.attempts[-1] for track in tracks if track.finished and track.attempts]
    if not attempts:
        return None
    last = max(attempts, key=lambda attempt: attempt.seq)
    return last.answer.claimed or last.at
