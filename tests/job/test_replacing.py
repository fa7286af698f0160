"""Our quick `replace` against the one of the standard library, over every field there is."""

import dataclasses

import pytest
from bay import Bay

from baycompanion.job.state import replacing, state
from baycompanion.job.state.state import PhaseTime, State, StepTrack

STATE = Bay().walk(None).state
VALUES = [STATE, STATE.track("sound"), *STATE.phases.values(), *STATE.gates.values()]


@pytest.mark.parametrize("value", VALUES)
def test_it_gives_what_the_library_gives_for_every_field(
    value: State | StepTrack | PhaseTime,
) -> None:
    for field in dataclasses.fields(value):
        changes = {field.name: object()}
        assert replacing.replace(value, **changes) == dataclasses.replace(value, **changes)
    assert replacing.replace(value) == value
    assert replacing.replace(value) is not value


def test_the_first_value_stays_as_it_is() -> None:
    head = STATE.head
    assert replacing.replace(STATE, head="another", seq=7).head == "another"
    assert STATE.head == head


def test_a_field_that_is_not_there_is_refused() -> None:
    with pytest.raises(KeyError, match="heads"):
        replacing.replace(STATE, heads="x")


def test_no_kind_of_value_that_is_folded_has_code_of_its_own_for_its_beginning() -> None:
    kinds = [kind for kind in vars(state).values() if isinstance(kind, type)]
    ours = [kind for kind in kinds if dataclasses.is_dataclass(kind)]
    assert len(ours) > 10
    assert not [kind for kind in ours if hasattr(kind, "__post_init__")]
