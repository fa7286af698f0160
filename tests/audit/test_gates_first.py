"""Gates before people: how each gate fared, and what an override is asked."""

import pytest
from asked import asked, closed, only, overridden, played, times
from bay import Bay

from baycompanion.audit.rules.gate_counts import MOST_CAUSES, OTHER, GateCounts
from baycompanion.audit.rules.gate_outcomes import gate_outcomes
from baycompanion.audit.rules.gate_overrides import FEWEST_JOBS
from baycompanion.audit.rules.questions import Questions, ask
from baycompanion.job.actions import Answer
from baycompanion.spread.shares import wilson


@pytest.fixture(scope="module")
def clean() -> Bay:
    return closed()


@pytest.fixture(scope="module")
def bypassed() -> Bay:
    return overridden()


def test_a_gate_is_counted_by_jobs_and_by_what_came_of_it(clean: Bay, bypassed: Bay) -> None:
    counts = GateCounts()
    for job in [*times(3, clean), *times(2, bypassed)]:
        counts.take(job.follows, gate_outcomes(job))
    gate = counts.of("small-receiver", 3, "sound-before-refit")
    assert (gate.reached, gate.passed, gate.overridden, gate.held) == (5, 3, 2, 2)
    assert gate.reasons == {"measured another way": 2}
    assert gate.waited_for == {"24. Every speaker sounds. Failed.": 2}
    other = counts.of("small-receiver", 3, "same-as-before")
    assert (other.reached, other.passed, other.overridden, other.held) == (5, 5, 0, 0)


def test_a_gate_of_other_vehicles_is_counted_as_not_applicable_once_a_job_is_closed() -> None:
    without = closed(ask_amplifier=[Answer(answer="ask-amplifier", value="no")])
    counts = GateCounts()
    for job in (played(without), played(Bay())):
        counts.take(job.follows, gate_outcomes(job))
    gate = counts.of("small-receiver", 3, "amplifier-checked")
    assert (gate.reached, gate.not_applicable) == (0, 1)


def test_causes_are_counted_up_to_a_number_so_that_the_counts_stay_small(bypassed: Bay) -> None:
    counts, job = GateCounts(), played(bypassed)
    gate = counts.of("small-receiver", 3, "sound-before-refit")
    gate.waited_for.update({f"cause {number}": 1 for number in range(MOST_CAUSES)})
    counts.take(job.follows, gate_outcomes(job))
    assert gate.waited_for[OTHER] == 1


def test_an_override_is_told_with_who_why_and_how_often(clean: Bay, bypassed: Bay) -> None:
    found = asked([*times(3, clean), played(bypassed, "job-9")])
    [told] = only("gate-overridden", found)
    [event] = [event for event in bypassed.events if event.kind == "overridden"]
    assert (told.job, told.events) == ("job-9", (event.seq,))
    assert told.sentence == (
        "S1 as supervisor opened the gate sound-before-refit of small-receiver, revision 3, "
        "without what it waits for. The reason: “measured another way”. the owner hears it. "
        "Instead: a second test on the road. This gate was opened so in 1 of the 4 jobs that "
        "reached it, and S1 opened one so in 1 of 4 jobs. Does the gate fit this work, and did "
        "what stood in its place hold?"
    )


def test_a_job_without_overrides_is_asked_nothing_about_gates(clean: Bay) -> None:
    found = asked(times(30, clean))
    assert not only("gate-overridden", found)
    assert not only("gate-often-overridden", found)


@pytest.mark.parametrize(
    ("well", "bypassed_in", "told"),
    [
        (0, FEWEST_JOBS - 1, False),  # too few jobs, whatever the share
        (0, FEWEST_JOBS, True),
        (7, 3, True),  # 30 %, between 10.8 and 60.3
        (8, 2, False),  # 20 %, between 5.7 and 51.0
        (36, 4, False),  # 10 % itself
    ],
)
def test_a_gate_is_a_question_to_the_procedure_where_its_share_is_surely_above_the_stated_one(
    clean: Bay, bypassed: Bay, well: int, bypassed_in: int, told: bool
) -> None:
    found = asked([*times(well, clean), *times(bypassed_in, bypassed)])
    findings = only("gate-often-overridden", found)
    assert bool(findings) is told
    if told:
        share = wilson(bypassed_in, well + bypassed_in)
        [finding] = findings
        assert f"{bypassed_in} of the {well + bypassed_in} jobs" in finding.sentence
        assert f"{share.lower:.0%} and {share.upper:.0%}" in finding.sentence
        assert finding.sentence.endswith("Which, and who writes it down?")
        assert (finding.job, finding.rule.people) == ("", False)


def test_counts_come_by_procedure_and_in_the_order_of_the_work(clean: Bay) -> None:
    questions = Questions()
    list(questions.take(ask(played(clean))))
    names = [gate.gate for gate in questions.gates]
    assert names.index("sound-before-refit") < names.index("same-as-before")
