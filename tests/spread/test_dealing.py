"""Exact chances among things dealt out, against a reference library and Fisher's own example."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import hypergeom

from baycompanion.spread.dealing import at_least_dealt


def test_the_lady_tasting_tea() -> None:
    """Fisher, The Design of Experiments (1935), chapter II: all of 4 in 8 cups, 1 in 70."""
    assert at_least_dealt(4, 4, 4, 8) == 1 / 70
    assert at_least_dealt(3, 4, 4, 8) == 17 / 70


@given(data=st.data(), total=st.integers(1, 400))
def test_the_tail_is_that_of_the_reference_library(data: st.DataObject, total: int) -> None:
    drawn, marked = data.draw(st.integers(0, total)), data.draw(st.integers(0, total))
    count = data.draw(st.integers(0, total))
    expected = float(hypergeom.sf(count - 1, total, marked, drawn))
    assert at_least_dealt(count, drawn, marked, total) == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize(("drawn", "marked"), [(-1, 0), (0, -1), (9, 0), (0, 9)])
def test_what_cannot_be_dealt_is_refused(drawn: int, marked: int) -> None:
    with pytest.raises(ValueError, match="cannot be"):
        at_least_dealt(1, drawn, marked, 8)
