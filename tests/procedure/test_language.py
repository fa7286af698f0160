"""Wording: each warning by one change to a procedure without any, and what must not be warned of.

The limits of 20 and 25 words are those of simplified technical English (quoted from memory).
"""

from collections.abc import Callable

import pytest

Changed = Callable[[str, str], str]
Found = Callable[[str], list[tuple[str, str]]]

SCREWS = "Start the side screws by hand."
DETAIL = "Match it by function and colour."
KIT = "Does the dash kit fit the opening?"
WHY = "Nobody sees a join again."
AVOID = "Take off rings and watches."


def test_nothing_is_warned_of_in_a_procedure_that_is_right(whole: str, read_over: Found) -> None:
    assert read_over(whole) == []


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        (SCREWS, f"Start {'every ' * 19}screw.", "This sentence has 21 words: “Start every"),
        (DETAIL, f"Look. Match {'every ' * 19}lead.", "has 21 words: “Match every"),
        (AVOID, f"Keep {'every ' * 19}ring off.", "Write sentences of 20 words or fewer"),
        (WHY, f"{'It ' * 25}bites.", "has 26 words: “It It"),
        (
            "because: A closed",
            f"because: {'It ' * 22}closed",
            "Write sentences of 25 words or fewer",
        ),
        (
            SCREWS,
            "Fit the screws and tighten them by hand.",
            "commands two acts, the second is “tighten”",
        ),
        (DETAIL, "Strip it, then twist the ends.", "commands two acts, the second is “twist”"),
        (SCREWS, "Remove the sleeve if it is in the way.", "The condition comes after the act"),
        (SCREWS, "Push the plug in snugly.", "“snugly” is no amount. Write a number with its unit"),
        (SCREWS, "Start the screws as required.", "“as required” is no amount"),
        (DETAIL, "Use enough tape.", "“enough” is no amount"),
        (SCREWS, "Start the screws tight.", "“tight” is no amount"),
        (DETAIL, "Wait a few minutes.", "“a few minutes” is no amount"),
        (AVOID, "Stay adequately far away.", "“adequately” is no amount"),
        ("name: M5 screws", "name: Sufficient screws", "“Sufficient” is no amount"),
        (
            SCREWS,
            "Slide the head unit in.",
            "“head unit” is a second name for a thing that has one. Write receiver",
        ),
        ("says: The battery stays", "says: The aerial stays", "Write antenna"),
        (
            KIT,
            "Remove the old kit. Is the opening clean?",
            "A check only looks and compares, and this one begins with “remove”",
        ),
        (
            "        why: A kit that does not fit cannot be cut back.\n",
            "",
            "A gate waits for “kit-fits”, which does not say why it matters",
        ),
        (
            AVOID,
            "Wait 10 min before work on the airbag.",
            "Work is hidden in this caution: “Wait 10 min",
        ),
        (
            AVOID,
            "Measure that the plug is dead.",
            "Write it as a step with a tick of its own, before this one",
        ),
        (AVOID, "Cover the plug, then pull the fuse.", "Work is hidden in this caution"),
    ],
)
def test_one_change_gives_one_warning_at_its_line(
    changed: Changed, read_over: Found, old: str, new: str, words: str
) -> None:
    found = read_over(changed(old, new))
    assert len(found) == 1, found
    assert ": warning: " in found[0][1]
    assert words in found[0][1]
    assert (new or "id: kit-fits") in found[0][0]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (SCREWS, f"Start {'every ' * 18}screw."),
        (SCREWS, "Start the screws. Tighten them by hand."),
        (SCREWS, "Tighten the screws hand-tight."),
        (SCREWS, "Push the plug in until it is tight."),
        (DETAIL, "Cut the lead long enough to reach the bracket."),
        (DETAIL, "Say in a few words what is wrong."),
        (DETAIL, "Check if the lamp is lit."),
        (DETAIL, "Cut the sleeve only if the kit says so."),
        (WHY, "A join that is not snug comes apart, and nobody sees it again."),
        (AVOID, "Disconnect the battery by the maker's instructions."),
        (AVOID, "Do not measure across the poles."),
        (AVOID, "Keep hands out of the way."),
        (AVOID, "Hold the wrench away from the frame."),
        (KIT, "Turn the key on. Is every lamp lit?"),
        ("        why: The difference decides.\n", ""),
    ],
)
def test_what_is_said_well_is_not_warned_of(
    changed: Changed, read_over: Found, old: str, new: str
) -> None:
    assert read_over(changed(old, new)) == []


CAUTION = "        cautions:\n          - notice: Paint scratches.\n"
CAUTION += "            consequence: It shows.\n            avoid: Put a cover on it.\n"


def with_cautions(text: str, *steps: str) -> str:
    for number, step in enumerate(steps):
        told = CAUTION.replace("scratches", f"scratches {number}")
        text = text.replace(f"        id: {step}\n", f"        id: {step}\n{told}")
    return text


def test_a_caution_at_more_than_one_step_in_three_is_warned_of(
    whole: str, read_over: Found
) -> None:
    steps = ["volts", "charge", "kit-fits", "camera-lead", "battery-on", "side-screws"]
    assert read_over(with_cautions(whole, *steps[:5])) == []
    found = read_over(with_cautions(whole, *steps))
    assert [line for line, _ in found] == ["phases:"]
    assert "7 of 20 steps carry a caution, more than one in three" in found[0][1]


def test_a_caution_in_the_same_words_at_a_third_step_is_warned_of(
    whole: str, read_over: Found
) -> None:
    text = with_cautions(whole, "volts", "charge").replace("scratches 1", "scratches 0")
    assert read_over(text) == []
    text = with_cautions(whole, "volts", "charge", "kit-fits")
    text = text.replace("scratches 1", "scratches 0").replace("scratches 2", "Scratches 0")
    found = read_over(text)
    assert len(found) == 1
    assert found[0][0] == "- notice: Paint Scratches 0."
    assert "3 steps carry this caution, first in whole.yaml:" in found[0][1]


def test_a_gate_that_waits_for_many_alike_speaks_for_them(
    changed: Changed, read_over: Found
) -> None:
    text = changed("        why: A kit that does not fit cannot be cut back.\n", "")
    more = "passed: kit-fits\n      - done: stations\n"
    assert len(read_over(text)) == 1
    assert read_over(text.replace("passed: kit-fits\n", more)) == []


def test_work_in_a_caution_that_a_step_has_a_tick_for_is_not_hidden(
    changed: Changed, read_over: Found
) -> None:
    text = changed(AVOID, "Insulate the camera lead.")
    assert len(read_over(text)) == 1
    assert read_over(text.replace("Join the camera lead.", "Insulate the camera lead.")) == []
