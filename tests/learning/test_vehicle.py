"""The made-up vehicle: any procedure is walked on it to its end, and shows what is planted."""

from dataclasses import replace
from decimal import Decimal

import pytest
from bay import N1, SMALL
from fitted import FITTED, FITTED_TEXT
from hypothesis import given, settings
from hypothesis import strategies as st
from practice import PracticeBay, Way

from baycompanion.job.actions import Acknowledge, Action, Answer, TickLine
from baycompanion.job.deciding.draft import Person
from baycompanion.job.practice_actions import LookAt
from baycompanion.job.state.gates import gates_holding, missing
from baycompanion.job.state.order import items_that_apply
from baycompanion.job.state.state import State
from baycompanion.learning.practice.made_entries import entry_of
from baycompanion.learning.practice.made_up import MadeUpVehicle
from baycompanion.learning.practice.planting import Planted
from baycompanion.learning.practice.seeing import seen_at
from baycompanion.learning.practice.showing import showing
from baycompanion.learning.practice.summary import PracticeSummary, summarise
from baycompanion.learning.practice.vehicle import make_vehicle, truthful
from baycompanion.procedure.check import check
from baycompanion.procedure.load import load_procedure
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Inspect, Measure, Record, Sum
from baycompanion.store.shelf import read_procedure, shipped
from baycompanion.trade.catalogue import SUMS
from baycompanion.trade.radio import GRIDS

SHIPPED = {
    path.stem: read_procedure(path).procedure
    for path in sorted(shipped("procedures").glob("*.yaml"))
}
EVERY = {"small-receiver": SMALL, "fitted": FITTED, **SHIPPED}


def careless(
    made: MadeUpVehicle, procedure: Procedure, state: State
) -> tuple[Action, Person] | None:
    """Return what somebody does who takes everything for well and never looks."""
    return truthful(replace(made, planted=()), procedure, state)


def walked(name: str, seed: int, faults: int, way: Way | None = None) -> PracticeBay:
    return PracticeBay(EVERY[name], seed, faults).walk(way)


def summed_up(bay: PracticeBay) -> PracticeSummary:
    return summarise(bay.procedure, bay.events)


@pytest.mark.parametrize("name", EVERY)
@pytest.mark.parametrize("seed", range(2))
def test_an_honest_walk_ends_clean_and_catches_everything(name: str, seed: int) -> None:
    bay = walked(name, seed, 4)
    assert (bay.state.status, bay.state.clean) == ("closed", True)
    assert not bay.state.overrides
    summary = summed_up(bay)
    assert [each.fault for each in summary.planted if each.caught_at is None] == []
    assert all(each.slipped == "" for each in summary.planted)
    for each in summary.planted:
        assert each.caught_at in each.would_have_caught


@given(st.sampled_from(sorted(EVERY)), st.integers(0, 10**6), st.integers(0, 9))
@settings(max_examples=max(12, settings.default.max_examples // 10))  # each a whole walk
def test_every_seed_gives_a_vehicle_that_is_walked_to_the_end(
    name: str, seed: int, faults: int
) -> None:
    bay = walked(name, seed, faults)
    assert bay.state.status == "closed"
    assert all(each.caught_at for each in summed_up(bay).planted)


@pytest.mark.parametrize("name", EVERY)
@pytest.mark.parametrize("seed", range(2))
def test_a_careless_walk_lets_everything_slip_and_says_what_would_have_caught_it(
    name: str, seed: int
) -> None:
    bay = walked(name, seed, 4, careless)
    assert bay.state.status == "closed"
    for each, planted in zip(summed_up(bay).planted, bay.made.planted, strict=True):
        assert each.caught_at is None
        assert each.would_have_caught == planted.steps != ()
        assert "without a look" in each.slipped
        assert bay.procedure.steps[planted.steps[0]].text in each.slipped


@pytest.mark.parametrize("name", EVERY)
def test_as_many_are_planted_as_were_asked_for_and_none_twice(name: str) -> None:
    room = len(make_vehicle(EVERY[name], 5, 1000).planted)
    assert room >= 2
    for faults in (0, 1, 2, room):
        planted = make_vehicle(EVERY[name], 5, faults).planted
        assert len({each.fault for each in planted}) == len(planted) == faults
        places = [(spot.step, spot.line) for each in planted for spot in each.spots]
        assert len(set(places)) == len(places)


def test_a_procedure_without_room_for_more_gets_fewer() -> None:
    room = len(make_vehicle(FITTED, 1, 1000).planted)
    assert 0 < room < 1000


@pytest.mark.parametrize("name", EVERY)
def test_the_same_seed_gives_the_same_vehicle_and_another_one_another(name: str) -> None:
    assert make_vehicle(EVERY[name], 7, 3) == make_vehicle(EVERY[name], 7, 3)
    assert make_vehicle(EVERY[name], 7, 3) != make_vehicle(EVERY[name], 8, 3)


@pytest.mark.parametrize("name", EVERY)
@pytest.mark.parametrize("seed", range(6))
def test_every_reading_lies_inside_its_limits(name: str, seed: int) -> None:
    made = make_vehicle(EVERY[name], seed, 0)
    for step in EVERY[name].steps.values():
        if isinstance(step, Measure):
            number = Decimal(made.readings[step.id])
            assert step.at_least is None or number >= step.at_least
            assert step.at_most is None or number <= step.at_most


@pytest.mark.parametrize("name", EVERY)
@pytest.mark.parametrize("seed", range(6))
def test_every_planted_reading_lies_outside(name: str, seed: int) -> None:
    for each in make_vehicle(EVERY[name], seed, 50).planted:
        for spot in each.spots:
            step = EVERY[name].steps[spot.step]
            if isinstance(step, Measure):
                number = Decimal(spot.reading or "0")
                low, high = step.at_least, step.at_most
                outside = (low is not None and number < low) or (high is not None and number > high)
                assert outside or spot.sums


def test_a_reading_without_limits_is_told_by_the_sum_that_takes_it() -> None:
    """The draw of a parked vehicle has no limit of its own; the days that it may stand tell."""
    bay = walked("receiver-swap", 3, 200)
    [drain] = [each for each in summed_up(bay).planted if each.fault == "key-off-drain"]
    assert drain.would_have_caught == ("sleeping-draw", "days-parked")
    assert drain.caught_at == "days-parked"
    outcomes = [each.answer.outcome for each in bay.state.track("days-parked").attempts]
    assert outcomes == ["bad", "good"]
    careless_bay = walked("receiver-swap", 3, 200, careless)
    [drain] = [each for each in summed_up(careless_bay).planted if each.fault == "key-off-drain"]
    assert drain.caught_at is None
    assert " mA, without a look" in drain.slipped


def test_one_fault_shows_at_several_steps_and_at_none_once_it_was_told() -> None:
    procedure = SHIPPED["receiver-swap"]
    bay = PracticeBay(procedure, 3, 200)
    both = ("polarity", "keeps-memory")
    [planted] = [each for each in bay.made.planted if each.fault == "constant-and-switched"]
    assert planted.steps == (*both, "polarity-seen")
    for name in both:
        assert list(showing(procedure, bay.state, (planted,), procedure.steps[name]))
    bay.walk(to="plugs-home")
    assert bay.state.track("polarity").attempts[0].answer.outcome == "failed"
    for name in both:
        assert not list(showing(procedure, bay.state, (planted,), procedure.steps[name]))


def test_a_fault_that_slips_at_its_first_step_is_caught_at_its_next() -> None:
    procedure = SHIPPED["receiver-swap"]
    bay = PracticeBay(procedure, 3, 200)
    bay.walk(careless, to="starts").walk()
    [told] = [each for each in summed_up(bay).planted if each.fault == "constant-and-switched"]
    assert (told.caught_at, told.slipped) == ("keeps-memory", "")


def test_what_the_mentor_finds_was_caught_by_the_second_person() -> None:
    procedure = SHIPPED["receiver-swap"]
    bay = PracticeBay(procedure, 3, 200)
    bay.walk(careless, to="polarity-seen").walk()
    [told] = [each for each in summed_up(bay).planted if each.fault == "constant-and-switched"]
    assert told.caught_at == "polarity-seen"


def test_what_was_there_before_and_is_told_after_looks_like_the_works_doing() -> None:
    procedure = SHIPPED["dash-camera-hardwire"]
    bay = PracticeBay(procedure, 3, 200)
    bay.walk(careless, to="functions-after").walk()
    [told] = [each for each in summed_up(bay).planted if each.fault == "dead-speaker"]
    assert (told.caught_at, told.cause, told.put_down_as) == (None, "vehicle", "work")
    assert "where it looks like the work's doing" in told.slipped


ONE_SUM = """\
procedure: one-sum
title: Work one sum
revision: 1
fits: Is there a sum?
hazards: none
tools: none
parts: none
phases:
  - phase: work
    title: Work
    target: 5 min
    steps:
{readings}
      - sum: Work it out.
        id: worked
        of: {sum}
        inputs: {{ {inputs} }}
"""


def one_sum(name: str) -> Procedure:
    """Return a procedure that reads every number of a sum and works it."""
    kind = SUMS[name]
    fields = kind.model.model_fields
    wanted = [each for each in kind.inputs if each.required]
    for way in kind.one_of[:1]:
        wanted += [each for each in kind.inputs if each.name in way and each not in wanted]
    readings, inputs = [], []
    for each in wanted:
        example = str((fields[each.name].examples or ["1"])[0])
        if each.choices:
            inputs.append(f'{each.name}: "{each.choices[0]}"')
            continue
        takes = "number" if each.unit and "," not in example else "words"
        unit = f"\n        unit: {each.unit}" if takes == "number" else ""
        step = each.name.replace("_", "-")
        readings.append(
            f"      - record: Write down {each.name}.\n        id: {step}\n"
            f"        takes: {takes}{unit}"
        )
        inputs.append(f"{each.name}: {{ answer: {step} }}")
    text = ONE_SUM.format(readings="\n".join(readings), sum=name, inputs=", ".join(inputs))
    loaded = load_procedure(text, "one-sum.yaml")
    assert [each for each in check(loaded, SUMS) if each.weight == "error"] == []
    return loaded.procedure


@pytest.mark.parametrize("name", sorted(SUMS))
@pytest.mark.parametrize("seed", range(3))
def test_every_sum_of_the_trade_comes_out_good_on_a_made_up_vehicle(name: str, seed: int) -> None:
    """The sum itself says whether it is good; nothing about it is known to the vehicle."""
    bay = PracticeBay(one_sum(name), seed, 0).walk()
    last = bay.state.track("worked").last
    assert last is not None and last.outcome == "good"


@pytest.mark.parametrize("region", ["us", "itu1", "itu2", "itu3", "japan"])
@pytest.mark.parametrize("seed", range(5))
def test_stations_lie_on_the_grid_of_their_region(region: str, seed: int) -> None:
    """Against the grids of `trade.radio`, whose sources stand there."""
    procedure = SHIPPED["receiver-swap"]
    step, back = procedure.steps["stations-before"], procedure.steps["stations-back"]
    assert isinstance(step, Record) and isinstance(back, Record)
    made = make_vehicle(procedure, seed, 0)
    found = entry_of(made, procedure, step, region)
    assert found and entry_of(made, procedure, back, region) == found
    for station in found:
        band, shown = station.split()
        grid = GRIDS[band.lower(), region]
        khz = Decimal(shown) * (1000 if band == "FM" else 1)
        assert grid.first <= khz <= grid.last
        assert (khz - grid.first) % grid.step == 0


def test_a_new_step_shifts_nothing_that_was_drawn_for_the_others() -> None:
    first = "      - check: The bay is swept."
    record = (
        "      - record: Write the odometer down.\n        id: odometer\n        takes: number\n"
        "        unit: km\n"
    )
    longer = load_procedure(FITTED_TEXT.replace(first, record + first), "fitted.yaml").procedure
    assert list(longer.steps)[-3:] == ["odometer", "swept", "keys"]
    before, after = make_vehicle(FITTED, 3, 0), make_vehicle(longer, 3, 0)
    assert after.facts == before.facts
    assert after.readings.items() > before.readings.items()
    assert (after.vehicle, after.counts, after.marks) == (
        before.vehicle,
        before.counts,
        before.marks,
    )


def spots(bay: PracticeBay) -> list[tuple[Planted, str]]:
    return [(each, spot.step) for each in bay.made.planted for spot in each.spots]


def test_what_was_there_before_shows_on_both_sheets_and_the_work_only_after() -> None:
    bay = PracticeBay(SHIPPED["receiver-swap"], 4, 200)
    before = bay.procedure.steps["marks-before"]
    for each, spot in showing(bay.procedure, bay.state, bay.made.planted, before):
        assert each.cause == "vehicle"
        assert [later.line for later in each.later] == [spot.line]
    shown_before = seen_at(bay.made, bay.procedure, bay.state, before).lines
    after = bay.procedure.steps["marks-after"]
    shown_after = seen_at(bay.made, bay.procedure, bay.state, after).lines
    ours = {
        spot.line
        for each, spot in showing(bay.procedure, bay.state, bay.made.planted, after)
        if each.cause == "work"
    }
    assert ours
    for line, words in shown_before.items():
        assert (shown_after[line] == words) == (line not in ours)


def test_what_was_caught_is_put_right_and_shows_no_more() -> None:
    bay = PracticeBay(SMALL, 2, 200)
    step = SMALL.steps["joins-hold"]
    assert list(showing(SMALL, bay.state, bay.made.planted, step))
    assert seen_at(bay.made, SMALL, bay.state, step).words == ("Not this: Each join holds.",)
    bay.walk()
    assert not list(showing(SMALL, bay.state, bay.made.planted, step))
    assert seen_at(bay.made, SMALL, bay.state, step).words == ("Each join holds.",)


@pytest.mark.parametrize("name", EVERY)
def test_nothing_that_is_seen_gives_the_fault_away(name: str) -> None:
    bay = PracticeBay(EVERY[name], 9, 200)
    for step in bay.procedure.steps.values():
        seen = seen_at(bay.made, bay.procedure, bay.state, step)
        asked = isinstance(step, Inspect)  # a sheet answers in its own words: works, faulty
        for words in seen.words:
            assert words.strip()
            assert asked or "fault" not in words.lower().replace("fault code", "")
        assert (
            set(seen.lines) <= {item.item for item in bay.procedure.items_of(step)}
            or step.verb == "count"
        )


def test_an_honest_walk_looks_at_nothing_and_the_summary_says_so() -> None:
    summary = summed_up(walked("small-receiver", 1, 1))
    assert "rest-voltage" in summary.not_looked
    assert list(summary.not_looked) == [name for name in SMALL.steps if name in summary.not_looked]


def test_whoever_looks_before_each_answer_has_looked_everywhere() -> None:
    looked: set[tuple[str, int]] = set()

    def looking(
        made: MadeUpVehicle, procedure: Procedure, state: State
    ) -> tuple[Action, Person] | None:
        done = truthful(made, procedure, state)
        answers = done is not None and isinstance(done[0], Answer | TickLine)
        step = state.current or ""
        now = step, len(state.track(step).reopened)  # done again, it is looked at again
        if done is None or not answers or now in looked:
            return done
        looked.add(now)
        return LookAt(look_at=step), N1

    bay = PracticeBay(FITTED, 1, 2).walk(looking)
    assert bay.state.status == "closed"
    assert {step for step, _ in looked} == {*bay.state.steps}
    assert summed_up(bay).not_looked == ()


def test_honest_work_that_leads_no_further_stops() -> None:
    """A line that nobody could test before and that is faulty after stays unresolved for ever."""
    procedure = SHIPPED["dash-camera-hardwire"]
    bay = PracticeBay(procedure, 3, 200)
    [dead] = [each for each in bay.made.planted if each.fault == "dead-speaker"]
    [spot] = dead.spots
    bay.walk(to="functions-before")
    bay.do(Acknowledge(acknowledge="functions-before"))
    tick = TickLine(
        tick=spot.step, item=spot.line or "", outcome="could not test", words="no sound"
    )
    bay.do(tick)
    for item in items_that_apply(procedure, bay.state, procedure.steps[spot.step]):
        if item.item != spot.line:
            bay.do(TickLine(tick=spot.step, item=item.item, outcome="works"))
    bay.do(Answer(answer=spot.step))
    bay.walk()
    assert bay.state.status == "open"
    assert "functions-as-before" in gates_holding(procedure, bay.state)


def test_a_summary_is_written_and_read_back() -> None:
    summary = summed_up(walked("small-receiver", 1, 3))
    assert summary.practice is True
    assert PracticeSummary.model_validate_json(summary.model_dump_json()) == summary


def test_the_gates_of_an_honest_walk_are_all_open_at_its_end() -> None:
    bay = walked("receiver-swap", 11, 6)
    for gate in bay.procedure.all_gates.values():
        assert missing(bay.procedure, bay.state, gate) == ()


def test_the_sum_steps_of_the_shipped_procedures_come_out_good() -> None:
    for name, procedure in SHIPPED.items():
        bay = walked(name, 21, 0)
        for step in procedure.steps.values():
            if isinstance(step, Sum) and bay.state.track(step.id).finished:
                assert bay.state.track(step.id).good


def test_a_made_up_vehicle_that_came_back_has_an_earlier_job_and_what_is_planted_came_since() -> (
    None
):
    bays = [PracticeBay(SHIPPED["comeback"], seed, 9).walk() for seed in range(8)]
    pasts = [bay.state.opened.earlier for bay in bays]
    assert all(past is not None and past.left for past in pasts)
    told = [
        fault
        for bay in bays
        for fault in bay.state.faults
        if fault.step == "differences-traced" and fault.cause == "vehicle"
    ]
    assert told
    assert PracticeBay(SHIPPED["receiver-swap"]).state.opened.earlier is None
