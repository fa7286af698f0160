"""The score interval of a share against published cases and a reference library."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest

from baycompanion.spread.shares import wilson

CONFIDENCES = st.floats(min_value=0.5, max_value=0.999)


@st.composite
def counts(draw: st.DrawFn) -> tuple[int, int]:
    of = draw(st.integers(min_value=1, max_value=5000))
    return draw(st.integers(min_value=0, max_value=of)), of


@pytest.mark.parametrize(
    ("count", "of", "lower", "upper"),
    [
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ],
)
def test_the_interval_is_that_of_the_published_cases(
    count: int, of: int, lower: float, upper: float
) -> None:
    """Newcombe, Statistics in Medicine 17 (1998), 857-872, table I, method 3; from memory."""
    share = wilson(count, of)
    assert (round(share.lower, 4), round(share.upper, 4)) == (lower, upper)


@given(counts(), CONFIDENCES)
def test_the_interval_is_that_of_a_reference_library(
    case: tuple[int, int], confidence: float
) -> None:
    """Source: `binomtest(…).proportion_ci(method="wilson")` of SciPy."""
    share = wilson(*case, confidence)
    expected = binomtest(*case).proportion_ci(confidence_level=confidence, method="wilson")
    assert share.lower == pytest.approx(expected.low, abs=1e-12)
    assert share.upper == pytest.approx(expected.high, abs=1e-12)


@given(counts(), CONFIDENCES)
def test_the_share_seen_lies_inside_its_interval_and_both_inside_0_to_1(
    case: tuple[int, int], confidence: float
) -> None:
    share = wilson(*case, confidence)
    assert 0 <= share.lower <= share.seen <= share.upper <= 1
    assert share.lower < share.upper


@given(counts(), CONFIDENCES)
def test_what_did_not_happen_has_the_mirrored_interval(
    case: tuple[int, int], confidence: float
) -> None:
    count, of = case
    share, other = wilson(count, of, confidence), wilson(of - count, of, confidence)
    assert other.lower == pytest.approx(1 - share.upper, abs=1e-12)


@given(counts())
def test_more_jobs_with_the_same_share_narrow_the_interval(case: tuple[int, int]) -> None:
    count, of = case
    few, many = wilson(count, of), wilson(4 * count, 4 * of)
    assert many.upper - many.lower < few.upper - few.lower


@pytest.mark.parametrize(("count", "of"), [(-1, 5), (6, 5), (0, 0)])
def test_what_is_no_share_is_refused(count: int, of: int) -> None:
    with pytest.raises(ValueError, match=f"{count} of {of} is no share"):
        wilson(count, of)


@pytest.mark.parametrize("confidence", [0.0, 1.0, 95.0, float("nan")])
def test_a_confidence_must_lie_between_0_and_1(confidence: float) -> None:
    with pytest.raises(ValueError, match="between 0 and 1"):
        wilson(1, 5, confidence)
