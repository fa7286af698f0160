"""Which jobs are looked at on the vehicle (R63): all with an override, and clean ones by lot."""

from collections import Counter
from dataclasses import replace

import pytest
from asked import closed, played, put_down
from bay import BAD, S1, Bay

from baycompanion.audit.rules.lots import LotFacts, Lots, Reading, lot_facts
from baycompanion.audit.rules.questions import ask
from baycompanion.job.actions import Close, Override

ONE = LotFacts("0" * 64, "WO 7 · blue van", True, ())


def heads(number: int) -> list[LotFacts]:
    """Return the facts of so many clean jobs, each with another last hash."""
    return [replace(ONE, head=f"{each:064x}") for each in range(number)]


def drawn(few: int, day: str = "2026-03-02", jobs: int = 40) -> list[str]:
    lots = Lots(few, day)
    for number, lot in enumerate(heads(jobs)):
        lots.take(f"job-{number:02}", lot, ())
    return [each.job for each in lots.drawn]


def test_as_many_clean_jobs_are_drawn_as_were_asked_for_and_the_same_all_day() -> None:
    assert len(set(drawn(5))) == 5
    assert drawn(5) == drawn(5) == sorted(drawn(5))
    assert set(drawn(3)) <= set(drawn(5))
    assert drawn(0) == []
    assert len(drawn(50)) == 40


def test_the_order_in_which_jobs_come_by_draws_no_other() -> None:
    lots = Lots(5, "2026-03-02")
    for number, lot in reversed(list(enumerate(heads(40)))):
        lots.take(f"job-{number:02}", lot, ())
    assert [each.job for each in lots.drawn] == drawn(5)


def test_every_clean_job_is_drawn_about_as_often_over_many_days() -> None:
    """400 draws of 5 of 40: 50 each is expected, with a deviation of 6.6 (binomial)."""
    days = [f"2026-{1 + day // 28 % 12:02}-{1 + day % 28:02} {day}" for day in range(400)]
    counts = Counter(job for day in days for job in drawn(5, day))
    assert len(counts) == 40
    assert all(abs(count - 50) < 5 * 6.6 for count in counts.values())


def test_every_job_with_an_override_is_drawn_whatever_the_lot_says() -> None:
    lots = Lots(1, "2026-03-02")
    for number, lot in enumerate(heads(6)):
        gates = ["sound", "sound", "tray"] if number % 2 else []
        lots.take(f"job-{number}", replace(lot, clean=not gates), gates)
    overridden = [each for each in lots.drawn if each.why != "by lot"]
    assert [each.job for each in overridden] == ["job-1", "job-3", "job-5"]
    assert {each.why for each in overridden} == {"overridden: sound, tray"}
    assert len(lots.drawn) == 4


def test_a_job_that_is_not_clean_takes_no_lot_and_one_under_way_none_at_all() -> None:
    lots = Lots(5, "2026-03-02")
    lots.take("not-clean", replace(ONE, clean=False), ())
    lots.take("under-way", lot_facts(played(Bay(), "under-way")), ())
    assert lots.drawn == []


@pytest.mark.parametrize("number", range(3))
def test_what_is_measured_again_is_a_reading_of_the_job_with_its_limits(number: int) -> None:
    job = played(closed(), "well")
    facts = lot_facts(job)
    assert facts is not None and facts.clean
    assert facts.vehicle == "WO 7 · Blue van"
    lots = Lots(1, f"2026-03-0{1 + number}")
    lots.take("well", facts, ())
    [only] = lots.drawn
    assert only.again in facts.readings
    assert isinstance(only.again, Reading)
    event = job.events[only.again.event - 1]
    assert (event.kind, event.by) == ("answered", only.again.by)
    number_read, unit = only.again.told.split()
    assert (number_read, unit) == (event.data.number, event.data.unit)
    assert only.again.limits == event.data.limits
    assert only.again.told in only.asks


def test_a_job_in_which_nothing_was_measured_is_looked_at_beside_its_sheet() -> None:
    lots = Lots(1, "2026-03-02")
    lots.take("job", ONE, ())
    assert lots.drawn[0].asks.startswith("Nothing was measured in it")


def test_an_overridden_job_of_the_core_is_drawn_with_its_gate() -> None:
    bay = Bay().held(sound=put_down("sound", BAD["sound"], "vehicle"))
    allowed = Override(
        override="sound-before-refit", reason="measured another way", words="heard", instead="road"
    )
    bay.do(allowed, who=S1)
    bay.walk().do(Close(close="keys back"))
    facts, lots = ask(played(bay, "job")), Lots(0, "2026-03-02")
    lots.take(facts.job, facts.lot, [each.gate for each in facts.overrides])
    [only] = lots.drawn
    assert (only.job, only.why) == ("job", "overridden: sound-before-refit")
