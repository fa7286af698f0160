"""A trainee works beside a mentor, and the record says whose eyes were on the job."""

import pytest
from bay import GOOD, N1, S1, SMALL_TEXT, T1, T2, Bay

from baycompanion.job.actions import Answer
from baycompanion.job.draft import Person
from baycompanion.job.hands_actions import HandOver, Resume
from baycompanion.job.mentoring import in_hands, why_no_mentor
from baycompanion.job.shop_lists import ShopLists, refused_by_lists
from baycompanion.job.state import State
from baycompanion.procedure.load import load_procedure

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


MENTORS = "        of: [join, joins-hold]\n"


def bay_with_mentor() -> Bay:
    """Return a job whose second look at the joins is the mentor's."""
    assert MENTORS in SMALL_TEXT
    text = SMALL_TEXT.replace(MENTORS, f"{MENTORS}        by-mentor: yes\n")
    return Bay(load_procedure(text, "small.yaml").procedure).walk("joins-hold")


def test_what_a_mentor_verifies_is_no_step_of_a_job_without_a_trainee() -> None:
    bay = bay_with_mentor()
    bay.do(*GOOD["joins-hold"])
    assert bay.state.current == "cure"
    assert bay.step("second-look") == "not applicable"
    [part] = [part for part in bay.record().steps if part.id == "second-look"]
    assert part.because == "no trainee does this job"


def test_what_a_mentor_verifies_is_verified_by_the_mentor_alone() -> None:
    bay = bay_with_mentor()
    bay.do(HandOver(hand_over="N1", words="w", loose="l", first="f", mentor="T2"))
    bay.do(Resume(resume="all as it was", still_true=("battery-off",), gate_checked=True), who=N1)
    bay.do(*GOOD["joins-hold"], who=N1)
    assert bay.state.current == "second-look"
    passed = Answer(answer="second-look", outcome="passed", words="tugged each")
    refused = bay.refused(passed, S1)
    assert refused.why == "This is for T2, who stands beside N1."
    bay.do(passed, who=T2)
    assert bay.state.current == "cure"
