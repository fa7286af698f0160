"""The earlier job of a made-up vehicle that came back: how it was left, what was left behind."""

from datetime import datetime, timedelta

from baycompanion.job.events.carried import EarlierJob, EarlierLine, EarlierRemark, PanelMark
from baycompanion.job.events.chain import FIRST_PREV
from baycompanion.job.events.moment import write_moment
from baycompanion.learning.drawing_lots import drawn, lot
from baycompanion.learning.practice.made_up import MadeUpVehicle
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Do, Inspect, Item

_LEFT = (
    EarlierRemark(
        kind="override",
        words="made-up-gate, by practice-mentor: the owner had to leave. Missing: a made-up check",
        gate="made-up-gate",
    ),
    EarlierRemark(kind="deviation", words="A made-up check. could not test: no time"),
    EarlierRemark(kind="circuit", words="tap on made-up circuit, fuse box in the dash, fuse 10 A"),
)


def make_past(procedure: Procedure, made: MadeUpVehicle, when: datetime) -> EarlierJob | None:
    """Return the earlier job of `made`, which ended some days before `when`.

    There is one only where a step of `procedure` asks for the differences from it. It left
    everything working, and the marks that the vehicle still has; what is planted came since.
    """
    asks = any(
        isinstance(step, Do) and step.each == "differences" for step in procedure.steps.values()
    )
    if not asks:
        return None
    chance = lot(made.seed, "past")
    ended = when - timedelta(days=chance.randint(2, 60))
    return EarlierJob(
        job=f"practice-{made.seed}-before",
        last_hash=FIRST_PREV,
        work_order=f"Practice {chance.randint(100, 999)}",
        vehicle=made.vehicle,
        procedure="made-up",
        title="Made-up earlier work",
        revision=1,
        technician="practice-mentor",
        status="closed",
        ended_at=write_moment(ended),
        lines=[
            _line(made, step, item)
            for step in procedure.steps.values()
            if isinstance(step, Inspect) and step.compares is None
            for item in step.of
        ],
        left=[drawn(_LEFT, made.seed, "left")],
    )


def _line(made: MadeUpVehicle, step: Inspect, item: Item) -> EarlierLine:
    if step.looks_for == "function":
        return EarlierLine(item=item.item, name=item.name, outcome="works")
    stood = made.marks.get((step.id, item.item))
    if stood is None:
        return EarlierLine(item=item.item, name=item.name, outcome="unmarked")
    mark = PanelMark(mark=stood.mark, size_mm=stood.size_mm, place=stood.place, words=stood.words)
    return EarlierLine(item=item.item, name=item.name, outcome="marked", marks=[mark])
