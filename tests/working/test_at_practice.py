"""A practice at work: what is asked before it is shown, told after a look, and run into."""

import contextlib
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from bay import GOOD, SMALL
from practised import Practised, carefully, carelessly, practice_shop, seed_with

from baycompanion.job.events.kinds import Abandoned, GateHeld
from baycompanion.job.events.practice_kinds import Looked, NextSaid, RanInto
from baycompanion.job.practice_actions import TakeUp
from baycompanion.learning.practice.vehicle import make_vehicle
from baycompanion.learning.practice.what_next import asks_next
from baycompanion.store.practice import list_practice
from baycompanion.store.shop import Shop
from baycompanion.views.card.card import Card, Deed
from baycompanion.views.card.place import phase_line
from baycompanion.views.practice.end import end_pieces

Practise = Callable[..., Practised]


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return practice_shop(tmp_path / "shop")


@pytest.fixture
def practise(shop: Shop) -> Iterator[Practise]:
    """Return what opens a practice; all of them are left in the end."""
    with contextlib.ExitStack() as given_back:

        def begin(seed: int = 1, faults: int = 0, phase: str | None = None) -> Practised:
            practised = Practised(shop, seed, faults, phase)
            given_back.callback(practised.leave)
            return practised

        yield begin


def words(card: Card) -> str:
    """Return everything that is read on `card`."""
    return "\n".join([card.heading, card.title, *(piece.words for piece in card.pieces)])


class TestWhatComesNext:
    """It is asked at junctions, and told with its reason after the attempt."""

    def test_the_first_step_of_a_phase_is_asked_before_it_is_shown(
        self, practise: Practise
    ) -> None:
        practised = practise()
        practised.walk(carelessly, to="rest-voltage")
        card = practised.work.card
        assert card.kind == "next" and card.step is None
        assert practised.work.hides_order
        assert "rest-voltage" in {row.name for row in card.rows}
        assert 3 <= len(card.rows) <= 6
        assert SMALL.steps["rest-voltage"].text not in words(card)

    def test_the_right_one_is_told_with_why_it_sits_there(self, practise: Practise) -> None:
        practised = practise()
        practised.walk(carelessly, to="reserve")
        practised.say_next()
        told = practised.work.card
        assert told.title == SMALL.steps["reserve"].text
        assert "Right." in words(told)
        assert "Gate reserve-before-dash waits for it: An airbag can fire" in words(told)
        practised.press("1")
        assert practised.work.card.kind == "step"

    def test_a_wrong_one_names_the_gate_what_it_waits_for_and_its_because(
        self, practise: Practise
    ) -> None:
        practised = practise()
        practised.walk(carelessly, to="reserve")
        practised.say_next("out")
        told = words(practised.work.card)
        assert "You said: Count the fasteners out. It does not come now." in told
        assert "Gate reserve-before-dash is shut before it" in told
        assert "An airbag can fire while its reserve is charged." in told
        reserve = SMALL.number["reserve"]
        assert f"It waits for: {reserve}. Let the airbag reserve run down. Not answered" in told
        assert not practised.events(NextSaid)[-1].data.right  # type: ignore[attr-defined]

    def test_one_that_could_be_done_as_well_is_not_called_the_wrong_one(
        self, practise: Practise
    ) -> None:
        practised = practise()
        practised.walk(carelessly, to="gauges")
        practised.say_next("join")
        told = practised.work.card
        assert "It could be done now as well." in words(told)
        assert not any("right one" in key.label for key in told.keys)

    def test_the_only_step_that_is_left_is_not_asked_for(self, practise: Practise) -> None:
        last = list(SMALL.steps.values())[-1]
        seed = next(seed for seed in range(1, 99) if asks_next(SMALL, seed, last))
        practised = practise(seed)
        practised.walk(carefully, to=last.id)
        assert (practised.work.card.kind, practised.work.card.step) == ("step", last.id)

    def test_it_can_be_done_in_that_order_all_the_same_and_goes_back(
        self, practise: Practise
    ) -> None:
        practised = practise()
        practised.walk(carelessly, to="reserve")
        practised.say_next("out")
        practised.press("2")
        assert practised.work.card.step == "out"
        for action in GOOD["out"]:
            practised.do(Deed(action))
        assert practised.work.card.step == "reserve"
        assert practised.work.card.kind == "step", "each step is asked once"

    def test_an_attempt_stays_told_when_the_practice_is_opened_again(
        self, practise: Practise
    ) -> None:
        practised = practise()
        practised.walk(carelessly, to="reserve")
        practised.say_next("out")
        again = practised.open_again()
        assert again.card.kind == "told"


class TestLooking:
    """What is there is told only to whoever looks."""

    def test_a_reading_is_told_after_the_look_and_not_before(self, practise: Practise) -> None:
        practised = practise()
        practised.walk(carelessly, to="rest-voltage")
        while practised.pass_by():
            pass
        assert "Measure it: F12" in words(practised.work.card)
        assert "Multimeter:" not in words(practised.work.card)
        look = practised.work.look
        assert isinstance(look, Deed)
        practised.do(look)
        assert "Multimeter: 12." in words(practised.work.card)
        assert [event.data.step for event in practised.events(Looked)] == ["rest-voltage"]  # type: ignore[attr-defined]

    def test_of_a_list_each_line_says_what_is_there(self, practise: Practise) -> None:
        practised = practise()
        practised.walk(carelessly, to="out")
        while practised.pass_by():
            pass
        before = [row.text for row in practised.work.card.rows]
        look = practised.work.look
        assert isinstance(look, Deed)
        practised.do(look)
        counts = make_vehicle(SMALL, 1, 0).counts["out"]
        rows = practised.work.card.rows
        assert [row.text for row in rows] == [
            f"{text} – {counts[row.name]}" for text, row in zip(before, rows, strict=True)
        ]
        assert "Each line says what is there." in words(practised.work.card)

    def test_nothing_is_looked_at_while_it_is_asked_what_comes(self, practise: Practise) -> None:
        practised = practise()
        practised.walk(carelessly, to="rest-voltage")
        assert practised.work.look == "First say what comes next."
        practised.say_next()
        assert practised.work.look == "First go on to a step."

    def test_no_photo_is_asked_for_where_nothing_is_there_to_be_pictured(
        self, practise: Practise
    ) -> None:
        practised = practise()
        practised.walk(carelessly, to="join")
        practised.pass_by()
        assert SMALL.steps["join"].photo == "required"
        while practised.work.card.kind == "caution":
            practised.press("1")
        look = practised.work.look_card(SMALL.steps["join"])
        for card in (practised.work.card, look):
            assert card.kind in ("step", "look") and card.title == SMALL.steps["join"].text
            assert "Photo" not in words(card)

    def test_a_second_try_wants_a_second_look(self, practise: Practise) -> None:
        practised = practise(seed_with("sound"), 1)
        practised.walk(carelessly, to="sound")
        while practised.pass_by():
            pass
        look = practised.work.look
        assert isinstance(look, Deed)
        practised.do(look)
        [seen] = practised.work.seen
        assert seen != SMALL.steps["sound"].text
        assert seen in words(practised.work.card)
        practised.press("2")
        practised.work.again = True
        assert "Try it: F12" in words(practised.work.card)


class TestTheMentor:
    """The second person is made up, and needs no PIN."""

    def test_what_they_find_comes_by_one_key(self, practise: Practise) -> None:
        practised = practise()
        practised.walk(carelessly, to="second-look")
        while practised.pass_by():
            pass
        practised.press("1")
        track = practised.work.job.state.track("second-look")
        assert track.good and track.attempts[-1].by == "practice-mentor"

    def test_they_find_what_was_planted_there_and_nobody_saw(self, practise: Practise) -> None:
        seed = next(seed for seed in range(1, 500) if "second-look" in _planted_steps(seed))
        practised = practise(seed, 1)
        practised.walk(carelessly, to="second-look")
        while practised.pass_by():
            pass
        practised.press("1")
        assert practised.work.job.state.track("second-look").unsettled


def _planted_steps(seed: int) -> tuple[str, ...]:
    return tuple(step for each in make_vehicle(SMALL, seed, 1).planted for step in each.steps)


class TestTime:
    """A wait may run out at once, and the clock of a practice never goes back."""

    def test_a_wait_runs_out_by_a_key(self, practise: Practise) -> None:
        practised = practise()
        practised.walk(carelessly, to="cure")
        while practised.work.card.kind in ("next", "told"):
            practised.pass_by()
        assert "10:00 to go" in words(practised.work.card)
        before = practised.work.now()
        practised.press("3")
        assert (practised.work.now() - before).total_seconds() >= 600
        practised.press("1")
        assert practised.work.job.state.track("cure").good

    def test_opened_again_it_goes_on_from_its_newest_event(self, practise: Practise) -> None:
        practised = practise()
        practised.walk(carelessly, to="reconnect")
        left_at = practised.work.now()
        assert practised.clock() < left_at
        again = practised.open_again()
        assert again.now() >= left_at
        assert "clock-back" not in {event.kind for event in again.job.events}

    def test_time_away_is_not_asked_about(self, practise: Practise) -> None:
        practised = practise()
        practised.walk(carelessly, to="odometer")
        practised.clock.move(90_000)
        again = practised.open_again()
        assert again.job.state.gap is None
        assert not again.notice_sleep()


class TestOutOfOrder:
    """Any step that is looked at can be taken up, and the card says first what it runs into."""

    def test_the_look_card_explains_and_takes_up(self, practise: Practise) -> None:
        practised = practise()
        practised.walk(carelessly, to="odometer")
        while practised.pass_by():
            pass
        card = practised.work.look_card(SMALL.steps["promised"])
        assert "Done now, it would run into this:" not in words(card)
        card = practised.work.look_card(SMALL.steps["route"])
        assert "Gate sound-before-refit is shut before it" in words(card)
        [take_up] = [key.does for key in card.keys if key.label == "Do this one now"]
        assert take_up == Deed(TakeUp(take_up="route"))
        practised.do(take_up)
        assert practised.events(RanInto)
        assert practised.work.card.step == "route"
        line = phase_line(SMALL, practised.work.job.state, practised.clock())
        assert line.startswith(f"Step {SMALL.number['route']} of 33 · ")

    def test_a_step_that_rests_on_another_says_so_and_is_not_offered(
        self, practise: Practise
    ) -> None:
        practised = practise()
        practised.walk(carelessly, to="odometer")
        card = practised.work.look_card(SMALL.steps["stations-back"])
        assert "It cannot be answered yet. First: Write the stations down" in words(card)
        assert "Do this one now" not in {key.label for key in card.keys}

    def test_what_is_not_protected_says_by_which_step_it_would_be(self, practise: Practise) -> None:
        practised = practise()
        practised.walk(carelessly, to="odometer")
        told = words(practised.work.look_card(SMALL.steps["join"]))
        assert "Not in force now: The battery stays off." in told
        assert f"It begins with step {SMALL.number['disconnect']}: Disconnect" in told

    def test_a_finished_step_is_not_offered(self, practise: Practise) -> None:
        practised = practise()
        practised.walk(carelessly, to="odometer")
        card = practised.work.look_card(SMALL.steps["tools"])
        assert "Do this one now" not in {key.label for key in card.keys}


class TestTheEnd:
    """What was caught, what slipped, and which check would have caught it."""

    def test_whoever_looks_catches_it(self, practise: Practise) -> None:
        practised = practise(seed_with("sound"), 1)
        practised.walk(carefully)
        card = practised.work.card
        assert card.title == "1 of 1 planted fault caught."
        assert f"At step {SMALL.number['sound']}. Every speaker sounds." in words(card)
        assert "without a look" not in words(card)

    def test_whoever_does_not_look_lets_it_slip_and_hears_which_check(
        self, practise: Practise
    ) -> None:
        practised = practise(seed_with("sound"), 1)
        practised.walk(carelessly)
        card = practised.work.card
        assert card.title == "0 of 1 planted fault caught."
        told = words(card)
        assert "“Every speaker sounds.” was answered passed, without a look." in told
        assert f"Would have caught it: step {SMALL.number['sound']}." in told
        assert "answered without a look:" in told

    def test_a_vehicle_that_was_mistaken_is_told(self, practise: Practise) -> None:
        seed = next(n for n in range(1, 50) if make_vehicle(SMALL, n, 0).facts["camera"] == "rear")
        practised = practise(seed)
        practised.walk(carelessly)  # who says that there is no camera
        told = words(practised.work.card)
        assert "The vehicle was mistaken: Camera was answered none, and is rear." in told
        honest = practise(seed)
        honest.walk(carefully)
        assert "mistaken" not in words(honest.work.card)

    def test_next_steps_and_gates_are_told(self, practise: Practise) -> None:
        practised = practise()
        practised.walk(carelessly, to="reserve")
        practised.say_next("out")
        practised.walk(carelessly)
        told = words(practised.work.card)
        said = practised.events(NextSaid)
        assert f"said right {len(said) - 1} of {len(said)} times" in told
        assert "Ran into gate reserve-before-dash" in told

    def test_what_was_run_into_again_is_told_once_with_how_often(
        self, practise: Practise, shop: Shop
    ) -> None:
        practised = practise()
        practised.walk(carelessly, to="reserve")
        practised.say_next("out")
        practised.walk(carelessly)
        [summary] = list_practice(shop.folder, "N1")
        later = [each.model_copy(update={"missing": ()}) for each in summary.ran_into]
        again = summary.model_copy(update={"ran_into": (*summary.ran_into, *later)})
        once, twice = (
            [piece.words for piece in end_pieces(SMALL, each, ()) if "Ran into" in piece.words]
            for each in (summary, again)
        )
        [line] = [line for line in once if "reserve-before-dash" in line]
        assert len(twice) == len(once)
        assert line.replace("dash with", "dash 2 times with") in twice

    def test_it_leaves_no_record_and_stays_readable(self, practise: Practise, shop: Shop) -> None:
        practised = practise(seed_with("sound"), 1)
        practised.walk(carelessly)
        names = {path.name for path in practised.folder.iterdir()}
        assert "practice.json" in names
        assert not names & {"record.json", "handover.html"}
        assert not list(shop.jobs.iterdir())
        [summary] = list_practice(shop.folder, "N1")
        assert summary.planted[0].caught_at is None


class TestOnePhaseAlone:
    """What lies before the phase is done by the program, and the walk ends with the phase."""

    def test_it_begins_at_the_phase_and_ends_with_it(self, practise: Practise) -> None:
        practised = practise(phase="bench")
        state = practised.work.job.state
        assert state.phase == "bench" and state.current == "gauges"
        assert state.track("disconnect").good
        assert not practised.events(NextSaid)
        practised.walk(carefully)
        assert practised.work.job.ended
        assert practised.events(Abandoned)
        assert not practised.work.job.state.track("route").finished
        assert "“Bench” alone has ended." in words(practised.work.card)

    def test_opened_again_nothing_is_done_for_the_trainee(self, practise: Practise) -> None:
        practised = practise(phase="bench")
        practised.walk(carelessly, to="join")
        events = len(practised.work.job.events)
        again = practised.open_again()
        assert len(again.job.events) == events

    def test_what_the_program_answered_is_not_held_against_the_trainee(
        self, practise: Practise, shop: Shop
    ) -> None:
        practised = practise(phase="bench")
        practised.walk(carefully)
        [summary] = list_practice(shop.folder, "N1")
        assert summary.phase == "bench"
        assert not {"rest-voltage", "before", "out"} & set(summary.not_looked)


def test_a_trainee_with_a_pin_is_asked_for_none(practise: Practise, shop: Shop) -> None:
    assert shop.members["N1"].pin is not None
    practised = practise()
    assert not practised.work.seat.locked
    practised.walk(carelessly, to="odometer")


def test_a_shut_gate_says_who_may_sign_in_practice(practise: Practise) -> None:
    practised = practise()
    practised.walk(carelessly, to="sound")
    while practised.pass_by():
        pass
    practised.press("3")  # not fitted: finished, and the gate stays shut
    with pytest.raises(HeldAtGate):
        practised.walk(carelessly_until_held)
    assert practised.events(GateHeld)
    assert [piece.words for piece in practised.work.card.pieces] == [
        "A supervisor may override it.",
        "In practice, practice-mentor may sign what a supervisor may.",
        "It opens when this is settled:",  # the list follows
    ]


def carelessly_until_held(practised: Practised) -> None:
    if practised.work.card.kind == "gate":
        raise HeldAtGate
    carelessly(practised)


class HeldAtGate(Exception):
    """The walk came to the gate that the test looks at."""
