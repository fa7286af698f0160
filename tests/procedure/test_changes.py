"""What two revisions of a procedure say otherwise: each by one change to the whole small one."""

from collections.abc import Callable

import pytest

from baycompanion.procedure.comparing.changes import Changes, changes
from baycompanion.procedure.load import load_procedure

Changed = Callable[[str, str], str]


def between(old: str, new: str) -> Changes:
    return changes(
        load_procedure(old, "old.yaml").procedure, load_procedure(new, "new.yaml").procedure
    )


QUIET = [
    ("A flat battery fails every later test.", "It fails every later test."),
    ("target: 5 min", "target: 6 min"),
    ("title: Before the work", "title: Take-in"),
    ("A closed dash hides what is left in it.", "It hides what is left."),
    ("author: t-07", "author: t-08"),
    (
        "        id: kit-fits\n",
        "        id: kit-fits\n        faults: [{fault: gap, name: A gap}]\n",
    ),
]
LOUD: list[tuple[str, str, set[str], set[str]]] = [
    # what stood there, what stands there now, the steps asked otherwise, the gates
    ("at-most: 12.90", "at-most: 13.00", {"volts"}, set()),
    ("Measure the battery at rest.", "Measure the battery.", {"volts"}, set()),
    ("Take off rings and watches.", "Take off rings.", {"battery-off-now"}, set()),
    ("answers: [analog, digital]", "answers: [analog, digital, none]", {"ask-feed"}, set()),
    ("name: Multimeter", "name: Meter", {"tools-out"}, {"on-bench-for-work"}),
    ("name: M5 screws", "name: M6 screws", {"screws-out", "screws-back"}, set()),
    ("group: Outside", "group: Inside", {"sheet-before", "sheet-after"}, set()),
    ("Match it by function and colour.", "Match it by function.", {"camera-lead"}, set()),
    ("of: battery-off-now", "of: [battery-off-now, kit-fits]", {"joins-seen"}, set()),
]


@pytest.mark.parametrize(("old", "new"), QUIET)
def test_a_word_that_changes_no_work_is_no_change(
    whole: str, changed: Changed, old: str, new: str
) -> None:
    found = between(whole, changed(old, new))
    assert (found.added, found.gone, found.changed, found.gates_changed) == ((), (), (), ())
    assert not found.hazards


@pytest.mark.parametrize(("old", "new", "steps", "gates"), LOUD)
def test_what_is_done_or_answered_otherwise_is_named(
    whole: str, changed: Changed, old: str, new: str, steps: set[str], gates: set[str]
) -> None:
    found = between(whole, changed(old, new))
    assert (set(found.changed), set(found.gates_changed)) == (steps, gates)
    assert (found.added, found.gone, found.gates_added, found.gates_gone) == ((), (), (), ())


def test_steps_that_come_and_go_are_named_on_either_side(whole: str, changed: Changed) -> None:
    new = changed("id: kit-fits", "id: kit-tried")
    found = between(whole, new)
    assert (found.added, found.gone) == (("kit-tried",), ("kit-fits",))
    back = between(new, whole)
    assert (back.added, back.gone) == (("kit-fits",), ("kit-tried",))


GATES = [
    ("      - done: side-screws\n", ""),
    (
        "A closed dash hides what is left in it.\n    override: nobody",
        "A closed dash hides what is left in it.\n    override: supervisor",
    ),
]


@pytest.mark.parametrize(("old", "new"), GATES)
def test_a_gate_that_waits_for_less_or_may_be_overridden_is_named(
    whole: str, changed: Changed, old: str, new: str
) -> None:
    assert len(between(whole, changed(old, new)).gates_changed) == 1


def test_other_hazards_and_another_fit_are_told_apart_from_the_rest(
    whole: str, changed: Changed
) -> None:
    for old, new in (("hits hands and face", "hits hands"), ("the work order?", "the order?")):
        found = between(whole, changed(old, new))
        assert found.hazards
        assert found.changed == ()
