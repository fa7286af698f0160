"""Whatever stands in a file: an answer, never an exception but a bad file."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from hypothesis import given
from hypothesis import strategies as st
from yaml_text import as_yaml

from baycompanion.procedure.check import check
from baycompanion.procedure.checks.language import check_language
from baycompanion.procedure.load import load_procedure
from baycompanion.text.problem import BadFile
from baycompanion.text.yaml_nodes import read_yaml
from baycompanion.trade.catalogue import SUMS

WHOLE = (Path(__file__).parent / "whole.yaml").read_text(encoding="utf-8")
SPOTS = 200
"""More than there are values in the procedure."""


def _spots(value: Any) -> Iterator[tuple[Any, Any]]:
    """Yield every list or mapping with each key or position in it."""
    for key in list(value) if isinstance(value, dict) else range(len(value)):
        yield value, key
        if isinstance(value[key], dict | list):
            yield from _spots(value[key])


NAMES = [
    *("tools-out", "ask-camera", "ask-feed", "stations", "battery-off-now", "screws-out", "volts"),
    *(
        "charge",
        "camera-lead",
        "joins-seen",
        "screws-back",
        "sheet-after",
        "before",
        "work",
        "after",
    ),
    *(
        "camera",
        "camera-feed",
        "yes",
        "no",
        "analog",
        "meter",
        "kit",
        "tools",
        "none",
        "nobody",
        "5 min",
    ),
]
CHANGES = st.lists(
    st.tuples(
        st.integers(0, SPOTS),
        st.sampled_from(NAMES)
        | st.just(None)
        | st.text(max_size=5)
        | st.lists(st.sampled_from(NAMES)),
    ),
    max_size=6,
)


@given(CHANGES)
def test_a_procedure_with_values_changed_or_deleted_is_checked_or_refused(
    changes: list[tuple[int, Any]],
) -> None:
    data = read_yaml(WHOLE, "whole.yaml").plain()
    for number, value in changes:
        spots = list(_spots(data))
        container, key = spots[number % len(spots)]
        if value is None:
            del container[key]
        else:
            container[key] = value
        if not data:
            return
    try:
        loaded = load_procedure(as_yaml(data), "any.yaml")
    except BadFile as bad:
        assert all(problem.what and problem.place.file == "any.yaml" for problem in bad.problems)
        return
    for problem in (*check(loaded, SUMS), *check_language(loaded)):
        assert problem.what
        assert problem.instead
        assert problem.place.line > 0


@given(st.text(max_size=60))
def test_any_text_in_place_of_a_sentence_is_read_over_or_refused(text: str) -> None:
    data = read_yaml(WHOLE, "whole.yaml").plain()
    step = data["phases"][1]["steps"][0]
    step["do"] = step["cautions"][0]["avoid"] = text
    step["details"] = [text]
    try:
        check_language(load_procedure(as_yaml(data), "any.yaml"))
    except BadFile as bad:
        assert bad.problems
