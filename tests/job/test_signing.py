"""Who sits before a job: signing on, and the wrong PINs that were given."""

from dataclasses import replace

from bay import SMALL, T1, T2, Bay

from baycompanion.job.hands_actions import HandOver, RefusePin, SignOn
from baycompanion.job.record.making import make_record


def test_signing_on_says_who_and_how_they_showed_it() -> None:
    bay = Bay().walk("tools")
    bay.do(SignOn(sign_on="T1"), who=replace(T1, signed="pin"))
    bay.do(SignOn(sign_on="T1"))
    told = make_record(SMALL, bay.state, bay.events).sign_ons
    assert [(each.by, each.role, each.signed) for each in told] == [
        ("T1", "technician", "pin"),
        ("T1", "technician", None),
    ]


def test_a_wrong_pin_is_in_the_record_for_ever_and_changes_nothing_else() -> None:
    bay = Bay().walk("tools")
    before = bay.state
    bay.do(RefusePin(refuse_pin="S1", tries=3))
    told = make_record(SMALL, bay.state, bay.events).wrong_pins
    assert [(each.who, each.tries) for each in told] == [("S1", 3)]
    assert (bay.state.current, bay.state.status) == (before.current, before.status)


def test_whoever_takes_a_job_over_signs_on_to_it_while_it_is_paused() -> None:
    bay = Bay().walk("tools")
    bay.do(HandOver(hand_over="T2", words="end of shift", loose="nothing", first="the tools"))
    bay.do(SignOn(sign_on="T2"), who=replace(T2, signed="pin"))
    assert bay.state.status == "paused"
    assert bay.state.sign_ons[-1].by == "T2"
