"""Whatever the connectors: each lead ends in one place, and order and colours change nothing."""

from dataclasses import replace
from decimal import Decimal
from itertools import chain

from hypothesis import given
from hypothesis import strategies as st

from baycompanion.trade.copper import Wire
from baycompanion.wiring.caps import read_caps
from baycompanion.wiring.connector import Connector, Lead
from baycompanion.wiring.functions import FUNCTIONS, SIDES
from baycompanion.wiring.model import COLOURS
from baycompanion.wiring.plan import Plan, plan_splices

CAPS = read_caps("small 700-3000, grey 1500-6500")
COMMON = (
    *("constant-feed", "switched-feed", "ground", "antenna-feed", "amplifier-trigger"),
    *("front-left-plus", "front-left-minus"),
)
colours = st.none() | st.sampled_from(COLOURS)


@st.composite
def connectors(draw: st.DrawFn) -> list[Connector]:
    """Return two to four connectors with few functions among them, so that leads meet."""
    words = [*draw(st.permutations(COMMON)), *draw(st.lists(st.sampled_from(list(FUNCTIONS))))]
    sizes = draw(st.lists(st.integers(1, 6), min_size=2, max_size=4))
    names = [f"c{number}/{pin}" for number, size in enumerate(sizes) for pin in range(size)]
    left_over = draw(st.sets(st.sampled_from(names), max_size=2))
    found = []
    for number, size in enumerate(sizes):
        side = SIDES[number % 3] if draw(st.integers(0, 3)) else draw(st.sampled_from(SIDES))
        leads = []
        for pin in range(size):
            word = words[pin] if draw(st.integers(0, 3)) else draw(st.sampled_from(words))
            me = f"c{number}/{pin}"
            others = [name for name in names if name != me and name not in left_over]
            may_join = others and draw(st.integers(0, 6)) == 5
            join = draw(st.sampled_from(others)) if may_join else None
            supplies = FUNCTIONS[word].supplied_by == side
            lead = Lead(
                f"c{number}",
                side,
                str(pin),
                word,
                colour=draw(colours),
                stripe=draw(colours),
                sleeve="yellow" if draw(st.integers(0, 15)) == 9 else None,
                wire=draw(st.none() | st.sampled_from([Wire("18"), Wire(None, Decimal("0.75"))])),
                current_a=draw(st.none() | st.sampled_from([Decimal("0.2"), Decimal(10)])),
                supplies=supplies != (draw(st.integers(0, 9)) == 7),
                bridged=draw(st.none() | st.booleans()),
                grounded=draw(st.integers(0, 15)) == 9,
                join="none" if me in left_over else join,
            )
            leads.append(lead)
        found.append(Connector(f"c{number}", "x", side, "x", tuple(leads)))
    return found


def shape(plan: Plan) -> list[tuple[str, list[str]]]:
    """Return what the plan does with each lead, whatever it says of it."""
    return [
        *((join.id, [lead.name for lead in join.leads]) for join in plan.joins),
        *((each.rule, [lead.name for lead in each.leads]) for each in plan.problems),
        ("left over", [each.lead.name for each in plan.left_over]),
    ]


@given(connectors())
def test_every_lead_is_in_just_one_join_or_left_over_or_a_problem(files: list[Connector]) -> None:
    found = list(chain.from_iterable(names for _, names in shape(plan_splices(files, CAPS))))
    assert sorted(found) == sorted(lead.name for each in files for lead in each.leads)


@given(connectors(), st.randoms(use_true_random=False))
def test_the_order_of_the_files_does_not_matter(files: list[Connector], random: object) -> None:
    mixed = list(files)
    random.shuffle(mixed)  # type: ignore[attr-defined]
    assert plan_splices(mixed, CAPS) == plan_splices(files, CAPS)


@given(connectors(), st.data())
def test_colours_never_change_a_join(files: list[Connector], data: st.DataObject) -> None:
    painted = [
        replace(
            each,
            leads=tuple(
                replace(lead, colour=data.draw(colours), stripe=data.draw(colours))
                for lead in each.leads
            ),
        )
        for each in files
    ]
    assert shape(plan_splices(painted, CAPS)) == shape(plan_splices(files, CAPS))


@given(connectors())
def test_names_are_stable_and_each_is_had_once(files: list[Connector]) -> None:
    plan = plan_splices(files, CAPS)
    names = [join.id for join in plan.joins] + [each.lead.id for each in plan.left_over]
    assert len(names) == len(set(names))
    assert all(name.isascii() and name == name.lower() and len(name) <= 60 for name in names)


@given(connectors())
def test_no_join_holds_an_unknown_lead_or_feeds_and_ground(files: list[Connector]) -> None:
    for join in plan_splices(files, CAPS).joins:
        kinds = {lead.means.kind for lead in join.leads}
        assert "unknown" not in kinds
        assert not {"feed", "ground"} <= kinds
        assert len(join.leads) > 1
