"""A vehicle that comes back: what is kept of the earlier job, and what is worse since."""

from collections.abc import Mapping
from datetime import timedelta
from decimal import Decimal

import pytest
from bay import START, Bay, keys_in
from came_back import COME_BACK, LOOK_OVER

from baycompanion.job.actions import (
    Abandon,
    Accept,
    Action,
    Answer,
    Borrow,
    PlanSplices,
    RaiseFault,
    Reopen,
    TickLine,
    TickRest,
)
from baycompanion.job.deciding.opening import open_job
from baycompanion.job.events.carried import EarlierJob, PanelMark
from baycompanion.job.events.moment import write_moment
from baycompanion.job.record.earlier import earlier_job
from baycompanion.job.record.work import OverrideRecord
from baycompanion.job.state.since import differences
from baycompanion.procedure.load import load_procedure

BEFORE = load_procedure(LOOK_OVER, "look-over.yaml").procedure
COMEBACK = load_procedure(COME_BACK, "came-back.yaml").procedure

LATER = timedelta(days=9)
"""From the keys in of the earlier job to the keys in of the later one."""
SCRATCH = PanelMark(mark="scratch", size_mm=40, place="middle")


def sheet(bay: Bay, lines: Mapping[tuple[str, str], Mapping[str, object]]) -> Bay:
    """Answer both sheets: each line of `lines` as it says, all others well."""
    for step in ("functions", "marks"):
        for (at, item), said in lines.items():
            if at == step:
                bay.do(TickLine.model_validate({"tick": step, "item": item, **said}))
        items = bay.procedure.items_of(bay.procedure.steps[step])
        if len(items) > len(bay.state.track(step).ticks):
            bay.do(TickRest(tick_rest=step))
        bay.do(Answer(answer=step))
    return bay


def left(lines: Mapping[tuple[str, str], Mapping[str, object]] = {}, *more: Action) -> EarlierJob:
    """Return the earlier job that was left with these lines."""
    bay = Bay(BEFORE)
    bay.do(Accept(accept="hazards"))
    sheet(bay, lines)
    bay.do(*more, Abandon(abandon="the owner left"))
    return earlier_job(bay.record())


def back(
    earlier: EarlierJob | None, lines: Mapping[tuple[str, str], Mapping[str, object]] = {}
) -> Bay:
    """Return the job that the vehicle comes back in, with its sheets answered."""
    opened = open_job(
        COMEBACK, "cd" * 32, "job-2", keys_in("WO 8", when=START + LATER, earlier=earlier)
    )
    bay = Bay(COMEBACK, START + LATER, [opened])
    bay.do(Accept(accept="hazards"))
    return sheet(bay, lines)


def names(bay: Bay) -> list[str]:
    return [each.item.name for each in differences(bay.procedure, bay.state)]


def marked(*marks: PanelMark) -> dict[str, object]:
    return {"outcome": "marked", "marks": [each.model_dump(exclude_none=True) for each in marks]}


OPENED = OverrideRecord(
    gate="same",
    at=write_moment(START),
    by="S1",
    role="supervisor",
    reason="measured another way",
    words="owner waits",
    instead="a lamp on the dash",
    missing=["4. The horn sounds. Failed.", "Fault 1 is open: silent"],
    signed=None,
)

FAULTY = {"outcome": "faulty", "words": "silent"}
UNTESTED = {"outcome": "could not test", "words": "no key"}

CASES: list[tuple[dict[str, object], dict[str, object], str | None]] = [
    ({"outcome": "works"}, FAULTY, "Horn: worked when it left; faulty now (silent)"),
    (UNTESTED, FAULTY, "Horn: could not test (no key) when it left; faulty now (silent)"),
    (FAULTY, FAULTY, None),
    (FAULTY, {"outcome": "works"}, None),
    ({"outcome": "works"}, UNTESTED, None),
    ({"outcome": "not fitted"}, FAULTY, "Horn: not fitted when it left; faulty now (silent)"),
]


@pytest.mark.parametrize(("then", "now", "told"), CASES)
def test_a_line_is_told_where_it_is_worse_or_nobody_knows_since_when(
    then: dict[str, object], now: dict[str, object], told: str | None
) -> None:
    horn = ("functions", "horn")
    assert names(back(left({horn: then}), {horn: now})) == ([told] if told else [])


def test_of_marks_only_those_that_are_new_or_larger_are_told() -> None:
    hood = ("marks", "hood")
    earlier = left({hood: marked(SCRATCH)})
    same = PanelMark(mark="scratch", size_mm=41, place="middle")
    assert names(back(earlier, {hood: marked(same)})) == []
    larger = PanelMark(mark="scratch", size_mm=90, place="middle")
    dent = PanelMark(mark="dent", size_mm=12, place="front left")
    assert names(back(earlier, {hood: marked(larger, dent)})) == [
        "Hood: marked (scratch 40 mm, middle) when it left; "
        "larger scratch 90 mm, middle; new dent 12 mm, front left"
    ]


def test_two_sheets_may_call_a_line_the_same() -> None:
    bay = back(left(), {("functions", "hood"): FAULTY, ("marks", "hood"): marked(SCRATCH)})
    found = differences(bay.procedure, bay.state)
    assert [(each.step, each.item.item) for each in found] == [
        ("functions", "functions-hood"),
        ("marks", "marks-hood"),
    ]
    assert "Hood release: worked" in found[0].item.name
    assert "Hood: unmarked" in found[1].item.name


def test_a_line_that_a_newer_revision_says_otherwise_is_still_the_same_line() -> None:
    earlier = left()
    renamed = [
        line.model_copy(update={"name": "Signal horn"}) if line.item == "horn" else line
        for line in earlier.lines
    ]
    bay = back(earlier.model_copy(update={"lines": renamed}), {("functions", "horn"): FAULTY})
    assert len(names(bay)) == 1


def test_without_an_earlier_job_nothing_is_compared_and_the_step_is_answered_whole() -> None:
    bay = back(None, {("functions", "horn"): FAULTY})
    assert names(bay) == []
    bay.do(Answer(answer="traced"))
    assert bay.step("traced") == "done"
    assert bay.record().differences == []


class TestTraced:
    """Where each difference comes from becomes a fault of the work or of the vehicle."""

    def job(self) -> Bay:
        """Return a job with three differences, its sheets answered."""
        now = {
            ("functions", "horn"): FAULTY,
            ("functions", "clock"): FAULTY,
            ("marks", "roof"): marked(SCRATCH),
        }
        return back(left(), now)

    def trace(self, bay: Bay, **origins: str) -> None:
        for item, origin in origins.items():
            bay.do(TickLine(tick="traced", item=item, outcome=origin, words="seen"))  # type: ignore[arg-type]

    def test_each_needs_an_answer_and_its_words(self) -> None:
        bay = self.job()
        refused = bay.refused(Answer(answer="traced"))
        assert "3 lines have no answer yet" in refused.why
        bare = bay.refused(TickLine(tick="traced", item="horn", outcome="from our work"))
        assert "Say what or why in a few words" in bare.why
        other = bay.refused(TickLine(tick="traced", item="horn", outcome="works"))
        assert "from our work, from elsewhere, could not tell" in other.why

    def test_they_become_faults_and_what_nobody_can_tell_a_deviation(self) -> None:
        bay = self.job()
        self.trace(bay, horn="from our work", clock="from elsewhere", roof="could not tell")
        bay.do(Answer(answer="traced"))
        assert [(fault.item, fault.cause) for fault in bay.state.faults] == [
            ("horn", "work"),
            ("clock", "vehicle"),
        ]
        assert bay.step("traced") == "done with deviation"
        told = [(each.item, each.origin, each.words) for each in bay.record().differences]
        assert told == [
            ("horn", "from our work", "seen"),
            ("clock", "from elsewhere", "seen"),
            ("roof", "could not tell", "seen"),
        ]

    def test_done_again_no_fault_is_told_twice_and_a_change_of_mind_is_one_more(self) -> None:
        bay = self.job()
        self.trace(bay, horn="from our work", clock="from elsewhere", roof="from elsewhere")
        bay.do(Answer(answer="traced"))
        bay.do(Reopen(reopen="traced", reason="another look"))
        self.trace(bay, horn="from elsewhere", clock="from elsewhere", roof="from elsewhere")
        bay.do(Answer(answer="traced"))
        assert [(fault.item, fault.cause) for fault in bay.state.faults] == [
            ("horn", "work"),
            ("clock", "vehicle"),
            ("roof", "vehicle"),
            ("horn", "vehicle"),
        ]

    def test_not_done_raises_none(self) -> None:
        bay = self.job()
        bay.do(Answer(answer="traced", outcome="not done", words="the owner took the keys"))
        assert bay.state.faults == ()


class TestLeft:
    """What the earlier job left behind is told with it."""

    def test_an_open_fault_and_a_deviation_are_told(self) -> None:
        fault = RaiseFault(fault="the clip is cracked", cause="work")
        assert [each.words for each in left({}, fault).left] == ["of the work: the clip is cracked"]

    def test_what_lasts_of_the_job_before_that_is_told_by_its_work_order(self) -> None:
        tap = Borrow(borrow="dome lamp", method="tap", place="roof", load_a=Decimal(1))
        fault = RaiseFault(fault="the clip is cracked", cause="work")
        twice = back(left({}, tap, fault))
        twice.do(Abandon(abandon="the owner left"))
        again = earlier_job(twice.record()).left
        assert [each.words for each in again if each.kind == "circuit"] == [
            "WO 7: tap on dome lamp, roof"
        ]
        assert not [each for each in again if each.kind == "fault"], "it may be put right since"

    def test_it_is_told_by_the_first_work_order_however_often_the_vehicle_comes_back(self) -> None:
        """From the fourth job on it said “WO 8: WO 7: same, by S1 …”."""
        tap = Borrow(borrow="dome lamp", method="tap", place="roof", load_a=Decimal(1))
        spare = [{"item": "v1", "name": "vehicle 1 grey: illumination, vehicle side"}]
        plan = PlanSplices.model_validate({"splice-plan": [], "left-over": spare, "files": []})
        bay = Bay(BEFORE)
        bay.do(Accept(accept="hazards"), tap, plan, Abandon(abandon="the owner left"))
        first = bay.record().model_copy(update={"overrides": [OPENED]})
        told = [f"WO 7: {each.words}" for each in earlier_job(first).left]
        assert len(told) == 3
        earlier = earlier_job(first)
        for _ in range(3):
            again = back(earlier)
            again.do(Abandon(abandon="the owner left"))
            earlier = earlier_job(again.record())
            assert [each.words for each in earlier.left] == told

    def test_what_was_opened_with_authority_reads_as_sentences(self) -> None:
        """It said “owner waits Missing: 4. Horn. Failed.; Fault 1 …”."""
        bay = Bay(BEFORE)
        bay.do(Accept(accept="hazards"), Abandon(abandon="the owner left"))
        [told] = earlier_job(bay.record().model_copy(update={"overrides": [OPENED]})).left
        assert told.words == (
            "same, by S1: measured another way. owner waits. "
            "Missing: 4. The horn sounds. Failed; Fault 1 is open: silent."
        )

    def test_a_job_under_way_is_refused(self) -> None:
        bay = Bay(BEFORE)
        with pytest.raises(ValueError, match="still under way"):
            earlier_job(bay.record())

    def test_a_line_is_told_by_its_last_answer(self) -> None:
        assert {(line.item, line.name, line.outcome) for line in left().lines} == {
            ("horn", "Horn", "works"),
            ("clock", "Clock", "works"),
            ("hood", "Hood release", "works"),
            ("hood", "Hood", "unmarked"),
            ("roof", "Roof", "unmarked"),
        }


def test_the_record_carries_the_earlier_job_and_a_job_without_one_says_so() -> None:
    earlier = left()
    assert back(earlier).record().earlier == earlier
    assert back(None).record().earlier is None
