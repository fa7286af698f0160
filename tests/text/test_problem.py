"""Problems as they are read: where, what, and what to write instead."""

import pytest

from baycompanion.text.problem import BadFile, Place, Problem, nearest, quoted

HERE = Place("job.yaml", 4, 7)


def test_a_problem_reads_as_file_line_column_and_two_sentences() -> None:
    assert str(Problem(HERE, "“a” is wrong", "Write b")) == "job.yaml:4:7: “a” is wrong. Write b."


def test_a_warning_says_that_it_is_one() -> None:
    assert str(Problem(HERE, "Long.", "Split it", "warning")) == (
        "job.yaml:4:7: warning: Long. Split it."
    )


def test_a_problem_with_nothing_to_offer_ends_after_what_is_wrong() -> None:
    assert str(Problem(HERE, "Wrong", "")) == "job.yaml:4:7: Wrong."


def test_a_bad_file_holds_its_problems_in_the_order_of_the_file() -> None:
    late, early = Problem(HERE, "b", "c"), Problem(Place("job.yaml", 2, 30), "d", "e")
    assert BadFile([late, early]).problems == (early, late)
    assert str(BadFile([late, early])).splitlines() == [str(early), str(late)]


@pytest.mark.parametrize(
    ("word", "known", "sentence"),
    [
        ("chekc", ["do", "check", "measure"], "Did you mean check?"),
        ("xyz", ["do", "check"], "Write one of: do, check."),
        ("xyz", [], ""),
        ("xyz", [f"n{number}" for number in range(13)], "n11, …."),
    ],
)
def test_the_nearest_known_word_is_offered_or_all_are_listed(
    word: str, known: list[str], sentence: str
) -> None:
    assert nearest(word, known).endswith(sentence)


def test_a_long_quotation_is_cut_after_forty_characters() -> None:
    assert quoted("a" * 40) == f"“{'a' * 40}”"
    assert quoted("a" * 41) == f"“{'a' * 40}…”"
