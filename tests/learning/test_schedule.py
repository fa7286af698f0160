"""When a card comes back: against the values that the scheduler's own authors publish."""

import subprocess
import sys
from datetime import UTC, datetime, timedelta, timezone
from itertools import pairwise
from typing import get_args

import pytest
from cards import START, Log, MadeUpCard, changed, deck_of
from hypothesis import given
from hypothesis import strategies as st

from baycompanion.job.events.moment import read_moment, write_moment
from baycompanion.learning.drill.clocks import LONG_AGO, believed
from baycompanion.learning.drill.deck import Kind
from baycompanion.learning.drill.recalls import EARLY, Asked, Rating, is_due
from baycompanion.learning.drill.schedule import (
    NEW_A_DAY,
    Memories,
    Remembered,
    Waiting,
    answered,
    chance,
    drill_standing,
    everything,
    replay,
    waiting,
)

PUBLISHED = datetime(2022, 11, 29, 12, 30, tzinfo=UTC)
"""The moment from which the published examples count."""

RATINGS = st.sampled_from(["again", "hard", "good"])
DAY = timedelta(days=1)


# --- what the scheduler's authors publish -------------------------------------------------------


def test_the_gaps_are_those_of_the_published_example() -> None:
    """Source: github.com/open-spaced-repetition/py-fsrs, tests/test_basic.py, test_review_card."""
    ratings: list[Rating] = [*["good"] * 6, "again", "again", *["good"] * 5]
    log, card, when = Log(), MadeUpCard("lamp/a"), PUBLISHED
    gaps = []
    for rating in ratings:
        due = read_moment(log.say(card, rating, when).data.due)
        gaps.append((due - when).days)
        when = due
    assert gaps == [0, 2, 11, 46, 163, 498, 0, 0, 2, 4, 7, 12, 21]


def test_the_memory_is_that_of_the_published_example() -> None:
    """Source: the same file, test_memo_state; the same values in fsrs-rs, src/inference.rs."""
    known, when = None, PUBLISHED
    ratings: list[Rating] = ["again", "good", "good", "good", "good", "good"]
    for rating, days in zip(ratings, [0, 0, 1, 3, 8, 21], strict=True):
        when += timedelta(days=days)
        known = answered(known, "a", rating, when)
    assert known is not None
    assert known.memory.stability == pytest.approx(53.62691, abs=1e-4)
    assert known.memory.difficulty == pytest.approx(6.3574867, abs=1e-4)


@pytest.mark.parametrize(
    ("rating", "stability", "difficulty", "minutes"),
    [
        ("again", 0.212, 6.4133, 1),
        ("hard", 1.2931, 5.1121707, 5.5),
        ("good", 2.3065, 2.118104, 10),
        ("easy", 8.2956, 1.0, 8 * 24 * 60),
    ],
)
def test_a_first_answer_leaves_what_is_published(
    rating: Rating, stability: float, difficulty: float, minutes: float
) -> None:
    """Source: the states of a new card in the example of fsrs-rs, src/inference.rs.

    The minutes: py-fsrs, tests/test_basic.py, test_good_learning_steps and those beside it.
    """
    known = answered(None, "a", rating, PUBLISHED)
    assert known.memory.stability == pytest.approx(stability, abs=1e-4)
    assert known.memory.difficulty == pytest.approx(difficulty, abs=1e-4)
    assert known.due - PUBLISHED == timedelta(minutes=minutes)


@pytest.mark.parametrize("days", [1, 5, 40, 365])
def test_the_chance_to_recall_is_nine_in_ten_after_the_days_of_stability(
    days: int,
) -> None:
    """Source: what the authors of FSRS define stability by; it is one on the day of the answer."""
    from fsrs import Card, State

    memory = Card(0, State.Review, None, float(days), 5.0, PUBLISHED + DAY, PUBLISHED)
    known = Remembered(memory, "a", PUBLISHED, 1, "good")
    assert chance(known, PUBLISHED) == 1
    assert chance(known, PUBLISHED + days * DAY) == pytest.approx(0.9, abs=1e-9)


# --- weak ones come back at growing gaps (Kang 2014) --------------------------------------------


@given(st.lists(RATINGS, min_size=1, max_size=8))
def test_after_a_wrong_answer_a_card_comes_within_minutes_and_then_at_growing_gaps(
    before: list[Rating],
) -> None:
    known, when = None, START
    for rating in [*before, "again"]:
        known = answered(known, "a", rating, when)
        when = known.due
    assert known is not None and known.due - known.last <= timedelta(minutes=10)
    gaps = []
    for _ in range(12):
        known = answered(known, "a", "good", known.due)
        gaps.append(known.due - known.last)
    assert all(one <= other for one, other in pairwise(gaps))
    assert gaps[-1] > 3 * gaps[2]


def test_a_hint_makes_a_shorter_gap_than_none_and_a_longer_one_than_a_wrong_answer() -> None:
    known = answered(None, "a", "good", START)
    known = answered(known, "a", "good", known.due)
    gaps = [
        answered(known, "a", rating, known.due).due - known.due
        for rating in ("again", "hard", "good")
    ]
    assert gaps[0] < gaps[1] < gaps[2]


# --- the log and its replay ---------------------------------------------------------------------

MOVES = st.lists(
    st.tuples(st.integers(0, 4), RATINGS, st.integers(0, 40 * 24 * 60)), min_size=1, max_size=30
)
"""Which card, how it went, and how many minutes after the answer before."""


def played(moves: list[tuple[int, Rating, int]]) -> Log:
    log, when = Log(), START
    for number, rating, minutes in moves:
        when += timedelta(minutes=minutes)
        log.say(MadeUpCard(f"lamp/{number}"), rating, when)
    return log


@given(MOVES)
def test_a_replay_gives_the_same_twice_and_what_the_log_says(
    moves: list[tuple[int, Rating, int]],
) -> None:
    log = played(moves)
    now = read_moment(log.events[-1].at)
    memories = replay(log.events, now)
    assert memories == replay(log.events, now)
    newest = {event.data.card: event.data.due for event in log.events}
    assert {name: write_moment(known.due) for name, known in memories.by_name.items()} == newest


@given(MOVES, st.integers(0, 400 * 24 * 60))
def test_what_the_board_counts_is_what_the_replay_says(
    moves: list[tuple[int, Rating, int]], later: int
) -> None:
    log = played(moves)
    now = read_moment(log.events[-1].at) + timedelta(minutes=later)
    newest = {event.data.card: event for event in log.events}
    by_log = {
        name
        for name, event in newest.items()
        if is_due(read_moment(event.data.due), read_moment(event.at), now)
    }
    deck = deck_of(*sorted(newest))
    memories = replay(log.events, now)
    assert {card.name for card in waiting(deck, memories, now).due} == by_log


def test_a_card_may_be_asked_in_the_morning_of_its_day_and_counts_as_asked_at_its_hour() -> None:
    afternoon = START + timedelta(hours=7)
    known = answered(answered(None, "a", "good", afternoon), "a", "good", afternoon + EARLY / 72)
    morning = known.due - timedelta(hours=7)
    assert is_due(known.due, known.last, morning)
    assert not is_due(known.due, known.last, morning - timedelta(hours=6))
    assert answered(known, "a", "good", morning) == answered(known, "a", "good", known.due)


def test_what_comes_back_in_minutes_is_not_due_before_them() -> None:
    known = answered(None, "a", "again", START)
    assert not is_due(known.due, known.last, START + timedelta(seconds=59))
    assert is_due(known.due, known.last, START + timedelta(seconds=60))


# --- clocks -------------------------------------------------------------------------------------


MOMENTS = st.datetimes(timezones=st.just(UTC))


@given(st.lists(MOMENTS, max_size=40), MOMENTS)
def test_whatever_the_clock_said_time_goes_on_and_never_beyond_now(
    moments: list[datetime], now: datetime
) -> None:
    times = believed(moments, now)
    assert len(times) == len(moments)
    assert all(one <= other for one, other in pairwise([*times, now]))
    assert set(times) <= {*moments, min(LONG_AGO, now)}


@given(st.lists(MOMENTS, max_size=40))
def test_a_clock_that_was_right_is_believed(moments: list[datetime]) -> None:
    assert believed(sorted(moments), datetime.max.replace(tzinfo=UTC)) == sorted(moments)


@pytest.mark.parametrize("year", [1970, 2025, 2040])
def test_a_clock_that_was_wrong_once_moves_no_other_card(year: int) -> None:
    card, other = MadeUpCard("lamp/a"), MadeUpCard("lamp/b")
    log, when = Log(), START
    for _ in range(4):
        log.say(card, "good", when)
        when += 3 * DAY
    right = replay(log.events, when).by_name["lamp/a"]
    log.answer(other, "good", when, when.replace(year=year))
    memories = replay(log.events, when + DAY)
    assert memories.by_name["lamp/a"] == right
    assert memories.by_name["lamp/b"].last == right.last, "with the line before it"
    assert waiting(deck_of("lamp/b"), memories, when + DAY).due
    log.say(other, "good", when + DAY)
    assert replay(log.events, when + DAY).by_name["lamp/b"].last == when + DAY


def test_a_clock_set_back_for_good_asks_too_early_and_never_not_at_all() -> None:
    card = MadeUpCard("lamp/a")
    log = Log()
    log.say(card, "good", START)
    log.say(card, "good", START + timedelta(minutes=10))
    back = START - 400 * DAY
    assert waiting(deck_of("lamp/a"), replay(log.events, back), back).due


def test_the_zone_of_the_clock_makes_no_difference() -> None:
    far = timezone(timedelta(hours=13))
    assert answered(None, "a", "good", START.astimezone(far)) == answered(None, "a", "good", START)


# --- what is asked now --------------------------------------------------------------------------

TWENTY = tuple(f"lamp/{number:02}" for number in range(20))


def test_new_cards_come_in_the_order_of_the_procedure_so_many_a_day() -> None:
    deck, log = deck_of(*TWENTY), Log()
    assert [card.name for card in waiting(deck, Memories(), START).new] == list(TWENTY[:NEW_A_DAY])
    for number in range(4):
        log.say(deck.cards[number], "good", START)
    left = waiting(deck, replay(log.events, START), START).new
    assert [card.name for card in left] == list(TWENTY[4:NEW_A_DAY])
    tomorrow = START + DAY
    left = waiting(deck, replay(log.events, tomorrow), tomorrow).new
    assert [card.name for card in left] == list(TWENTY[4 : 4 + NEW_A_DAY])


def test_a_day_begins_where_the_shop_is() -> None:
    west = timezone(timedelta(hours=-8))
    evening = datetime(2026, 3, 2, 17, 30, tzinfo=west)  # the next day by UTC
    deck, log = deck_of(*TWENTY), Log()
    for number in range(NEW_A_DAY):
        log.say(deck.cards[number], "good", evening - timedelta(hours=2))
    assert waiting(deck, replay(log.events, evening), evening).new == ()


@given(st.sets(st.integers(0, 19), max_size=20), st.sets(st.integers(0, 19), max_size=20))
def test_a_new_revision_brings_back_the_changed_cards_and_no_other(
    answers: set[int], changes: set[int]
) -> None:
    deck, log = deck_of(*TWENTY), Log()
    for number in sorted(answers):
        log.say(deck.cards[number], "good", START)
        log.say(deck.cards[number], "good", START + timedelta(minutes=10))
    now = START + timedelta(minutes=20)
    newer = deck_of()
    newer = type(newer)(
        tuple(changed(card, "b") if n in changes else card for n, card in enumerate(deck.cards))
    )
    memories = replay(log.events, now)
    assert waiting(deck, memories, now).due == ()
    due = waiting(newer, memories, now).due
    assert {card.name for card in due} == {TWENTY[n] for n in answers & changes}
    for card in due:
        log.say(card, "good", now)
    assert waiting(newer, replay(log.events, now), now).due == ()


def test_what_changed_is_asked_first_then_what_was_due_first() -> None:
    deck, log = deck_of("lamp/a", "lamp/b", "lamp/c"), Log()
    for number, hours in enumerate((5, 3, 1)):
        log.say(deck.cards[number], "again", START + timedelta(hours=5 - hours))
    newer = type(deck)((*deck.cards[:2], changed(deck.cards[2], "b")))
    now = START + DAY
    due = waiting(newer, replay(log.events, now), now).due
    assert [card.name for card in due] == ["lamp/c", "lamp/a", "lamp/b"]


def test_a_card_that_is_gone_is_not_asked_and_one_phase_can_be_asked_alone() -> None:
    log = Log()
    for name in ("lamp/gone", "lamp/a"):
        log.say(MadeUpCard(name), "again", START)
    now = START + DAY
    memories = replay(log.events, now)
    deck = deck_of("lamp/a", "lamp/b")
    assert [card.name for card in waiting(deck, memories, now).due] == ["lamp/a"]
    assert waiting(deck, memories, now, "test") == type(waiting(deck, memories, now))((), ())
    assert len(everything(deck, memories, "fit").new) == 1


def test_a_question_that_two_procedures_share_is_learnt_once() -> None:
    here, there = MadeUpCard("lamp/a", "same"), MadeUpCard("radio/a", "same")
    log = Log()
    log.say(here, "good", START)
    deck = type(deck_of())((there,))
    memories = replay(log.events, START)
    assert waiting(deck, memories, START) == Waiting((), ())
    now = START + timedelta(minutes=10)
    assert waiting(deck, memories, now).due == (there,)
    log.say(there, "good", now)
    for card in (here, there):
        memories = replay(log.events, now)
        assert waiting(type(deck)((card,)), memories, now) == Waiting((), ())
        assert memories.of(card.name, "same").answers == 2
        standing = drill_standing(type(deck)((card,)), log.events, now)
        assert (standing.seen, standing.answers) == (1, 2)
    changed_there = changed(there, "other")
    deck = type(deck)((here, changed_there))
    assert waiting(deck, memories, now).due == (changed_there,)


# --- how somebody stands ------------------------------------------------------------------------


def test_nobody_who_answered_nothing_has_a_retention() -> None:
    standing = drill_standing(deck_of("lamp/a"), (), START)
    assert (standing.due, standing.new, standing.seen, standing.answers) == (0, 1, 0, 0)
    assert (standing.retention, standing.weakest_gates, standing.last_at) == (None, (), None)


def test_the_standing_counts_what_the_deck_has_and_names_the_weakest_gates() -> None:
    weak, strong = MadeUpCard("lamp/a", gate="proved"), MadeUpCard("lamp/b", gate="dry")
    log = Log()
    log.say(MadeUpCard("lamp/gone", gate="gone"), "good", START)
    for card, rating in ((weak, "again"), (strong, "good"), (strong, "good")):
        log.say(card, rating, START + timedelta(minutes=10 * len(log.events)))
    deck = type(deck_of())((weak, strong, MadeUpCard("lamp/c")))
    now = START + 5 * DAY
    standing = drill_standing(deck, log.events, now)
    assert (standing.due, standing.new, standing.seen, standing.answers) == (2, 1, 2, 3)
    assert [gate for gate, _ in standing.weakest_gates] == ["proved", "dry"]
    assert standing.weakest_gates[0][1] < standing.weakest_gates[1][1] < 1
    mean = sum(each for _, each in standing.weakest_gates) / 2
    assert standing.retention == pytest.approx(mean)
    assert standing.last_at == log.events[-1].at


def test_what_went_wrong_last_is_not_remembered_until_it_is_answered_right() -> None:
    card, log = MadeUpCard("lamp/a"), Log()
    for rating, retention in (("good", 1), ("again", 0), ("hard", 1)):
        log.say(card, rating, START + timedelta(minutes=10 * len(log.events)))
        now = read_moment(log.events[-1].at)
        assert drill_standing(deck_of("lamp/a"), log.events, now).retention == retention


def test_what_a_revision_changed_says_nothing_of_what_is_remembered() -> None:
    card, log = MadeUpCard("lamp/a", gate="proved"), Log()
    log.say(card, "good", START)
    deck = type(deck_of())((changed(card, "b"),))
    standing = drill_standing(deck, log.events, START)
    assert (standing.due, standing.retention, standing.weakest_gates) == (1, None, ())


def test_the_scheduler_is_loaded_only_where_something_is_scheduled() -> None:
    code = (
        "import sys, baycompanion.learning.drill.schedule, baycompanion.store.recalls;"
        "print([name for name in sys.modules if name.split('.')[0] == 'fsrs'])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_the_log_knows_every_kind_of_question_that_a_deck_has() -> None:
    assert get_args(Asked) == get_args(Kind)
