"""When guidance fades, by table and property: levels, rows, what a step says, which lines stay."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from trained_shop import PROCEDURE

from baycompanion.learning.fading import (
    Done,
    Level,
    content_of,
    level_after,
    times_in_a_row,
)
from baycompanion.learning.short_text import FIRST_WORDS, first_words, never_fades, shortened
from baycompanion.procedure.load import load_procedure
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Step
from baycompanion.store.settings import FADE_AFTER
from baycompanion.store.staff.staff import MOST_TIMES

SHORTER: dict[Level, int] = {"full": 0, "first words": 1, "sentence": 2}


def procedure(was: str = "", now: str = "") -> Procedure:
    assert was in PROCEDURE
    return load_procedure(PROCEDURE.replace(was, now) if was else PROCEDURE, "m.yaml").procedure


MIRROR = procedure()
LAID = MIRROR.steps["lead-laid"]
SAME, OTHER = "same", "other"
DONE = st.sampled_from([None, Done(SAME, True), Done(SAME, False), Done(OTHER, True)])


def past(*done: Done | None) -> list[dict[str, Done]]:
    return [{} if each is None else {"lead-laid": each} for each in done]


@pytest.mark.parametrize(
    ("times", "after", "level"),
    [
        (0, 3, "full"),
        (2, 3, "full"),
        (3, 3, "first words"),
        (5, 3, "first words"),
        (6, 3, "sentence"),
        (60, 3, "sentence"),
        (1, 1, "first words"),
        (2, 1, "sentence"),
        (98, 99, "full"),
        (197, 99, "first words"),
        (198, 99, "sentence"),
        (0, 0, "full"),
        (1000, 0, "full"),
    ],
)
def test_a_level_comes_at_the_number_and_at_twice_the_number(
    times: int, after: int, level: Level
) -> None:
    assert level_after(times, after) == level


RIGHT, WRONG, ELSE = Done(SAME, True), Done(SAME, False), Done(OTHER, True)


@pytest.mark.parametrize(
    ("done", "times"),
    [
        ((), 0),
        ((RIGHT, RIGHT, RIGHT), 3),
        ((RIGHT, WRONG, RIGHT, RIGHT), 1),
        ((WRONG, RIGHT, RIGHT, RIGHT), 0),
        ((RIGHT, None, RIGHT), 2),
        ((None, None), 0),
        ((RIGHT, RIGHT, ELSE, RIGHT), 2),
        ((ELSE, RIGHT), 0),
    ],
)
def test_a_row_ends_with_an_error_and_with_another_wording(
    done: tuple[Done | None, ...], times: int
) -> None:
    assert times_in_a_row(SAME, "lead-laid", past(*done)) == times
    assert times_in_a_row(SAME, "volts", past(*done)) == 0


@given(st.lists(DONE, max_size=20), st.integers(0, MOST_TIMES))
def test_after_an_error_a_step_is_never_shorter_than_before_it(
    done: list[Done | None], after: int
) -> None:
    """Requirement 69: help is reversed on errors."""
    before = level_after(times_in_a_row(SAME, "lead-laid", past(*done)), after)
    with_error = times_in_a_row(SAME, "lead-laid", past(WRONG, *done))
    assert with_error == 0
    assert SHORTER[level_after(with_error, after)] <= SHORTER[before]
    assert level_after(with_error, after) == "full"


@given(st.integers(0, 300), st.integers(0, MOST_TIMES))
def test_more_times_right_never_bring_text_back(times: int, after: int) -> None:
    assert SHORTER[level_after(times, after)] <= SHORTER[level_after(times + 1, after)]


def test_the_default_is_one_that_a_shop_may_write() -> None:
    assert 1 <= FADE_AFTER <= MOST_TIMES


@pytest.mark.parametrize(
    ("was", "now", "same"),
    [
        ("target: 5 min\n        photo", "target: 9 min\n        photo", True),
        ("        photo: wanted\n", "        photo: required\n", True),
        ("back-to: lead-laid", "back-to: volts", True),
        ("revision: 1", "revision: 2", True),
        ("Push the lead in", "Press the lead in", False),
        ("Tape it down.", "Tape it.", False),
        ("brings back.", "returns.", False),
        ("avoid: Stay in front of it.", "avoid: Stay below it.", False),
        ("warning: The curtain", "danger: The curtain", False),
        ("Lay the lead along", "Lead the lead along", False),
        ("name: Trim tool", "name: Flat trim tool", False),
        ("name: Multimeter", "name: Meter", True),
    ],
)
def test_a_step_is_the_same_as_long_as_it_says_the_same(was: str, now: str, same: bool) -> None:
    changed = procedure(was, now)
    now_said = content_of(changed, changed.steps["lead-laid"])
    assert (now_said == content_of(MIRROR, LAID)) is same


def test_a_changed_line_of_a_list_is_a_changed_step() -> None:
    changed = procedure("name: Multimeter", "name: Meter")
    staged = "tools-staged"
    assert content_of(changed, changed.steps[staged]) != content_of(MIRROR, MIRROR.steps[staged])


@pytest.mark.parametrize(
    "line",
    [
        "Stay 20 mm clear of the seam.",
        "Stay two fingers clear of the seam.",
        "Turn it ½ round.",
        "Give its size in mm.",
        "Hand tight and no tighter.",
        "Never pull at a connector.",
        "Don't lean on it.",
        "Do NOT lean on it.",
        "Wait until the vehicle sleeps.",
        "Keep off the sensor.",
        "Listen for the click!",
        "CAUTION, the edge is sharp.",
        "The edge cuts; wear gloves.",
        "Tighten to the torque of the maker.",
        "Push it behind the headliner.",  # a word of the step's own caution
        "A curtain hangs there.",
    ],
)
@pytest.mark.parametrize("level", SHORTER)
def test_what_may_be_a_caution_or_a_limit_stays_whole(line: str, level: Level) -> None:
    """Requirement 70: cautions, gates, limits and readings never fade."""
    assert shortened(line, LAID, level) == line


@pytest.mark.parametrize(
    ("line", "first"),
    [
        ("Push the lead in with the flat of the tool.", "Push the lead in…"),
        ("Tape it down.", "Tape it down."),
        ("Tape it down well, too.", "Tape it down well, too."),
        ("Tape the lead down, end to end.", "Tape the lead down…"),
    ],
)
def test_any_other_line_becomes_its_first_words_and_then_nothing(line: str, first: str) -> None:
    assert shortened(line, LAID, "full") == line
    assert shortened(line, LAID, "first words") == first
    assert shortened(line, LAID, "sentence") == ""


def test_the_unit_of_a_reading_stays_in_its_own_case() -> None:
    volts = MIRROR.steps["volts"]
    assert never_fades("Read V as it settles and write it down.", volts)
    assert not never_fades("Read the v shaped notch as it settles.", volts)
    assert not never_fades("Read V as it settles and write it down.", LAID)


@given(st.text(min_size=1, max_size=200), st.sampled_from(list(MIRROR.steps.values())))
def test_a_line_never_grows_and_one_with_a_digit_never_shrinks(line: str, step: Step) -> None:
    whole, first, bare = (shortened(line, step, level) for level in SHORTER)
    assert whole == line
    assert first == line or len(first.split()) == FIRST_WORDS
    assert bare in ("", line)
    if any(letter.isdigit() for letter in line):
        assert first == bare == line
    assert first_words(first_words(line)) == first_words(line)
