"""Whose word it was, who was there, and how a job went its way."""

from dataclasses import replace
from datetime import timedelta

import pytest
from asked import asked, closed, only, parts, played, put_down, retold
from bay import BAD, GOOD, N1, S1, SMALL, START, T1, T2, Bay, keys_in
from second_person import SECOND, at_the_witness, closed_for_now, seen

from baycompanion.audit.findings import Finding
from baycompanion.audit.rules.course import LEAST_BACK, OPEN_FOR
from baycompanion.audit.rules.played import Played
from baycompanion.audit.rules.staff_rules import IN_A_ROW
from baycompanion.job.actions import (
    Accept,
    Answer,
    Close,
    Note,
    Override,
)
from baycompanion.job.deciding.draft import Person
from baycompanion.job.deciding.opening import open_job
from baycompanion.job.events.kinds import Answered, Opened, Overridden
from baycompanion.job.events.moment import write_moment
from baycompanion.job.hands_actions import PauseWork, RefusePin
from baycompanion.store.staff.staff import Member

OVERRIDE = Override(override="sound-before-refit", reason="r", words="w", instead="i")
PEOPLE = {
    person.id: Member(id=person.id, role=person.role)  # type: ignore[arg-type]
    for person in (T1, T2, S1)
}
HASHED = f"scrypt n=16384 r=8 p=1 salt={'ab' * 16} key={'cd' * 32}"
WITH_PINS = {**PEOPLE, "S1": PEOPLE["S1"].model_copy(update={"pin": HASHED})}


def by(job: Played, kind: type, who: str) -> Played:
    """Return `job` with every event of `kind` by `who`, as somebody could have made it up."""
    told = [
        (event.data, who if isinstance(event.data, kind) else event.by, event.at)
        for event in job.events
    ]
    return retold(told, job.procedure, job.name)


# --- one's own work -----------------------------------------------------------------------------


def witnessed(who: str) -> list[Finding]:
    """Return what is found where a second look was by `who`, in events that were made up."""
    bay = at_the_witness()
    bay.do(seen(), who=T2)
    told = [*parts(bay)]
    at = next(
        n
        for n, (data, *_) in enumerate(told)
        if getattr(data, "step", "") == "seen" and isinstance(data, Answered)
    )
    told[at] = (told[at][0], who, told[at][2])
    return only("self-witness", asked([retold(told, SECOND)]))


def test_a_second_person_who_did_the_work_themselves_is_found_by_the_events() -> None:
    [found] = witnessed("T1")
    assert found.rule.weight == "grave"
    assert "T1 passed as the second person at step seen and had worked on" in found.sentence


def test_a_second_person_who_is_another_is_not() -> None:
    assert witnessed("T2") == []


def bypassed(signed: str | None = None) -> Bay:
    """Return a job with an override by the supervisor."""
    bay = Bay().held(sound=put_down("sound", BAD["sound"], "vehicle"))
    bay.do(OVERRIDE, who=replace(S1, signed=signed))  # type: ignore[arg-type]
    return bay


def test_a_gate_opened_by_whoever_it_waited_for_is_asked_about() -> None:
    job = by(played(bypassed()), Overridden, "T1")
    [found] = only("own-gate-overridden", asked([job]))
    assert "T1 opened the gate sound-before-refit, which was waiting for sound" in found.sentence


def test_a_gate_opened_by_somebody_else_is_not() -> None:
    assert only("own-gate-overridden", asked([played(bypassed())])) == []


# --- PINs ---------------------------------------------------------------------------------------


def without_pin(bay: Bay, members: object) -> list[Finding]:
    return only("vouched-without-pin", asked([played(bay)], members=members))


def test_what_was_vouched_for_without_a_pin_is_asked_about_where_the_shop_has_pins() -> None:
    bay = bypassed()
    [found] = without_pin(bay, WITH_PINS)
    kinds = [bay.events[seq - 1].kind for seq in found.events]
    assert kinds == ["answered", "overridden"]  # the second look, then the override
    assert "by S1: overrides or second looks, 2 in all" in found.sentence
    assert "staff.yaml as it is now" in found.sentence


def test_it_is_not_where_the_shop_has_no_pins() -> None:
    assert without_pin(bypassed(), PEOPLE) == without_pin(bypassed(), None) == []


def test_an_override_with_a_pin_is_left_alone() -> None:
    [found] = without_pin(bypassed("pin"), WITH_PINS)
    assert len(found.events) == 1  # the second look had none


@pytest.mark.parametrize("tries", [IN_A_ROW - 1, IN_A_ROW])
def test_wrong_pins_in_a_row_are_asked_about_from_the_stated_number_on(tries: int) -> None:
    bay = Bay()
    for number in range(1, tries + 1):
        bay.do(RefusePin(refuse_pin="S1", tries=number))
    found = only("wrong-pins-in-a-row", asked([played(bay)]))
    assert len(found) == (tries >= IN_A_ROW)
    for each in found:
        assert f"Up to {tries} wrong PINs in a row were given for S1" in each.sentence
        assert len(each.events) == tries


@pytest.mark.parametrize(("who", "mentor", "found"), [(N1, None, 1), (N1, "T2", 0), (T1, None, 0)])
def test_a_trainee_who_took_keys_alone_is_asked_about(
    who: Person, mentor: str | None, found: int
) -> None:
    first = open_job(SMALL, "ab" * 32, "job-1", keys_in(who=who, mentor=mentor))
    told = only("trainee-without-mentor", asked([played(Bay(events=[first]))]))
    assert len(told) == found
    assert all(each.sentence.startswith("N1, a trainee then, took the keys") for each in told)


# --- the staff file as it is now ----------------------------------------------------------------

STAFF = ("not-on-staff", "not-released-for-procedure")


def staff(**changes: object) -> list[str]:
    """Return rule and person found in two jobs of T1, who stands in the file with `changes`."""
    members = {**PEOPLE, "T1": PEOPLE["T1"].model_copy(update=changes)}
    found = asked([played(closed(), "job-1"), played(closed(), "job-2")], members=members)
    told = [each for rule in STAFF for each in only(rule, found)]
    assert all("T1 worked in 2 jobs" in each.sentence for each in told)
    assert all("as it is now" in each.sentence and each.job == "job-2" for each in told)
    return [each.rule.id for each in told]


def test_people_who_stand_in_the_staff_file_are_asked_nothing() -> None:
    assert staff() == []
    assert staff(released_for=("small-receiver",)) == []


def test_somebody_retired_by_now_is_asked_about_once_with_the_newest_job() -> None:
    assert staff(active=False) == ["not-on-staff"]


def test_a_trainee_needs_no_release_beside_a_mentor() -> None:
    assert staff(released_for=("another",), role="trainee") == []


def test_somebody_not_released_for_the_procedure_is_asked_about_once() -> None:
    assert staff(released_for=("another",)) == ["not-released-for-procedure"]


def test_somebody_who_is_not_on_the_list_at_all_is_asked_about() -> None:
    members = {"S1": PEOPLE["S1"]}
    [found] = only("not-on-staff", asked([played(closed())], members=members))
    assert "T1 worked in 1 job" in found.sentence
    assert "does not stand in the staff file" in found.sentence


# --- revisions ----------------------------------------------------------------------------------


def begun(name: str, revision: int, days: int) -> Played:
    """Return a job begun by a revision so many days after the first."""
    [(data, who, _), *_] = parts(Bay())
    assert isinstance(data, Opened)
    opened = data.model_copy(update={"revision": revision})
    when = write_moment(START + timedelta(days=days))
    return retold([(opened, who, when)], name=name)


def old(*jobs: Played) -> list[tuple[str, str]]:
    found = only("older-revision", asked(jobs))
    return [(each.job, each.sentence.split(".")[0]) for each in found]


def test_a_job_begun_by_an_older_revision_than_one_before_it_is_asked_about() -> None:
    jobs = (begun("a", 9, 0), begun("b", 10, 1), begun("c", 9, 2))
    told = "The job was begun by revision 9 of small-receiver when b had already begun by revision"
    assert old(*jobs) == [("c", f"{told} 10")]


def test_jobs_begun_by_ever_newer_revisions_are_not() -> None:
    assert old(begun("a", 1, 0), begun("b", 2, 1), begun("c", 3, 2)) == []


# --- how it went --------------------------------------------------------------------------------


@pytest.mark.parametrize("seconds", [LEAST_BACK - 1, LEAST_BACK])
def test_a_clock_set_back_is_asked_about_from_a_minute_on(seconds: int) -> None:
    bay = Bay()
    bay.do(Accept(accept="hazards"))
    bay.do(Note(note="n"), after=-seconds)
    found = only("clock-set-back", asked([played(bay)]))
    assert len(found) == (seconds >= LEAST_BACK)
    assert all("once during the job, by up to 1 min" in each.sentence for each in found)


def test_what_was_copied_from_paper_is_asked_about_and_what_was_typed_is_not() -> None:
    bay = Bay().walk("route")
    assert only("done-on-paper", asked([played(bay)])) == []
    claimed = bay.now - timedelta(seconds=30)
    bay.do(Answer(answer="route", claimed=claimed, on_paper=True))
    [found] = only("done-on-paper", asked([played(bay)]))
    assert found.sentence.startswith("1 entry was copied from the paper form")
    assert bay.events[found.events[0] - 1].kind == "answered"


@pytest.mark.parametrize("short", [1, 0])
def test_a_job_that_stands_open_for_days_is_asked_about(short: int) -> None:
    bay = Bay()
    now = bay.now + OPEN_FOR - timedelta(seconds=short)
    found = only("left-open-for-days", asked([played(bay)], now=now))
    assert len(found) == 1 - short
    assert only("left-open-for-days", asked([played(bay)])) == []


def test_a_closed_job_is_asked_about_the_days_in_it_and_not_about_those_since() -> None:
    bay = Bay().walk("keys")
    days = OPEN_FOR.total_seconds()
    bay.do(*GOOD["keys"], after=days)
    bay.do(Close(close="keys back"))
    now = bay.now + 10 * OPEN_FOR
    [found] = only("left-open-for-days", asked([played(bay)], now=now))
    assert found.sentence.startswith("The job stood open for 3 d without a word")
    assert only("left-open-for-days", asked([played(closed())], now=now)) == []


def test_a_pause_of_days_is_asked_about_only_while_it_lasts() -> None:
    bay = Bay()
    bay.do(Accept(accept="hazards"))
    bay.do(PauseWork(pause="a part is on order", loose="nothing", first="look"))
    job, late = played(bay), bay.now + OPEN_FOR
    assert only("left-open-for-days", asked([job], now=late))
    assert only("left-open-for-days", asked([job], now=bay.now)) == []


def test_what_was_released_for_now_is_asked_about_until_somebody_has_looked() -> None:
    bay = closed_for_now()
    [found] = only("nobody-looked-since", asked([played(bay)]))
    assert "nobody has looked since: seen." in found.sentence
    bay.do(seen(), who=T2, after=3600)
    assert only("nobody-looked-since", asked([played(bay)])) == []


def test_people_come_last_among_what_weighs_the_same() -> None:
    found = asked([by(played(bypassed()), Overridden, "T1")], members=WITH_PINS)
    weights = [(each.rule.weight, each.rule.people) for each in found]
    serious = [people for weight, people in weights if weight == "serious"]
    assert serious == sorted(serious)
    assert set(serious) == {False, True}
