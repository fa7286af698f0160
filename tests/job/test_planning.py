"""A job's splice plan: walked join by join, each ticked, and kept in the record."""

from bay import SMALL_TEXT, Bay, tick

from baycompanion.job.actions import Answer, PlanSplices, Reopen
from baycompanion.procedure.check import check
from baycompanion.procedure.load import load_procedure
from baycompanion.trade.catalogue import SUMS

ROUTE = "      - do: Route the leads.\n        id: route\n"
JOINS = """\
      - do: Join each pair and tug it.
        id: joined
        each: joins
      - do: Insulate each left-over lead.
        id: insulated
        each: left-over
"""
LOADED = load_procedure(SMALL_TEXT.replace(ROUTE, JOINS + ROUTE), "joins.yaml")
PLANNED = LOADED.procedure
SHA = "cd" * 32


def plan(*joins: tuple[str, str], left_over: tuple[tuple[str, str], ...] = ()) -> PlanSplices:
    return PlanSplices.model_validate(
        {
            "splice-plan": [{"item": item, "name": name} for item, name in joins],
            "left-over": [{"item": item, "name": name} for item, name in left_over],
            "files": [{"file": "receiver.yaml", "sha256": SHA}],
        }
    )


TWO = plan(
    ("constant-feed", "constant feed: 4 yellow with red"),
    ("ground", "ground: 8 black with black"),
    left_over=(("receiver-12", "receiver 12, blue: amplifier trigger"),),
)


def at_joins() -> Bay:
    assert [problem for problem in check(LOADED, SUMS) if problem.weight == "error"] == []
    return Bay(PLANNED).walk("joined")


def test_each_join_is_ticked_by_itself_before_the_step_is_finished() -> None:
    bay = at_joins()
    bay.do(TWO, tick("joined", "ground"))
    assert [thing.words for thing in bay.refused(Answer(answer="joined")).opens_by] == [
        "constant feed: 4 yellow with red"
    ]
    bay.do(tick("joined", "constant-feed"), Answer(answer="joined"))
    bay.do(tick("insulated", "receiver-12"), Answer(answer="insulated"))
    assert (bay.step("joined"), bay.step("insulated")) == ("done", "done")
    record = bay.record()
    lines = next(step.lines for step in record.steps if step.id == "joined")
    assert [(line.item, line.outcome) for line in lines] == [
        ("constant-feed", "done"),
        ("ground", "done"),
    ]
    assert record.splice_plan is not None
    assert [line.item for line in record.splice_plan.joins] == ["constant-feed", "ground"]
    assert record.splice_plan.files[0].sha256 == SHA


def test_without_a_plan_the_joins_are_answered_whole() -> None:
    bay = at_joins()
    bay.do(Answer(answer="joined"), Answer(answer="insulated"))
    assert bay.step("joined") == "done"
    assert bay.record().splice_plan is None


def test_a_newer_plan_keeps_the_joins_that_are_the_same_and_asks_the_others_anew() -> None:
    bay = at_joins()
    bay.do(TWO, tick("joined", "ground"), tick("joined", "constant-feed"))
    bay.do(
        plan(
            ("constant-feed", "constant feed: 4 yellow with ORANGE"),
            ("ground", "ground: 8 black with black"),
        )
    )
    assert set(bay.state.track("joined").ticks) == {"ground"}
    bay.refused(Answer(answer="joined"))


def test_a_plan_is_not_changed_under_joins_that_are_made() -> None:
    bay = at_joins()
    bay.do(TWO, tick("joined", "ground"), tick("joined", "constant-feed"), Answer(answer="joined"))
    refused = bay.refused(plan())
    assert refused.opens_by[0].step == "joined"
    bay.do(Reopen(reopen="joined", reason="another receiver"), plan(), Answer(answer="joined"))
    assert bay.step("joined") == "done"


def test_two_lines_of_one_name_are_refused() -> None:
    refused = at_joins().refused(plan(("ground", "a"), ("ground", "b")))
    assert refused.why.startswith("“ground” stands twice in this splice plan.")
