"""How a vehicle left: worse than it came, with open faults, without a picture, or untested."""

import pytest
from asked import asked, closed, only, parts, played, retold, times
from bay import BAD, S1, Bay, tick

from baycompanion.audit.findings import Finding
from baycompanion.audit.rules.untested import FEWEST_JOBS
from baycompanion.job.actions import (
    Answer,
    ClearFault,
    Close,
    Override,
    RaiseFault,
    TickRest,
)
from baycompanion.job.events.kinds import PhotoAdded

ALL = ("closed-worse-than-before", "closed-with-open-fault", "required-photo-missing")


def condition(bay: Bay) -> list[Finding]:
    """Return what is found of the condition in which the vehicle left."""
    found = asked([played(bay)])
    return [each for rule in ALL for each in only(rule, found)]


def horn_worse(clear: bool) -> Bay:
    """Return a job closed with a horn that worked before; `clear` says it was put right."""
    bay = Bay().held(after=BAD["after"])
    if clear:
        bay.do(ClearFault(clear=1, words="a fuse"))
    bay.do(OVERRIDE, who=S1)
    bay.walk().do(Close(close="keys back"))
    return bay


def test_a_job_closed_with_a_line_worse_than_before_is_asked_about() -> None:
    bay = horn_worse(clear=False)
    [found] = condition(bay)
    assert found.rule.id == "closed-worse-than-before"
    assert "Horn: worked before, faulty now: silent." in found.sentence
    raised, last = found.events
    assert bay.events[raised - 1].kind == "fault-raised"
    assert (last, bay.events[-1].kind) == (len(bay.events), "closed")


def test_a_job_closed_as_the_vehicle_came_is_not() -> None:
    assert condition(closed()) == []


def test_a_fault_that_was_put_right_is_left_alone() -> None:
    assert condition(horn_worse(clear=True)) == []


def test_a_job_under_way_is_asked_nothing_about_its_end_yet() -> None:
    assert condition(Bay().held(after=BAD["after"])) == []


OVERRIDE = Override(override="same-as-before", reason="r", words="w", instead="i")


def with_fault(cause: str) -> Bay:
    """Return a job closed with an open fault that no comparison found."""
    bay = Bay().walk("keys")
    bay.do(RaiseFault.model_validate({"fault": "a clip is cracked", "cause": cause}))
    if bay.state.current is None:
        bay.do(OVERRIDE, who=S1)
    bay.walk().do(Close(close="keys back"))
    return bay


def test_a_fault_of_the_work_left_open_is_asked_about() -> None:
    [found] = condition(with_fault("work"))
    assert found.rule.id == "closed-with-open-fault"
    assert "1 open fault of the work: a clip is cracked." in found.sentence


def test_a_fault_that_the_vehicle_came_with_is_not() -> None:
    assert condition(with_fault("vehicle")) == []


def test_a_required_picture_that_is_missing_is_asked_about() -> None:
    """No door lets this happen, so the events are made up."""
    bay = closed()
    told = [part for part in parts(bay) if not isinstance(part[0], PhotoAdded)]
    [found] = only("required-photo-missing", asked([retold(told)]))
    assert f"step {bay.procedure.number['join']} (join)" in found.sentence


# --- could not test -----------------------------------------------------------------------------

UNTESTED = [
    *(
        tick("before", item, "could not test", words="no power")
        for item in ("horn", "low-beam", "high-beam")
    ),
    TickRest(tick_rest="before"),
    Answer(answer="before"),
]


def untested(others: int) -> list[Finding]:
    jobs = [*times(others, closed()), played(closed(before=UNTESTED), "job-999")]
    return only("could-not-test-more-than-usual", asked(jobs))


def test_more_lines_untested_than_in_the_other_jobs_is_asked_about_with_its_test() -> None:
    [found] = untested(20)
    assert (found.job, len(found.events)) == ("job-999", 3)
    assert "Here 3 of" in found.sentence
    assert "in the other 20 jobs of small-receiver 0 of" in found.sentence
    assert "Fisher's exact test against the other jobs: by chance alone in at most 1 in" in (
        found.sentence
    )
    assert "corrected for the 21 tests made (Holm); told up to 1 in 20." in found.sentence


def test_nothing_is_said_of_untested_lines_with_too_few_other_jobs() -> None:
    assert untested(FEWEST_JOBS - 1) == []


def test_what_every_job_leaves_untested_is_usual() -> None:
    jobs = times(20, closed(before=UNTESTED))
    assert only("could-not-test-more-than-usual", asked(jobs)) == []


@pytest.mark.parametrize("rule", [*ALL, "could-not-test-more-than-usual"])
def test_clean_jobs_are_asked_nothing(rule: str) -> None:
    assert only(rule, asked(times(25, closed()))) == []
