"""A trainee works beside a mentor, and the record says whose eyes were on the job."""

from dataclasses import replace
from datetime import timedelta

import pytest
from bay import GOOD, N1, S1, SMALL_TEXT, START, T1, T2, Bay

from baycompanion.job.actions import Answer, Reopen
from baycompanion.job.deciding.draft import Person
from baycompanion.job.deciding.mentoring import in_hands, why_no_mentor
from baycompanion.job.deciding.releases import Release
from baycompanion.job.deciding.shop_lists import ShopLists, refused_by_lists, refused_revision
from baycompanion.job.hands_actions import HandOver, Resume
from baycompanion.job.state.state import State
from baycompanion.procedure.load import load_procedure

STAFF = {person.id: person for person in (T1, T2, N1, S1)}
ANOTHER = Person("N2", "trainee")
TODAY = START.date()
WHY = "There is no release for small-receiver."


@pytest.mark.parametrize(
    ("who", "mentor", "why"),
    [
        ("N1", "", f"N1 is a trainee, and works beside a mentor. Name one. {WHY}"),
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
    assert why_no_mentor({**STAFF, "N2": ANOTHER}, who, mentor, WHY) == why


def hand(state: State, to: str, mentor: str | None, *releases: Release) -> str:
    action = HandOver(hand_over=to, words="w", loose="l", first="f", mentor=mentor)
    lists = ShopLists(STAFF, (), {"N1": releases})
    refused = refused_by_lists(lists, Bay().procedure, state, action, TODAY)
    return refused.why if refused is not None else ""


def test_a_job_passes_to_a_trainee_only_with_a_mentor_and_the_record_names_them() -> None:
    bay = Bay().walk("tools")
    alone = f"N1 is a trainee, and works beside a mentor. Name one. {WHY}"
    assert hand(bay.state, "N1", None) == alone
    assert hand(bay.state, "N1", "T2") == ""
    bay.do(HandOver(hand_over="N1", words="w", loose="l", first="f", mentor="T2"))
    record = bay.record()
    assert (record.technician, record.mentor) == ("N1", "T2")
    assert in_hands(record.technician, record.mentor) == "N1 with T2"


def released(revision: int = 3, days: int = 0, procedure: str = "small-receiver") -> Release:
    until = TODAY + timedelta(days=days)
    return Release(procedure=procedure, revision=revision, by="S1", job="job-1", until=until)


def test_a_release_in_force_is_a_job_without_a_mentor_and_one_is_named_all_the_same() -> None:
    state = Bay().walk("tools").state
    assert hand(state, "N1", None, released()) == ""
    assert hand(state, "N1", "T2", released()) == ""
    assert hand(state, "N1", "N2", released()).startswith("“N2” is not on the staff")


@pytest.mark.parametrize(
    ("release", "why"),
    [
        (
            released(days=-1),
            "The release for small-receiver lapsed: its last day was 2026-03-01.",
        ),
        (
            released(revision=4),
            "The release for small-receiver is for revision 4, and this is revision 3.",
        ),
        (released(procedure="lamp"), WHY),
    ],
)
def test_a_release_that_is_not_in_force_asks_for_a_mentor_and_says_why(
    release: Release, why: str
) -> None:
    told = hand(Bay().walk("tools").state, "N1", None, release)
    assert told == f"N1 is a trainee, and works beside a mentor. Name one. {why}"


def test_whoever_works_alone_goes_on_by_no_revision_that_nobody_watched_them_at() -> None:
    bay = Bay().walk("tools")
    alone = replace(bay.state, technician="N1")
    newer = bay.procedure.model_copy(update={"revision": 4})
    lists = ShopLists(STAFF, (), {"N1": (released(),)})
    refused = refused_revision(lists, newer, alone, TODAY)
    assert refused is not None
    assert refused.why == (
        "N1 is a trainee, and works alone. "
        "The release for small-receiver is for revision 3, and this is revision 4."
    )
    signed = ShopLists(STAFF, (), {"N1": (released(revision=4),)})
    assert refused_revision(signed, newer, alone, TODAY) is None
    assert refused_revision(lists, newer, replace(alone, mentor="T1"), TODAY) is None
    assert refused_revision(lists, newer, bay.state, TODAY) is None


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


def test_what_others_did_before_a_trainee_took_over_is_not_verified_behind_them() -> None:
    """The battery is on again by then, and the joins lie behind the dash."""
    bay = bay_with_mentor().walk("cure")
    bay.do(HandOver(hand_over="N1", words="w", loose="l", first="f", mentor="T2"))
    assert bay.step("second-look") == "not applicable"
    bay.do(Resume(resume="all as it was", still_true=("battery-off",), gate_checked=True), who=N1)
    assert bay.state.current == "cure"
    [part] = [part for part in bay.record().steps if part.id == "second-look"]
    assert part.because == "no trainee did what it is about"
    bay.do(Reopen(reopen="joins-hold", reason="one came loose"), who=N1)
    bay.do(*GOOD["joins-hold"], who=N1)
    assert bay.state.current == "second-look"  # by now it is the trainee's


def test_what_one_trainee_did_is_verified_by_the_mentor_of_the_next() -> None:
    bay = bay_with_mentor()
    bay.do(HandOver(hand_over="N1", words="w", loose="l", first="f", mentor="T2"))
    bay.do(Resume(resume="all as it was", still_true=("battery-off",), gate_checked=True), who=N1)
    bay.do(*GOOD["joins-hold"], who=N1)
    bay.do(HandOver(hand_over="N2", words="w", loose="l", first="f", mentor="T2"), who=N1)
    assert bay.state.current == "second-look"


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
