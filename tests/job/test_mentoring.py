"""A trainee works beside a mentor, and the record says whose eyes were on the job."""

import pytest
from bay import N1, S1, T1, T2, Bay

from baycompanion.job.actions import HandOver
from baycompanion.job.draft import Person
from baycompanion.job.mentoring import in_hands, why_no_mentor
from baycompanion.job.shop_lists import ShopLists, refused_by_lists
from baycompanion.job.state import State

STAFF = {person.id: person for person in (T1, T2, N1, S1)}
ANOTHER = Person("N2", "trainee")


@pytest.mark.parametrize(
    ("who", "mentor", "why"),
    [
        ("N1", "", "N1 is a trainee, and works beside a mentor. Name one."),
        ("N1", "t1", ""),
        ("N1", "S1", ""),
        ("N1", "N2", "N2 cannot be the mentor of N1. Name a technician or a supervisor."),
        ("N1", "N1", "N1 cannot be the mentor of N1. Name a technician or a supervisor."),
        ("N1", "X", "“X” is not on the staff. Known are: T1, T2, N1, S1, N2."),
        ("T1", "", ""),
        ("T1", "T2", ""),
        ("T1", "T1", "T1 cannot be the mentor of T1. Name a technician or a supervisor."),
    ],
)
def test_who_may_stand_beside_whom(who: str, mentor: str, why: str) -> None:
    assert why_no_mentor({**STAFF, "N2": ANOTHER}, who, mentor) == why


def hand(state: State, to: str, mentor: str | None) -> str:
    action = HandOver(hand_over=to, words="w", loose="l", first="f", mentor=mentor)
    refused = refused_by_lists(ShopLists(STAFF, ()), Bay().procedure, state, action)
    return refused.why if refused is not None else ""


def test_a_job_passes_to_a_trainee_only_with_a_mentor_and_the_record_names_them() -> None:
    bay = Bay().walk("tools")
    assert hand(bay.state, "N1", None) == "N1 is a trainee, and works beside a mentor. Name one."
    assert hand(bay.state, "N1", "T2") == ""
    bay.do(HandOver(hand_over="N1", words="w", loose="l", first="f", mentor="T2"))
    record = bay.record()
    assert (record.technician, record.mentor) == ("N1", "T2")
    assert in_hands(record.technician, record.mentor) == "N1 with T2"


def test_the_mentor_goes_with_the_trainee() -> None:
    bay = Bay().walk("tools")
    bay.do(HandOver(hand_over="N1", words="w", loose="l", first="f", mentor="T2"))
    bay.do(HandOver(hand_over="T2", words="w", loose="l", first="f"), who=S1)
    assert bay.record().mentor is None
