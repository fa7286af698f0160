"""What a release rests on: a closed job of the trainee, by that revision, that was watched."""

from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from lamp import PROCEDURE, SCRIPT, play_text
from signed_off import PIN, UNSEEN, lamp_by, learning_shop

from baycompanion.learning.watched import Watched
from baycompanion.store.shop import Shop, open_shop
from baycompanion.store.staff.changes import sign_off, take_back
from baycompanion.store.staff.releases import months_after
from baycompanion.store.staff.staff_log import NAME as LOG
from baycompanion.store.staff.staff_log import read_staff_log
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.problem import BadFile
from baycompanion.working.releasing import Releasing, Wanted

NOW = datetime(2026, 3, 4, 9, 0, tzinfo=UTC)


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return learning_shop(tmp_path / "shop")


def releasing(shop: Shop) -> Releasing:
    return Releasing(shop, lambda: NOW)


def test_a_second_person_signs_by_their_pin_and_it_stands_in_file_and_log(shop: Shop) -> None:
    job = lamp_by(shop).folder.name
    release = releasing(shop).sign(Wanted("n1", "lamp", "WO 7"), "s1", PIN)
    assert (release.procedure, release.revision, release.by, release.job, release.until) == (
        *("lamp", 2, "S1", job),
        date(2027, 3, 4),
    )
    assert open_shop(shop.folder).members["N1"].releases == (release,)
    text = (shop.folder / "staff.yaml").read_text(encoding="utf-8")
    assert (
        "    role: trainee\n    releases:\n"
        f"      - {{procedure: lamp, revision: 2, by: S1, job: {job}, until: 2027-03-04}}\n"
        "  - { id: N2, role: trainee }\n"
    ) in text
    assert "  # Learns since March.\n" in text
    [event] = read_staff_log(shop.folder / LOG).events
    assert (event.by, event.kind, event.data.model_dump(exclude_none=True)) == (
        "S1",
        "signed-off",
        {
            "who": "N1",
            "procedure": "lamp",
            "revision": 2,
            "job": job,
            "until": "2027-03-04",
            "watched_as": "second person",
        },
    )


def test_a_supervisor_who_stood_beside_signs_as_the_mentor(shop: Shop) -> None:
    lamp_by(shop, mentor="S2")
    _, watched = releasing(shop).ready(Wanted("N1", "lamp", "WO 7"), "S2")
    assert watched == Watched("mentor")


def test_whoever_stands_nowhere_in_the_job_says_what_they_watched(shop: Shop) -> None:
    lamp_by(shop)
    with pytest.raises(StoreTrouble, match=r"^S2 stands in .* neither as mentor nor as second"):
        releasing(shop).sign(Wanted("N1", "lamp", "WO 7"), "S2", PIN)
    wanted = Wanted("N1", "lamp", "WO 7", words="the whole of it, from the door")
    releasing(shop).sign(wanted, "S2", PIN)
    [event] = read_staff_log(shop.folder / LOG).events
    assert event.as_dict()["data"]["words"] == "the whole of it, from the door"
    assert "watched_as" not in event.as_dict()["data"]


def test_a_newer_one_takes_the_place_of_the_older_and_one_is_taken_back(shop: Shop) -> None:
    lamp_by(shop)
    for until in (date(2026, 4, 1), date(2026, 5, 1)):
        releasing(shop).sign(Wanted("N1", "lamp", "WO 7", until), "S1", PIN)
    [release] = open_shop(shop.folder).members["N1"].releases
    assert release.until == date(2026, 5, 1)
    releasing(shop).take_back("n1", "lamp", "S2", PIN)
    assert open_shop(shop.folder).members["N1"].releases == ()
    text = (shop.folder / "staff.yaml").read_text(encoding="utf-8")
    assert "releases" not in text and "# Learns since March." in text
    kinds = [event.kind for event in read_staff_log(shop.folder / LOG).events]
    assert kinds == ["signed-off", "signed-off", "taken-back"]
    with pytest.raises(StoreTrouble, match=r"^N1 has no release for “lamp”. There is none to take"):
        releasing(shop).take_back("N1", "lamp", "S2", PIN)


def _nothing(shop: Shop) -> None:
    """Play no job."""


def _well(shop: Shop) -> None:
    lamp_by(shop)


def _not_closed(shop: Shop) -> None:
    lamp_by(shop, without="close")


def _of_somebody_else(shop: Shop) -> None:
    play_text(SCRIPT.replace("WO 7/b", "WO 7"), shop.folder / "script", shop)


def _half(shop: Shop) -> None:
    staged = "  - { answer: tools-staged }\n"
    given = (
        "  - { hand-over: T2, words: w, loose: l, first: f }\n"
        "  - { resume: read back, gate-checked: yes }\n"
    )
    lamp_by(shop, script=SCRIPT.replace(staged, staged + given))


def _newer_on_the_shelf(shop: Shop) -> None:
    lamp_by(shop)
    newer = PROCEDURE.replace("revision: 2", "revision: 3")
    (shop.folder / "procedures" / "lamp.yaml").write_text(newer, encoding="utf-8")


def _unwatched(shop: Shop) -> None:
    (shop.folder / "procedures" / "lamp.yaml").write_text(UNSEEN, encoding="utf-8")
    text = (shop.folder / "staff.yaml").read_text(encoding="utf-8")
    own = text.replace("id: N1\n    role: trainee", "id: N1\n    role: technician")
    (shop.folder / "staff.yaml").write_text(own, encoding="utf-8")
    lamp_by(open_shop(shop.folder), mentor="", without="lights-seen")
    (shop.folder / "staff.yaml").write_text(text, encoding="utf-8")


WELL = Wanted("N1", "lamp", "WO 7")


@pytest.mark.parametrize(
    ("prepare", "wanted", "by", "why"),
    [
        (_nothing, WELL, "S1", "WO 7"),
        (_not_closed, WELL, "S1", "was not closed. A release rests on a whole job"),
        (_of_somebody_else, WELL, "S1", "N1 gave 0 of 5 answers in"),
        (_half, WELL, "S1", "N1 gave 1 of 5 answers in"),
        (_newer_on_the_shelf, WELL, "S1", "followed revision 2 of lamp, and the shelf holds rev"),
        (_unwatched, WELL, "S1", "as mentor of N1 or as second person, so nobody is known"),
        (_well, Wanted("N1", "receiver-swap", "WO 7"), "S1", "follows lamp, and not receiver-swap"),
        (_well, Wanted("N1", "lump", "WO 7"), "S1", "There is no procedure “lump”"),
        (_well, Wanted("N2", "lamp", "WO 7"), "S1", "N2 gave 0 of 5 answers"),
        (_well, Wanted("T1", "lamp", "WO 7"), "S1", "T1 is a technician, and needs no sign-off"),
        (_well, Wanted("X1", "lamp", "WO 7"), "S1", "“X1” is not on the staff"),
        (_well, WELL, "T1", "T1 is a technician; this is for supervisors alone"),
        (_well, WELL, "S3", "S3 has no PIN, and can sign nobody off"),
        (_well, WELL, "S2", "stands in"),
        (_well, Wanted("N1", "lamp", "WO 7", date(2026, 3, 3)), "S1", "2026-03-03 is over already"),
        (_well, Wanted("N1", "lamp", "WO 7", date(2031, 3, 5)), "S1", "more than 60 months ahead"),
    ],
)
def test_what_bears_no_release_is_refused_before_a_pin_is_asked_and_changes_nothing(
    shop: Shop, prepare: object, wanted: Wanted, by: str, why: str
) -> None:
    assert callable(prepare)
    prepare(shop)
    before = (shop.folder / "staff.yaml").read_bytes()
    with pytest.raises(StoreTrouble) as refused:
        releasing(shop).sign(wanted, by, "0000")
    assert why in str(refused.value)
    assert (shop.folder / "staff.yaml").read_bytes() == before
    assert not (shop.folder / LOG).exists(), "no wrong PIN was counted either"


def test_a_wrong_pin_signs_nothing(shop: Shop) -> None:
    lamp_by(shop)
    with pytest.raises(StoreTrouble, match="That is not the PIN of S1"):
        releasing(shop).sign(WELL, "S1", "0000")
    assert open_shop(shop.folder).members["N1"].releases == ()


def test_practice_is_no_job_to_sign(shop: Shop) -> None:
    from baycompanion.store.practice import make_practice
    from baycompanion.store.shelf import find_procedure, read_procedure

    loaded = read_procedure(find_procedure("lamp", shop.procedures))
    folder = make_practice(shop, loaded, shop.person("N1"), NOW, seed=1, faults=1)
    with pytest.raises(StoreTrouble, match="no job"):
        releasing(shop).sign(Wanted("N1", "lamp", folder.name), "S1", PIN)
    folder.rename(shop.jobs / folder.name)
    with pytest.raises(StoreTrouble, match="practice"):
        releasing(shop).sign(Wanted("N1", "lamp", folder.name), "S1", PIN)


def test_two_at_once_are_asked_again_by_the_file_itself(shop: Shop) -> None:
    """What the screen asked may have changed at another terminal meanwhile."""
    lamp_by(shop)
    release, watched = releasing(shop).ready(WELL, "S1")
    with pytest.raises(StoreTrouble, match="T2 is a technician, and needs no sign-off"):
        sign_off(shop.folder, "T2", release, watched, "S1", NOW)
    with pytest.raises(StoreTrouble, match="N1 has no release for “lamp”"):
        take_back(shop.folder, "N1", "lamp", "S1", NOW)
    assert not (shop.folder / LOG).exists()


@pytest.mark.parametrize(
    ("day", "months", "after"),
    [
        (date(2026, 3, 4), 12, date(2027, 3, 4)),
        (date(2026, 11, 30), 3, date(2027, 2, 28)),
        (date(2027, 11, 30), 3, date(2028, 2, 29)),
        (date(2026, 12, 31), 1, date(2027, 1, 31)),
        (date(2026, 12, 1), 12, date(2027, 12, 1)),
    ],
)
def test_months_are_those_of_the_calendar(day: date, months: int, after: date) -> None:
    """Counted off by hand on a calendar."""
    assert months_after(day, months) == after


def test_the_shop_says_how_long_a_release_lasts(shop: Shop) -> None:
    settings = shop.folder / "shop.yaml"
    settings.write_text(
        settings.read_text(encoding="utf-8").replace("# release-months: 12", "release-months: 6"),
        encoding="utf-8",
    )
    lamp_by(shop)
    release, _ = releasing(open_shop(shop.folder)).ready(WELL, "S1")
    assert release.until == date(2026, 9, 4)


TWICE = "{procedure: lamp, revision: 2, by: S1, job: j, until: 2027-01-01}"


@pytest.mark.parametrize(
    ("releases", "told"),
    [
        (f"[{TWICE}, {TWICE}]", "N1 has two releases for lamp"),
        ("[{procedure: lamp, revision: 0, by: S1, job: j, until: 2027-01-01}]", "revision"),
        ("[{procedure: lamp, revision: 2, by: S1, job: j, until: soon}]", "soon"),
        ("[{procedure: lamp, revision: 2, by: S1, job: j}]", "until"),
    ],
)
def test_a_release_written_by_hand_says_all_that_it_should(
    shop: Shop, releases: str, told: str
) -> None:
    text = f"staff:\n  - id: N1\n    role: trainee\n    releases: {releases}\n"
    (shop.folder / "staff.yaml").write_text(text, encoding="utf-8")
    with pytest.raises(BadFile) as bad:
        open_shop(shop.folder)
    assert told in str(bad.value) and "staff.yaml:4" in str(bad.value)
