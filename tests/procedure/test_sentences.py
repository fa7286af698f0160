"""Sentences, words and acts, as far as they can be told apart without a dictionary.

The examples are ours; the rule behind them, one instruction in a sentence, is that of simplified
technical English (quoted from memory).
"""

import pytest

from baycompanion.procedure.checks.sentences import act, command, second_act, sentences, words


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("Turn it off. Wait.", ["Turn it off.", "Wait."]),
        ("Is it on? It is!", ["Is it on?", "It is!"]),
        ("Use 2.5 N m. Use a tool, e.g. A.", ["Use 2.5 N m.", "Use a tool, e.g. A."]),
        ("It reads 12.6 V at rest", ["It reads 12.6 V at rest"]),
        ("Say “Stop.” Then stop.", ["Say “Stop.", "Then stop."]),
        ("", []),
    ],
)
def test_a_text_falls_into_its_sentences(text: str, found: list[str]) -> None:
    assert sentences(text) == found


@pytest.mark.parametrize(
    ("sentence", "count"),
    [
        ("Strip 19 mm (3/4 in) off each lead.", 8),
        ("Read 12.60 V – not 12.6.", 5),
        ("Twist, join, cap.", 3),
        ("It’s the owner's hand-over.", 4),
        ("", 0),
    ],
)
def test_words_are_counted_as_a_person_would(sentence: str, count: int) -> None:
    assert len(words(sentence)) == count


@pytest.mark.parametrize(
    ("sentence", "rest"),
    [
        ("If it is hot, wait.", "wait."),
        ("When the key is off, unplug it.", "unplug it."),
        ("Unplug it.", "Unplug it."),
    ],
)
def test_a_condition_that_opens_a_sentence_is_no_part_of_its_command(
    sentence: str, rest: str
) -> None:
    assert command(sentence) == rest


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("Remove both screws.", "remove"),
        ("plug it in", "plug"),
        ("Plug in the lead.", None),
        ("cover on the mat", None),
        ("Nothing is loose.", None),
        ("", None),
    ],
)
def test_a_word_that_may_be_a_thing_is_an_act_only_before_an_object(
    text: str, found: str | None
) -> None:
    assert act(text) == found


@pytest.mark.parametrize(
    ("sentence", "second"),
    [
        ("Remove the clip and cover the socket.", "cover"),
        ("Disconnect the antenna and plug it in.", "plug"),
        ("Turn the key on and read the voltage.", "read"),
        ("Unplug the lead, then lift the receiver.", "lift"),
        ("Count the screws; bag them.", "bag"),
        ("Zero the clamp meter, and lock the vehicle.", "lock"),
        ("Pull the next one and leave the first one out.", "leave"),
        ("Paint the bare edge, then let it dry.", "let"),
        ("Set the supply to 12.8 V, and lower it by 0.1 V.", "lower"),
        ("If the lamp stays lit, remove the fuse and measure the draw.", "measure"),
    ],
)
def test_two_acts_in_a_sentence_are_seen(sentence: str, second: str) -> None:
    assert second_act(sentence) == second


@pytest.mark.parametrize(
    "sentence",
    [
        "Lay the clip and cover on the mat.",
        "Disconnect the antenna and plug.",
        "Remove the bezel and trim.",
        "Press and hold the button.",
        "Hold the bezel and pull it square.",
        "Turn the key while you watch the lamp and count each flash.",
        "Push the plug home until it clicks and release the lever.",
        "Ask the owner to start the engine and open the trunk.",
        "Fold the lead so that it lies flat and cover the end.",
        "Measure between the ring and open ground.",
        "Test the left and right speaker.",
        "Nothing is pinched and no clip is left.",
        "Does the kit fit and cover the opening?",
        "Keep the lead out of the way and cover it.",
        "Set the supply so that it holds 12.8 V and lower it no further.",
        "Lay the signal and turn-on leads on one side.",
    ],
)
def test_one_act_or_two_at_once_or_none_is_left_alone(sentence: str) -> None:
    assert second_act(sentence) is None
