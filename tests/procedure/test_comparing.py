"""Two procedures compared: each way mirrors the other, and a file against itself says nothing."""

from collections.abc import Callable
from typing import Any

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from test_any_procedure import CHANGES, WHOLE, _spots
from yaml_text import as_yaml

from baycompanion.procedure.check import check
from baycompanion.procedure.comparing.comparing import Comparison, compare, in_one_order
from baycompanion.procedure.load import load_procedure
from baycompanion.procedure.model import Procedure
from baycompanion.text.problem import BadFile
from baycompanion.text.yaml_nodes import read_yaml
from baycompanion.trade.catalogue import SUMS
from baycompanion.views.procedure.comparing import SHOUT, comparison_lines

Changed = Callable[[str, str], str]
FIRST = load_procedure(WHOLE, "whole.yaml").procedure


def between(old: str, new: str) -> Comparison:
    return compare(
        load_procedure(old, "old.yaml").procedure, load_procedure(new, "new.yaml").procedure
    )


@st.composite
def near(draw: st.DrawFn) -> Procedure:
    """Return the small procedure with steps moved, left out or doubled, and values changed."""
    data = read_yaml(WHOLE, "whole.yaml").plain()
    for phase in draw(st.lists(st.sampled_from(data["phases"]), max_size=2)):
        phase["steps"] = draw(st.permutations(phase["steps"]))
    data["phases"] = draw(st.permutations(data["phases"]))
    for number, value in draw(CHANGES):
        spots = list(_spots(data))
        container, key = spots[number % len(spots)]
        if value is None:
            del container[key]
        else:
            container[key] = value
    try:
        loaded = load_procedure(as_yaml(data), "n.yaml")
    except BadFile:
        loaded = load_procedure(WHOLE, "n.yaml")
    names = [step.id for phase in loaded.procedure.phases for step in phase.steps]
    assume(len(set(names)) == len(names))
    references = [each for each in check(loaded, SUMS) if "Did you mean" in each.instead]
    assume(not any("condition" in each.what for each in references))
    try:
        compare(loaded.procedure, loaded.procedure)
    except KeyError:  # a name in it leads nowhere: the command refuses such a file
        assert any(each.weight == "error" for each in check(loaded, SUMS))
        assume(False)
    return loaded.procedure


def mirrored(found: Comparison) -> Any:
    """Return what `found` says, as the comparison the other way round should say it."""
    return (
        [(each.about, each.now, each.was) for each in found.whole],
        [
            (
                section.kind,
                set(section.gone),
                set(section.added),
                set(section.moved),
                {
                    each.name: {(one.about, one.now, one.was) for one in each.differences}
                    for each in section.changed
                },
            )
            for section in found.sections
        ],
    )


def as_said(found: Comparison) -> Any:
    """Return what `found` says, without the order of names."""
    return (
        [(each.about, each.was, each.now) for each in found.whole],
        [
            (
                section.kind,
                set(section.added),
                set(section.gone),
                set(section.moved),
                {
                    each.name: {(one.about, one.was, one.now) for one in each.differences}
                    for each in section.changed
                },
            )
            for section in found.sections
        ],
    )


@settings(suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much])
@given(near(), near())
def test_either_way_mirrors_the_other(one: Procedure, other: Procedure) -> None:
    there, back = compare(one, other), compare(other, one)
    assert as_said(there) == mirrored(back)
    assert comparison_lines(one, other, there)


@settings(suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much])
@given(near())
def test_a_procedure_against_itself_says_nothing(only: Procedure) -> None:
    found = compare(only, only)
    assert found.empty
    assert comparison_lines(only, only, found)[-1] == "Nothing is different."


@given(st.permutations("abcdefg"), st.permutations("abcdefg"))
def test_what_stayed_in_order_is_the_same_either_way_and_in_order(
    one: list[str], other: list[str]
) -> None:
    kept = in_one_order(one, other)
    assert kept == in_one_order(other, one)
    for order in (one, other):
        assert sorted(kept, key=order.index) == list(kept)


@given(st.permutations("abcdefgh"), st.integers(0, 7), st.integers(0, 7))
def test_one_name_that_is_put_elsewhere_is_the_only_one_moved(
    names: list[str], taken: int, put: int
) -> None:
    other = [*names]
    other.insert(put, other.pop(taken))
    assert len(in_one_order(names, other)) >= len(names) - 1


def test_a_changed_limit_is_told_with_what_stood_there(whole: str, changed: Changed) -> None:
    found = between(whole, changed("at-most: 12.90", "at-most: 13.00"))
    [section] = found.sections
    [step] = section.changed
    assert (section.kind, step.name) == ("steps", "volts")
    [difference] = step.differences
    assert (difference.about, difference.was, difference.now) == ("at most", ("12.90",), ("13.00",))


def test_of_a_list_only_the_lines_that_differ_are_told(whole: str, changed: Changed) -> None:
    found = between(whole, changed("name: M5 screws", "name: M6 screws"))
    [section] = found.sections
    assert [each.name for each in section.changed] == ["screws-out"]
    [difference] = section.changed[0].differences
    assert "M5 screws" in difference.was[0]
    assert "M6 screws" in difference.now[0]


def test_a_step_in_another_phase_has_moved_and_one_in_a_renamed_phase_has_not(
    whole: str, changed: Changed
) -> None:
    renamed = between(whole, whole.replace("phase: after", "phase: later"))
    assert {section.kind: section.moved for section in renamed.sections}["phases"] == ()
    assert "steps" not in {section.kind for section in renamed.sections if section.moved}
    line = "      - record: Write down the date on the battery.\n"
    rest = whole.split(line)[1].split("  - phase")[0]
    moved = between(
        whole,
        whole.replace(line + rest, "").replace(
            "      - do: Disconnect the battery.\n",
            f"{line}{rest}      - do: Disconnect the battery.\n",
        ),
    )
    [section] = moved.sections
    assert (section.kind, section.moved) == ("steps", ("battery-date",))


def test_a_weaker_gate_stands_above_everything_else(whole: str, changed: Changed) -> None:
    new = changed("      - done: side-screws\n", "")
    old_one, new_one = (load_procedure(text, "w.yaml").procedure for text in (whole, new))
    lines = comparison_lines(old_one, new_one, compare(old_one, new_one))
    assert lines[2] == "GATES THAT ARE EASIER TO GET PAST THAN BEFORE:"
    assert lines[3].startswith(f"  {SHOUT} ")
    assert "Start the side screws by hand" in lines[3]
