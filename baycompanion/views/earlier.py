"""The record of the earlier job, as it is read beside the job that the vehicle came back in."""

from collections.abc import Iterator

from baycompanion.job.events.carried import EarlierJob, Remark
from baycompanion.job.events.chain import fingerprint
from baycompanion.job.state.order import items_that_apply
from baycompanion.job.state.since import as_it_was, differences, was
from baycompanion.job.state.state import State
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Do, Inspect, Item
from baycompanion.views.card.card import Piece
from baycompanion.views.vehicle_in import plate_warning

NONE_BESIDE = "No earlier job lies beside this one, so nothing can be compared."
NOT_THERE = "This job stands by itself: no earlier one lies beside it."

_HEADS: dict[Remark, str] = {
    "override": "OPENED WITH AUTHORITY",
    "deviation": "NOT DONE AS IT SHOULD BE",
    "fault": "FAULTS STILL OPEN",
    "circuit": "CIRCUITS OF THE VEHICLE STILL BORROWED",
    "lead": "LEADS THAT JOIN NOTHING",
}
"""By kind of what was left behind, its heading; in this order, the first places to look first."""

_NOTHING_LEFT = "It left nothing behind: no override, no deviation, no fault, no borrowed circuit."


def earlier_said(earlier: EarlierJob) -> str:
    """Return which earlier job lies beside this one, in one line."""
    when = earlier.ended_at[:10]
    ended = "closed" if earlier.status == "closed" else "given up"
    return (
        f"{earlier.work_order} · {earlier.title}, revision {earlier.revision} · {ended} {when} · "
        f"{earlier.technician}"
    )


def earlier_pieces(procedure: Procedure, state: State) -> tuple[Piece, ...]:
    """Return all that is known of the earlier job: which, what is worse since, what it left."""
    earlier = state.opened.earlier
    if earlier is None:
        return (Piece("plain", NOT_THERE),)
    return (
        Piece("plain", earlier_said(earlier)),
        Piece("quiet", f"Job {earlier.job}. Fingerprint {fingerprint(earlier.last_hash)}"),
        *_plate(earlier, state),
        *_worse(procedure, state),
        *_left(earlier),
    )


def _plate(earlier: EarlierJob, state: State) -> Iterator[Piece]:
    if warning := plate_warning(state.opened.vehicle, earlier):
        yield Piece("bad", warning)


def _worse(procedure: Procedure, state: State) -> Iterator[Piece]:
    """Yield what is worse than it left the vehicle, as far as the sheet of this job tells."""
    yield Piece("label", "WORSE THAN WHEN IT LEFT")
    found = differences(procedure, state)
    looked = any(
        isinstance(step, Inspect) and state.track(step.id).ticks
        for step in procedure.steps.values()
    )
    if not found:
        said = "nothing so far" if looked else "not looked yet: the condition sheet comes first"
        yield Piece("plain", f"  {said}")
    for each in found:
        yield Piece("bad", f"! {each.item.name}")


def _left(earlier: EarlierJob) -> Iterator[Piece]:
    if not earlier.left:
        yield Piece("label", _NOTHING_LEFT)
    for kind, head in _HEADS.items():
        words = [each.words for each in earlier.left if each.kind == kind]
        if words:
            yield Piece("label", head)
            yield from (Piece("plain", f"• {each}") for each in words)


def no_lines(procedure: Procedure, state: State, step: Do) -> str:
    """Return why a step about the differences has no line; empty where it has some."""
    earlier = state.opened.earlier
    if step.each != "differences" or items_that_apply(procedure, state, step):
        return ""
    if earlier is None:
        return NONE_BESIDE
    return f"Nothing on the sheet is worse than {earlier.work_order} left it."


def when_it_left(state: State, step: Inspect, item: Item) -> str:
    """Return how a line of the sheet before the work was when the earlier job left; else empty."""
    earlier = state.opened.earlier
    line = as_it_was(earlier, item) if earlier is not None and step.compares is None else None
    return f", when it left: {was(line)}" if line is not None else ""
