"""What a model refuses, as one sentence at its place for each thing."""

from decimal import Decimal
from typing import Annotated, Literal

import pytest
from pydantic import AfterValidator, Field

from baycompanion.text.problem import BadFile, Place
from baycompanion.text.to_model import (
    MOST_PROBLEMS,
    Written,
    begun_by,
    either,
    first_key,
    keys_of,
    place_of,
    to_model,
    written,
    wrong,
)
from baycompanion.text.yaml_nodes import read_yaml


def _no_nine(number: int) -> int:
    if number == 9:
        raise wrong("Nine is not had here", "Write eight")
    return number


def _no_x(text: str) -> str:
    if text == "x":
        raise ValueError("x is no name. Write a longer one")
    return text


class Lamp(Written):
    """A thing begun by `lamp`."""

    lamp: str
    watts: Annotated[int, Field(ge=1, le=99), AfterValidator(_no_nine)] = 5


class Horn(Written):
    """A thing begun by `horn`."""

    horn: str
    loud: bool = False


class Sheet(Written):
    """A file of such things."""

    title: Annotated[str, AfterValidator(_no_x)]
    side_of_car: Literal["left", "right"] = "left"
    lamps_and_horns: list[begun_by("thing", (Lamp, Horn))] = []  # type: ignore[valid-type]  # noqa: RUF012
    volts: dict[str, Decimal] = {}  # noqa: RUF012
    seats: either(list[int], Literal["all", "none"]) = "all"  # type: ignore[valid-type]


def problems(text: str) -> list[str]:
    with pytest.raises(BadFile) as caught:
        to_model(Sheet, read_yaml(text, "s.yaml"))
    return [str(problem) for problem in caught.value.problems]


def test_a_file_that_fits_gives_its_model() -> None:
    text = (
        "title: A\nside-of-car: right\nlamps-and-horns:\n  - horn: B\n    loud: yes\nseats: [1, 2]"
    )
    sheet = to_model(Sheet, read_yaml(text, "s.yaml"))
    assert sheet == Sheet.model_validate(
        {
            "title": "A",
            "side-of-car": "right",
            "lamps-and-horns": [Horn(horn="B", loud=True)],
            "seats": [1, 2],
        }
    )


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("side-of-car: left", "s.yaml:1:1: “title” is missing. Write title: and its value."),
        ("title: [a]", "s.yaml:1:1: “title” cannot be a list. Write one piece of text."),
        ("title: {a: b}", "s.yaml:1:1: “title” cannot be a set of names. Write one piece of text."),
        ("title: x", "s.yaml:1:8: x is no name. Write a longer one."),
        ("title: A\ntitel: B", "s.yaml:2:1: “titel” is not known here. Did you mean title?"),
        (
            "title: A\nqqqq: B",
            "s.yaml:2:1: “qqqq” is not known here. Delete it or check its indentation.",
        ),
        (
            "title: A\nwatts: 5",
            "s.yaml:2:1: “watts” does not belong here. Delete it, or give it an item of its own.",
        ),
        (
            "title: A\n<<: B",
            "s.yaml:2:1: “<<” is not known here. Delete it or check its indentation.",
        ),
        (
            "title: A\nside-of-car: lft",
            "s.yaml:2:14: “side-of-car” cannot be “lft”. Did you mean left?",
        ),
        (
            "title: A\nlamps-and-horns: a",
            "s.yaml:2:18: “lamps-and-horns” cannot be “a”. Write a list, each item after a dash.",
        ),
        (
            "title: A\nlamps-and-horns: [{lmp: a}]",
            "s.yaml:2:19: “lmp” begins no thing. Did you mean lamp?",
        ),
        (
            "title: A\nlamps-and-horns:\n  - {}",
            "s.yaml:3:5: This thing is begun by no word known here. Begin it with lamp, horn.",
        ),
        (
            "title: A\nlamps-and-horns:\n  - a",
            "s.yaml:3:5: This thing is begun by no word known here. Begin it with lamp, horn.",
        ),
        (
            "title: A\nlamps-and-horns:\n  - horn: B\n    loud: maybe",
            "s.yaml:4:11: “loud” cannot be “maybe”. Write yes or no.",
        ),
        (
            "title: A\nlamps-and-horns:\n  - lamp: B\n    watts: 5 W",
            "s.yaml:4:12: “watts” cannot be “5 W”. Write a whole number.",
        ),
        (
            "title: A\nlamps-and-horns:\n  - lamp: B\n    watts: 0",
            "s.yaml:4:12: “watts” cannot be “0”. Write 1 or more.",
        ),
        (
            "title: A\nlamps-and-horns:\n  - lamp: B\n    watts: 100",
            "s.yaml:4:12: “watts” cannot be “100”. Write 99 or less.",
        ),
        (
            "title: A\nlamps-and-horns:\n  - lamp: B\n    watts: 9",
            "s.yaml:4:12: Nine is not had here. Write eight.",
        ),
        (
            "title: A\nlamps-and-horns:\n  - lamp: B\n    horn: C",
            "s.yaml:4:5: “horn” does not belong here. Delete it, or give it an item of its own.",
        ),
        ("title: A\nvolts: {a: b}", "s.yaml:2:12: “a” cannot be “b”. Write a number."),
        ("title: A\nvolts: [a]", "s.yaml:2:1: “volts” cannot be a list. Write names with values."),
        ("title: A\nseats: al", "s.yaml:2:8: “seats” cannot be “al”. Did you mean all?"),
        ("title: A\nseats: [1, b]", "s.yaml:2:12: This item cannot be “b”. Write a whole number."),
        (
            "title: A\nseats: {a: b}",
            "s.yaml:2:1: “seats” cannot be a set of names. Write a list, each item after a dash.",
        ),
        ("- a", "s.yaml:1:1: The file cannot be a list. Write names with values."),
        (f"title: {'y' * 50}\nside-of-car: {'z' * 50}", "cannot be “" + "z" * 40 + "…”"),
    ],
)
def test_each_misfit_gives_one_sentence_at_its_place(text: str, told: str) -> None:
    found = problems(text)
    assert len(found) == 1
    assert told in found[0]


def test_an_unknown_key_is_held_against_the_keys_of_its_own_place_alone() -> None:
    lamp = problems("title: A\nlamps-and-horns:\n  - lamp: B\n    wats: 5\n")
    assert lamp == ["s.yaml:4:5: “wats” is not known here. Did you mean watts?"]
    horn = problems("title: A\nlamps-and-horns:\n  - horn: B\n    wats: 5\n")
    assert horn == ["s.yaml:4:5: “wats” is not known here. Delete it or check its indentation."]


def test_every_misfit_of_a_file_is_told_at_once_in_order() -> None:
    text = "side-of-car: up\nlamps-and-horns:\n  - lmp: B\n  - lamp: C\n    watts: many\n"
    assert [told.split(" ")[0] for told in problems(text)] == [
        "s.yaml:1:1:",
        "s.yaml:1:14:",
        "s.yaml:3:5:",
        "s.yaml:5:12:",
    ]


def test_a_place_is_found_by_keys_and_positions_and_is_the_nearest_there_is() -> None:
    node = read_yaml("a:\n  - b: [c, d]\n", "s.yaml")
    assert place_of(node, ["a", 0, "b", 1]) == Place("s.yaml", 2, 12)
    assert place_of(node, ["a", 0, "b"]) == Place("s.yaml", 2, 5)
    assert place_of(node, ["a", 7, "x"]) == Place("s.yaml", 1, 1)


def test_keys_are_written_with_hyphens_and_the_first_begins_a_model() -> None:
    assert (written("side_of_car"), written("all_")) == ("side-of-car", "all")
    assert first_key(Lamp) == "lamp"
    assert set(keys_of(Sheet)) >= {"title", "side-of-car", "lamp", "watts", "horn", "loud"}


def test_a_file_of_junk_is_told_the_first_problems_and_how_many_more_there_are() -> None:
    lines = "\n".join(f"key-{number}: x" for number in range(MOST_PROBLEMS + 7))
    with pytest.raises(BadFile) as refused:
        to_model(Written, read_yaml(lines, "junk.yaml"))
    assert len(refused.value.problems) == MOST_PROBLEMS + 1
    assert "7 more problems are not listed" in str(refused.value)
