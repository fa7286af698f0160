"""The slips of who writes YAML for the first time: each is told in words, with what to write.

What YAML allows is by the YAML 1.1 specification; the wording is our own.
"""

import pytest

from baycompanion.text.problem import BadFile
from baycompanion.text.yaml_nodes import read_yaml


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("a: 1\n\tb: 2\n", "2:1: a tab stands in front of the text. Write blanks in its place."),
        (
            "title: Change: the battery\n",
            "1:14: the colon here ends no key. "
            "Put a text with a colon in quotes, or begin the key where the others begin.",
        ),
        (
            "a: b\n  c: d\n",
            "2:4: the colon here ends no key. "
            "Put a text with a colon in quotes, or begin the key where the others begin.",
        ),
        (
            "a: b\nc: 'd\ne: f\n",
            "2:4: the quote that begins here is never closed. Close it where the text ends.",
        ),
        ("a: { x: 1\nb: 3\n", "1:4: the { here is never closed. Write } where it ends."),
        ("a: [1, 2\nb: 3\n", "1:4: the [ here is never closed. Write ] where it ends."),
        ("a: { x: 1 y: 2 }\n", "1:12: a comma or a bracket is missing before this. Write it."),
        (
            "steps:\n  - do: x\n    id: y\n   - do: z\n",
            "4:4: this line begins further left or right than those that it belongs to. "
            "Begin it where they begin.",
        ),
        (
            "steps:\n  - do: x\n   id: y\n",
            "3:4: this line begins further left or right than those that it belongs to. "
            "Begin it where they begin.",
        ),
        (
            "a: 'it's'\n",
            "1:8: text follows a quote that is closed. Put the whole text in quotes of one kind.",
        ),
        (
            "a: 1\nkey\nb: 2\n",
            "2:1: this is no key, for it has no colon. Write a colon and a blank after the key.",
        ),
        ("a: @b\n", "1:4: no text begins with @. Put the text in quotes."),
        ("a: *this* one\n", "1:4: no text begins with *. Put the text in quotes."),
        ("a: & more\n", "1:4: no text begins with &. Put the text in quotes."),
        ("a: - 5 V\n", "1:4: no text begins with -. Put the text in quotes."),
        ("a: > 5 V\n", "1:4: no text begins with >. Put the text in quotes."),
        (
            "a: [optional] part\n",
            "1:15: text follows a bracket that is closed. Put the whole text in quotes.",
        ),
        (
            'a: 1\n""b: 2\n',
            "2:3: text follows a quote that is closed. Put the whole text in quotes of one kind.",
        ),
        (
            'a: 1\nb: "open\nc: "d"\n',
            "2:4: the quote that begins here is closed in line 3, and text follows it. "
            "Close it where the text ends.",
        ),
        (
            "- do: 'open\n  id: y\n- do: z\n  source: 'none'\n",
            "1:7: the quote that begins here is closed in line 4, and text follows it. "
            "Close it where the text ends.",
        ),
        (
            "steps:\n  - do: x\n  -do: y\n",
            "3:3: a dash that begins an item is a hyphen with a blank after it. Write it so.",
        ),
        (
            "steps:\n  - do: x\n  – do: y\n",
            "3:3: a dash that begins an item is a hyphen with a blank after it. Write it so.",
        ),
        (
            'a: "C:\\data"\n',
            "1:7: a backslash means something else in double quotes. "
            "Write the text in single quotes.",
        ),
    ],
)
def test_a_slip_is_told_in_words_with_its_place(text: str, told: str) -> None:
    place, _, words = told.partition(": ")
    with pytest.raises(BadFile) as refused:
        read_yaml(text, "job.yaml")
    assert str(refused.value) == f"job.yaml:{place}: This is not YAML: {words}"


def test_what_has_no_words_of_ours_is_told_in_those_of_the_parser() -> None:
    with pytest.raises(BadFile, match=r"This is not YAML: .*node content\. Mend the line\."):
        read_yaml("a: ]\n", "job.yaml")
