"""The register of borrowed circuits: what is tapped, spliced and grounded, and the load it adds."""

from decimal import Decimal

import pytest
from bay import SMALL_TEXT, T1, T2, Bay
from jsonschema import Draft202012Validator

from baycompanion.job.actions import (
    Answer,
    Borrow,
    GiveBack,
    Reopen,
)
from baycompanion.job.events.event import seal
from baycompanion.job.events.kinds import CircuitBorrowed
from baycompanion.job.record.whole import JobRecord
from baycompanion.job.state.loads import Load, loads
from baycompanion.procedure.load import load_procedure


def tap(circuit: str, load: str | None, fuse: str | None = None, method: str = "tap") -> Borrow:
    return Borrow.model_validate(
        {"borrow": circuit, "place": "fuse box", "method": method}
        | {"load-a": load, "fuse-a": fuse}
    )


def test_every_tap_splice_and_ground_stands_in_the_record_with_place_and_person() -> None:
    bay = Bay().walk("route")
    bay.do(tap("rear wiper", "0.6", "15"))
    bay.do(tap("body ground", None, method="ground"))
    bay.do(tap("reverse lamp", "0.02", method="splice"))
    record = bay.record()
    assert [
        (each.number, each.circuit, each.method, each.fuse_a, each.load_a, each.step, each.by)
        for each in record.circuits
    ] == [
        (1, "rear wiper", "tap", "15", "0.6", "route", "T1"),
        (2, "body ground", "ground", None, None, "route", "T1"),
        (3, "reverse lamp", "splice", None, "0.02", "route", "T1"),
    ]
    Draft202012Validator(JobRecord.model_json_schema(mode="serialization")).validate(
        record.model_dump(mode="json")
    )


def test_the_load_of_a_circuit_is_summed_against_the_smallest_fuse_written_down_for_it() -> None:
    """0.6 + 5.4 + 9.5 = 15.5 A, worked by hand; the fuse blows, so it counts as over."""
    bay = Bay().walk("route")
    bay.do(tap("Rear wiper", "0.6", "15"), tap("rear WIPER", "5.4", "20"))
    assert [str(load) for load in loads(bay.state)] == [
        "Rear wiper: 6.0 A added, within its fuse of 15 A"
    ]
    bay.do(tap("rear wiper", "9.5"))
    [load] = loads(bay.state)
    assert (load.added_a, load.fuse_a, load.over) == (Decimal("15.5"), Decimal(15), True)
    assert bay.record().loads[0].over is True


@pytest.mark.parametrize(
    ("added", "fuse", "over"), [("15", "15", False), ("15.01", "15", True), ("99", None, False)]
)
def test_a_load_is_over_only_above_a_fuse_that_is_known(
    added: str, fuse: str | None, over: bool
) -> None:
    load = Load("x", Decimal(added), Decimal(fuse) if fuse else None)
    assert load.over is over


def test_a_ground_adds_no_load_and_a_circuit_given_back_adds_none_any_more() -> None:
    """Older journals hold grounds with a load, which is refused by now."""
    bay = Bay().walk("route")
    ground = CircuitBorrowed(
        number=1, circuit="body ground", place="left sill", method="ground", load_a="9"
    )
    bay.events.append(seal(ground, T1.id, bay.now, bay.state.seq + 1, bay.state.head))
    bay = Bay(now=bay.now, events=bay.events)
    bay.do(tap("dome lamp", "1", "10"))
    assert [load.circuit for load in loads(bay.state)] == ["dome lamp"]
    bay.do(GiveBack(give_back=2, words="tap out, fuse back"))
    assert loads(bay.state) == ()
    given_back = bay.record().circuits[1]
    assert (given_back.given_back_by, given_back.given_back_words) == ("T1", "tap out, fuse back")
    assert bay.refused(GiveBack(give_back=2, words="again")).why.endswith("Borrowed are: 1.")


REFUSED = [
    (tap("body ground", "9", method="ground"), "A ground lies behind no fuse, and adds no load."),
    (tap("body ground", None, "10", method="ground"), "A ground lies behind no fuse"),
    (tap("dome lamp", None), "How much load does it add?"),
    (tap("dome lamp", "-1"), "A load of -1 A cannot be."),
    (tap("dome lamp", "1", "501"), "A fuse of 501 A cannot be."),
]


@pytest.mark.parametrize(("action", "why"), REFUSED)
def test_a_circuit_is_written_down_whole_or_not_at_all(action: Borrow, why: str) -> None:
    assert bay_at_route().refused(action).why.startswith(why)


def bay_at_route() -> Bay:
    return Bay().walk("route")


def test_only_the_technician_writes_in_the_register() -> None:
    bay_at_route().refused(tap("dome lamp", "1"), T2)


TAPPING = load_procedure(
    SMALL_TEXT.replace("        id: route\n", "        id: route\n        borrows: tap\n"),
    "taps.yaml",
).procedure


def test_a_step_that_taps_is_finished_once_the_register_has_the_tap() -> None:
    bay = Bay(TAPPING).walk("route")
    done = Answer(answer="route")
    assert "register has none of it yet" in bay.refused(done).why
    bay.do(tap("body ground", None, method="ground"))
    bay.refused(done)
    bay.do(tap("dome lamp", "1", "10"), done)
    assert bay.step("route") == "done"


def test_a_tap_written_down_before_a_step_was_reopened_is_written_down_again() -> None:
    bay = Bay(TAPPING).walk("route")
    bay.do(tap("dome lamp", "1"), Answer(answer="route"))
    bay.do(Reopen(reopen="route", reason="wrong socket"))
    bay.refused(Answer(answer="route"))
    bay.do(tap("cigar lighter", "1"), Answer(answer="route"))
    assert bay.step("route") == "done"


def test_a_step_not_done_taps_nothing() -> None:
    bay = Bay(TAPPING).walk("route")
    bay.do(Answer(answer="route", outcome="not done", words="owner changed their mind"))
    assert bay.step("route") == "done with deviation"
