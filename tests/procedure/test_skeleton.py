"""The first draft of a procedure: whatever is answered, it loads; plain answers pass `check`."""

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from baycompanion.procedure.check import check
from baycompanion.procedure.load import load_procedure
from baycompanion.procedure.skeleton import Wanted, skeleton
from baycompanion.text.clean import clean_line
from baycompanion.trade.catalogue import SUMS

Found = Callable[[str], list[tuple[str, str]]]
PHASES = ("Take the vehicle in", "Fit it", "Hand over")
HAZARD = ("An airbag can go off.", "It hits hands and face.", "Keep out of its path.")
LINES = (
    st.text(min_size=1, max_size=60)
    .map(clean_line)
    .filter(lambda line: bool(line) and "\ufffd" not in line)
)


@pytest.mark.parametrize("phases", [PHASES, PHASES[:2], PHASES[:1], ("Fit it", "Fit it")])
@pytest.mark.parametrize("tools", [(), ("Multimeter", "10 mm wrench")])
@pytest.mark.parametrize("hazard", [None, HAZARD])
def test_a_draft_passes_every_check_without_a_warning(
    phases: tuple[str, ...],
    tools: tuple[str, ...],
    hazard: tuple[str, str, str] | None,
    checked: Found,
    read_over: Found,
) -> None:
    text = skeleton(Wanted("lamp", "Fit a lamp", "Is there room?", phases, tools, hazard=hazard))
    assert checked(text) == []
    assert read_over(text) == []
    assert "#" in text


@given(
    LINES,
    LINES,
    st.lists(LINES, min_size=1, max_size=5),
    st.lists(LINES, max_size=4),
    LINES,
    st.none() | st.tuples(LINES, LINES, LINES),
)
def test_whatever_is_answered_stands_in_the_file_as_it_was_said(
    title: str,
    fits: str,
    phases: list[str],
    tools: list[str],
    proof: str,
    hazard: tuple[str, str, str] | None,
) -> None:
    wanted = Wanted("any", title, fits, tuple(phases), tuple(tools), proof, hazard)
    loaded = load_procedure(skeleton(wanted), "any.yaml")
    found = loaded.procedure
    assert (found.title, found.fits) == (title, fits)
    assert [phase.title for phase in found.phases] == phases
    assert [tool.name for tool in found.tools] == tools
    assert proof in [step.text for step in found.steps.values()]
    assert not [each for each in check(loaded, SUMS) if each.weight == "error"]
    for caution in found.hazards:
        assert (caution.hazard, caution.consequence, caution.avoid) == hazard
