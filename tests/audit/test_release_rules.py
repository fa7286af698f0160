"""Trainees who worked alone, and releases, as an audit holds them against the log of the staff."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from asked import asked, closed, only, parts, played, retold
from bay import N1, SMALL, START, Bay, keys_in
from lamp import SCRIPT, play_text
from signed_off import PIN, lamp_by, learning_shop

from baycompanion.audit.choice import Choice
from baycompanion.audit.findings import Finding
from baycompanion.audit.rules.played import Played
from baycompanion.audit.rules.release_rules import GRACE, Releases
from baycompanion.audit.shop import audit_shop
from baycompanion.job.deciding.opening import open_job
from baycompanion.job.events.data import Data
from baycompanion.job.events.event import Event, seal
from baycompanion.job.events.kinds import Opened
from baycompanion.store.shop import Shop
from baycompanion.store.staff.staff_log import SignedOff, TakenBack
from baycompanion.working.releasing import Releasing, Wanted

TODAY = START.date()
NAME, REVISION = SMALL.procedure, SMALL.revision


def log(*lines: tuple[Data, timedelta]) -> list[Event]:
    """Return a staff log in which S1 said these things, so long after the jobs of the bay begin."""
    return [seal(data, "S1", START + when, n) for n, (data, when) in enumerate(lines, 1)]


def signed(days: int = 300, revision: int = REVISION, who: str = "N1") -> SignedOff:
    until = (TODAY + timedelta(days=days)).isoformat()
    return SignedOff(who=who, procedure=NAME, revision=revision, job="j", until=until)


BACK = TakenBack(who="N1", procedure=NAME)
DAY = timedelta(days=1)


def keys_alone() -> Played:
    """Return a job in which the trainee took the keys alone."""
    first = open_job(SMALL, "ab" * 32, "job-1", keys_in(who=N1))
    return played(Bay(events=[first]))


def alone_until(after: timedelta) -> Played:
    """Return a whole job of the trainee alone, the answers of which came so long after the keys."""
    told = []
    for data, by, at in parts(closed()):
        if isinstance(data, Opened):
            data = data.model_copy(update={"role": "trainee"})
        else:
            at = (datetime.fromisoformat(at) + after).strftime("%Y-%m-%dT%H:%M:%S.000Z")
        told.append((data, "N1" if by == "T1" else by, at))
    return retold(told)


@pytest.mark.parametrize(
    ("lines", "why"),
    [
        ([], "By the staff log there was no release for it."),
        ([(signed(), DAY)], "By the staff log there was no release for it."),
        ([(signed(who="N2"), -DAY)], "By the staff log there was no release for it."),
        (
            [(signed(revision=REVISION - 1), -DAY)],
            f"was for revision {REVISION - 1}, and this job began by revision {REVISION}.",
        ),
        ([(signed(days=-2), -9 * DAY)], "release had its last day on 2026-02-28."),
        ([(signed(), -9 * DAY), (BACK, -DAY)], "was taken back on 2026-03-01."),
        ([(signed(), -DAY)], None),
        ([(signed(days=0), -DAY)], None),
        ([(BACK, -9 * DAY), (signed(), -DAY)], None),
        ([(signed(), -DAY), (BACK, DAY)], None),
        ([(signed(days=-1), -DAY)], None),  # perhaps it was still yesterday where the shop lies
    ],
)
def test_keys_that_a_trainee_took_alone_are_held_against_the_log_of_that_moment(
    lines: list[tuple[Data, timedelta]], why: str | None
) -> None:
    found = asked([keys_alone()], releases=Releases({}, log(*lines)))
    told = only("trainee-without-mentor", found)
    assert [each.events for each in told] == ([] if why is None else [(1,)])
    assert all(str(why) in each.sentence and each.about == "N1" for each in told)
    assert only("worked-after-release", found) == []


@pytest.mark.parametrize(
    ("after", "lines", "why"),
    [
        (5 * DAY, [(signed(days=2), -DAY)], "release had its last day on 2026-03-04."),
        (5 * DAY, [(signed(), -DAY), (BACK, 2 * DAY)], "was taken back on 2026-03-04."),
        (5 * DAY, [(signed(), -DAY)], None),
        (GRACE, [(signed(days=0), -DAY)], None),
        (GRACE + DAY, [(signed(days=0), -DAY)], "release had its last day on 2026-03-02."),
    ],
)
def test_work_that_went_on_after_a_release_is_asked_about(
    after: timedelta, lines: list[tuple[Data, timedelta]], why: str | None
) -> None:
    job = alone_until(after)
    found = asked([job], releases=Releases({}, log(*lines)))
    told = only("worked-after-release", found)
    assert len(told) == (why is not None)
    assert all(str(why) in each.sentence for each in told)
    assert only("trainee-without-mentor", found) == []
    for each in told:
        assert each.events[0] == 1 and job.events[each.events[1] - 1].kind in ("answered", "ticked")


# --- releases in the staff file -----------------------------------------------------------------

NOW = datetime(2026, 3, 4, 9, 0, tzinfo=UTC)
RULES = (
    "trainee-without-mentor",
    "worked-after-release",
    "release-not-in-log",
    "release-not-watched",
)


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    """Return a shop in which N1 was signed off after a lamp job beside T1."""
    shop = learning_shop(tmp_path / "learning")
    lamp_by(shop)
    Releasing(shop, lambda: NOW).sign(Wanted("N1", "lamp", "WO 7"), "S1", PIN)
    return shop


def found_in(shop: Shop, choice: Choice | None = None) -> list[Finding]:
    found = audit_shop(shop.folder, choice or Choice(), NOW)
    findings = [each for each in found if isinstance(each, Finding)]
    return [each for each in findings if each.rule.id in RULES]


def _write(shop: Shop, old: str, new: str) -> None:
    path = shop.folder / "staff.yaml"
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


def test_a_release_that_was_signed_and_watched_is_no_finding_and_neither_is_work_by_it(
    shop: Shop,
) -> None:
    lamp_by(shop, mentor="", start=NOW, order="WO 8")
    assert found_in(shop) == []


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("until: 2027-03-04", "until: 2028-03-04"),
        ("revision: 2, by", "revision: 3, by"),
        ("by: S1", "by: S2"),
        ("job: 20260302-wo-7", "job: 20260302-wo-9"),
    ],
)
def test_a_release_changed_by_hand_is_told(shop: Shop, old: str, new: str) -> None:
    _write(shop, old, new)
    [found] = [each for each in found_in(shop) if each.rule.id == "release-not-in-log"]
    assert found.about == "N1 by lamp"
    assert "the staff log does not say so. Who wrote it" in found.sentence


def test_a_release_that_was_taken_back_and_written_in_again_is_told(shop: Shop) -> None:
    text = (shop.folder / "staff.yaml").read_bytes()
    Releasing(shop, lambda: NOW).take_back("N1", "lamp", "S2", PIN)
    assert found_in(shop) == []
    (shop.folder / "staff.yaml").write_bytes(text)
    assert [each.rule.id for each in found_in(shop)] == ["release-not-in-log"]


def test_a_shop_without_a_log_has_signed_nobody_off(shop: Shop) -> None:
    (shop.folder / "staff-log.jsonl").unlink()
    assert [each.rule.id for each in found_in(shop)] == ["release-not-in-log"]


def _told_of_job(shop: Shop, name: str) -> list[str]:
    _write(shop, "job: 20260302-wo-7", f"job: {name}")
    found = [each for each in found_in(shop) if each.rule.id == "release-not-watched"]
    return [each.sentence for each in found]


def test_a_release_whose_job_is_not_there_is_told(shop: Shop) -> None:
    [told] = _told_of_job(shop, "20260302-wo-9")
    assert "watched in 20260302-wo-9. There is no such job in this shop." in told


def test_a_release_whose_job_was_somebody_elses_is_told(shop: Shop) -> None:
    play_text(SCRIPT.replace("WO 7/b", "WO 8"), shop.folder / "script", shop)
    [told] = _told_of_job(shop, "20260302-wo-8")
    assert "Most of that work was T1's. What was watched?" in told


def test_a_release_whose_job_was_not_finished_is_told(shop: Shop) -> None:
    lamp_by(shop, order="WO 8", without="close")
    [told] = _told_of_job(shop, "20260302-wo-8")
    assert "was not closed" in told


def test_a_release_for_another_procedure_or_revision_than_its_job_is_told(shop: Shop) -> None:
    _write(shop, "procedure: lamp, revision: 2", "procedure: radio, revision: 2")
    [told] = [each for each in found_in(shop) if each.rule.id == "release-not-watched"]
    assert "20260302-wo-7 follows lamp, and not radio." in told.sentence
    _write(shop, "procedure: radio, revision: 2", "procedure: lamp, revision: 1")
    [told] = [each for each in found_in(shop) if each.rule.id == "release-not-watched"]
    assert "followed revision 2" in told.sentence


def test_an_audit_that_is_narrowed_says_nothing_of_jobs_that_it_did_not_look_at(
    shop: Shop,
) -> None:
    play_text(SCRIPT.replace("WO 7/b", "WO 8"), shop.folder / "script", shop)
    _write(shop, "job: 20260302-wo-7", "job: 20260302-wo-8")
    found = found_in(shop, Choice(since=(NOW.date() + DAY).isoformat()))
    assert [each.rule.id for each in found] == ["release-not-in-log"]


def test_somebody_retired_has_no_release_to_ask_about(shop: Shop) -> None:
    _write(shop, "until: 2027-03-04", "until: 2028-03-04")
    _write(
        shop, "    role: trainee\n    releases", "    role: trainee\n    active: no\n    releases"
    )
    assert found_in(shop) == []


def test_a_day_of_grace_is_the_widest_zone_there_is() -> None:
    """UTC−12 ends its day twelve hours after UTC (the IANA zone Etc/GMT+12)."""
    assert timedelta(hours=12) <= GRACE <= timedelta(days=1)
