"""Corrections for many tests against published examples and a reference library."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import false_discovery_control

from baycompanion.spread.many_tests import benjamini_hochberg, holm

P_VALUES = st.lists(st.floats(min_value=0, max_value=1), max_size=60)

# Source: Benjamini and Hochberg, Journal of the Royal Statistical Society B 57 (1995), 289-300,
# the fifteen p-values of the thrombolysis study, as the documentation of SciPy's
# `false_discovery_control` gives them.
FIFTEEN = [
    *(0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344),
    *(0.0459, 0.3240, 0.4262, 0.5719, 0.6528, 0.7590, 1.000),
]


def test_the_false_discovery_rate_keeps_four_of_the_fifteen_and_holm_three() -> None:
    """Four and three are the paper's own counts; of Bonferroni's three, Holm adds none."""
    assert sum(p <= 0.05 for p in benjamini_hochberg(FIFTEEN)) == 4
    assert sum(p <= 0.05 for p in holm(FIFTEEN)) == 3


def test_four_tests_are_stepped_down_as_in_the_worked_example() -> None:
    """Source: Holm-Bonferroni Method, geeksforgeeks.org/data-science, its example of four.

    It rejects the first and the last at 0.05. The corrected values are its steps by hand:
    4 × 0.005, 3 × 0.01, 2 × 0.03, and the largest no smaller than the one before.
    """
    assert holm([0.01, 0.04, 0.03, 0.005]) == pytest.approx([0.03, 0.06, 0.06, 0.02])


@given(P_VALUES.filter(bool))
def test_the_false_discovery_correction_is_that_of_a_reference_library(p: list[float]) -> None:
    assert benjamini_hochberg(p) == pytest.approx(false_discovery_control(p).tolist(), abs=1e-12)


def holm_by_definition(p_values: list[float], rate: float) -> list[bool]:
    """Return what Holm's paper rejects: from the smallest on, until one is too large."""
    order = sorted(range(len(p_values)), key=p_values.__getitem__)
    rejected = [False] * len(p_values)
    for step, at in enumerate(order):
        if p_values[at] * (len(order) - step) > rate:
            break
        rejected[at] = True
    return rejected


@given(P_VALUES, st.floats(min_value=0.001, max_value=0.5))
def test_holm_corrected_values_reject_what_the_definition_rejects(
    p: list[float], rate: float
) -> None:
    assert [corrected <= rate for corrected in holm(p)] == holm_by_definition(p, rate)


@given(P_VALUES)
def test_corrected_values_lie_between_the_p_value_and_1_and_keep_their_order(
    p: list[float],
) -> None:
    for corrected in (holm(p), benjamini_hochberg(p)):
        assert all(before <= after <= 1 for before, after in zip(p, corrected, strict=True))
        by_p = [after for _, after in sorted(zip(p, corrected, strict=True))]
        assert by_p == sorted(by_p)
    assert all(rare >= few for rare, few in zip(holm(p), benjamini_hochberg(p), strict=True))


@given(P_VALUES, st.randoms())
def test_the_order_of_the_tests_makes_no_difference(p: list[float], chance: object) -> None:
    shuffled = list(p)
    chance.shuffle(shuffled)  # type: ignore[attr-defined]
    for correct in (holm, benjamini_hochberg):
        assert sorted(correct(shuffled)) == sorted(correct(p))


@pytest.mark.parametrize("p", [-0.01, 1.01, float("nan")])
def test_what_is_no_p_value_is_refused(p: float) -> None:
    for correct in (holm, benjamini_hochberg):
        with pytest.raises(ValueError, match="is no p-value"):
            correct([0.5, p])
