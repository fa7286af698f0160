"""The first field that differs is named; what is only missing gives way to anything else."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from baycompanion.audit.chains.difference import Difference, first_difference

DOCUMENTS = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(),
    lambda part: st.lists(part) | st.dictionaries(st.text(), part),
)


@given(DOCUMENTS, DOCUMENTS)
def test_there_is_a_difference_just_where_two_documents_are_not_the_same(
    one: Any, other: Any
) -> None:
    same = repr(_sorted(one)) == repr(_sorted(other))
    assert (first_difference(one, other) is None) == same


def _sorted(value: Any) -> Any:
    if isinstance(value, dict):
        return sorted((name, _sorted(each)) for name, each in value.items()), "object"
    return [_sorted(each) for each in value] if isinstance(value, list) else value


MADE = {"a": 1, "b": [{"c": "x"}, {"c": "y"}], "d": {"e": None}}


@pytest.mark.parametrize(
    ("told", "field", "how"),
    [
        ({**MADE, "a": 2}, "a", "other"),
        ({**MADE, "a": True}, "a", "other"),
        ({**MADE, "b": [{"c": "x"}, {"c": "z"}]}, "b.2.c", "other"),
        ({**MADE, "b": [{"c": "x"}]}, "b.2", "other"),
        ({**MADE, "b": [*MADE["b"], {}]}, "b.3", "other"),  # type: ignore[misc]
        ({**MADE, "d": {"e": None, "f": 1}}, "d.f", "extra"),
        ({"a": 1, "b": MADE["b"]}, "d", "missing"),
        ({"a": 1, "b": [{}, {"c": "y"}], "d": {"e": None}}, "b.1.c", "missing"),
        ({"a": 1, "d": {"e": 7}}, "d.e", "other"),
        ({"a": 1, "b": MADE["b"], "d": {}}, "d.e", "empty"),
        ({"b": MADE["b"], "d": {}}, "a", "missing"),
        ({"d": {}, "b": [{}, {"c": "y"}], "a": 1}, "b.1.c", "missing"),
        ([], "", "other"),
    ],
)
def test_the_field_is_named(told: Any, field: str, how: Any) -> None:
    assert first_difference(told, MADE) == Difference(field, how)
