"""Words of the sheet that have a shape of their own."""

from dataclasses import replace

import pytest
from bay import SMALL, SMALL_HASH
from paper import read
from printed import WHEN

from baycompanion.sheets.page import draw
from baycompanion.sheets.paper import form_of_procedure
from baycompanion.sheets.words import numbers


@pytest.mark.parametrize(
    ("steps", "words"),
    [
        ([4], "step 4"),
        ([4, 5], "steps 4-5"),
        ([4, 6], "steps 4, 6"),
        ([1, 2, 3, 7, 9, 10], "steps 1-3, 7, 9-10"),
    ],
)
def test_step_numbers_in_a_row_are_drawn_together(steps: list[int], words: str) -> None:
    assert numbers(steps) == words


def test_a_text_that_came_past_the_door_is_cleaned_when_it_is_drawn() -> None:
    """Every door cleans; the sheet, which leaves the shop, does not rely on it."""
    form = replace(form_of_procedure(SMALL, SMALL_HASH, WHEN), title="a\x1b[2J\u202eb")
    assert read(draw(form)).one("h1").text == "a\ufffd[2J\ufffdb paper form"
