"""An audit of a shop in which nothing is new: no walk through it, and the same findings."""

import os
import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from bay import LISTS, S1, START, T1

from baycompanion.audit import shop as audit_of_shop
from baycompanion.audit.choice import Choice
from baycompanion.audit.findings import Finding
from baycompanion.audit.one_job import files as job_files
from baycompanion.audit.reading import index
from baycompanion.audit.reading.all_jobs import AllJobs, Trust, Way
from baycompanion.audit.reading.index import NAME, AuditIndex
from baycompanion.audit.rules.course import OPEN_FOR, LastWord
from baycompanion.audit.shop import ShopSeen, audit_shop
from baycompanion.audit.walk import Walk
from baycompanion.job.actions import Note
from baycompanion.job.deciding.draft import Refused
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.review import LookedAt, look_at

B, D = "20260302-b", "20260302-d"

NOW = datetime(2026, 3, 2, 22, 0, tzinfo=UTC)


pytestmark = pytest.mark.usefixtures("at_once")


@pytest.fixture
def walks(monkeypatch: pytest.MonkeyPatch) -> list[Path]:
    """Return a list that gets the folder of each shop that is walked through."""
    begun: list[Path] = []

    def counted(folder: Path, *rest: object) -> Walk:
        begun.append(folder)
        return Walk(folder, *rest)  # type: ignore[arg-type]

    monkeypatch.setattr(audit_of_shop, "Walk", counted)
    return begun


def audited(shop: Path, trust: Trust = "stamps", now: datetime | None = NOW) -> list[object]:
    """Return all that an audit yields, what cannot be read in words."""
    return [
        each if isinstance(each, Finding | ShopSeen) else str(each)
        for each in audit_shop(shop, Choice(), now, Way(trust=trust))
    ]


def bare(found: list[object]) -> list[object]:
    """Return `found` without what was hashed."""
    *told, seen = found
    assert isinstance(seen, ShopSeen)
    return [*told, (seen.jobs, seen.seal, seen.gates)]


def damage(shop: Path) -> None:
    """Let there be findings in a job, in the ledger, and of all jobs together."""
    record = shop / "jobs" / B / "record.json"
    record.write_bytes(record.read_bytes().replace(b"abandoned", b"closed"))
    with (shop / "ledger.jsonl").open("ab") as ledger:
        ledger.write(b"torn")


def once_more(path: Path) -> None:
    path.write_bytes(path.read_bytes() + b"\n" if path.exists() else b"\n")


def note(shop: Path) -> None:
    job = OpenJob(shop / "jobs" / D, LISTS, T1, START)
    assert not isinstance(job.act(Note(note="once more"), T1, START), Refused)
    job.leave()


def looked_at(shop: Path) -> None:
    [key] = [each.key for each in audited(shop, "nothing") if isinstance(each, Finding)][:1]
    look_at(shop, LookedAt(finding=key, rule="r", words="seen"), S1, NOW)


def key_known(shop: Path) -> None:
    (shop / "seals").mkdir()
    (shop / "seals" / "S1-a.pem").write_text("no key")


@pytest.mark.parametrize("trust", ["stamps", "hashes"])
def test_where_nothing_is_new_nothing_is_walked_through_and_the_same_is_found(
    shop: Path, walks: list[Path], trust: Trust
) -> None:
    damage(shop)
    first = audited(shop, trust)
    assert len(first) > 2
    walks.clear()
    assert audited(shop, trust) == first
    assert walks == []
    assert bare(audited(shop, "nothing")) == bare(first)
    assert walks == [shop]


NEWS: list[Callable[[Path], object]] = [
    note,
    looked_at,
    key_known,
    lambda shop: once_more(shop / "ledger.jsonl"),
    lambda shop: once_more(shop / "staff.yaml"),
    lambda shop: once_more(shop / "staff-log.jsonl"),
    lambda shop: once_more(shop / "review.jsonl"),
    lambda shop: (shop / "ledger.jsonl").unlink(),
    lambda shop: (shop / "jobs" / D / "journal.jsonl").unlink(),
    lambda shop: os.utime(shop / "jobs" / B / "record.json"),
    lambda shop: shutil.rmtree(shop / "jobs" / B),
    lambda shop: shutil.copytree(shop / "jobs" / B, shop / "jobs" / "copy"),
    lambda shop: (shop / "jobs" / B).rename(shop / "jobs" / "other"),
    lambda shop: (shop / "jobs" / "empty").mkdir(),
    lambda shop: (shop / "jobs" / "odd\nname").mkdir(),
    lambda shop: (shop / "jobs" / "link").symlink_to(shop / "jobs" / B),
]


@pytest.mark.parametrize("trust", ["stamps", "hashes"])
@pytest.mark.parametrize("news", NEWS)
def test_whatever_is_new_is_walked_through(
    shop: Path, walks: list[Path], news: Callable[[Path], object], trust: Trust
) -> None:
    damage(shop)
    audited(shop, trust)
    news(shop)
    walks.clear()
    found = bare(audited(shop, trust))
    assert walks == [shop]
    assert bare(audited(shop, "nothing")) == found


@pytest.mark.parametrize("trust", ["stamps", "hashes"])
def test_a_job_in_place_of_an_empty_folder_is_walked_through(shop: Path, trust: Trust) -> None:
    """What was not in the one is not in it now either, and there are as many folders as before."""
    (shop / "jobs" / "empty").mkdir()
    assert audited(shop, trust)[:-1] == []
    (shop / "jobs" / "empty").rmdir()
    shutil.copytree(shop / "jobs" / B, shop / "jobs" / "copy")
    found = bare(audited(shop, trust))
    assert len(found) > 1
    assert found == bare(audited(shop, "nothing"))


def test_another_day_is_news_for_a_word_may_be_over(shop: Path, walks: list[Path]) -> None:
    audited(shop)
    walks.clear()
    audited(shop, now=NOW + timedelta(days=1))
    audited(shop, now=None)
    assert walks == [shop, shop]


def test_another_hour_is_none_and_what_hangs_on_it_is_asked_all_the_same(
    shop: Path, walks: list[Path]
) -> None:
    """The shop has one job under way; its last word is some hours before midnight."""
    jobs = AllJobs(shop / "jobs", Way(), None)
    walk = Walk(shop, Choice(), "", jobs, lambda _: True, None)
    [last] = [each for each in walk.passed() if isinstance(each, LastWord)]
    over = datetime.fromtimestamp(last.milliseconds / 1000, UTC) + OPEN_FOR
    begins = over - timedelta(seconds=1)
    assert begins.date() == over.date()
    audited(shop, now=begins)
    walks.clear()
    told = [
        [each.job for each in audited(shop, now=now) if isinstance(each, Finding)]
        for now in (begins, over)
    ]
    assert told == [[], [D]]
    assert walks == []


@pytest.fixture
def without_changed(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let the system not say when a file changed, as Windows does not."""
    real = job_files.stamp_of
    monkeypatch.setattr(
        job_files, "stamp_of", lambda kept: (stamp := real(kept)) and stamp._replace(changed=0)
    )


def write_behind(path: Path, content: bytes) -> None:
    """Write `content` into the file at `path`, and set its time back."""
    before = path.stat()
    path.write_bytes(content)
    os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns))


@pytest.mark.usefixtures("without_changed")
def test_other_content_behind_the_same_stamp_is_news_for_a_thorough_audit(
    shop: Path, walks: list[Path]
) -> None:
    audited(shop)
    record = shop / "jobs" / B / "record.json"
    write_behind(record, record.read_bytes().replace(b"small-receiver", b"other-receiver"))
    walks.clear()
    assert not [each for each in audited(shop) if isinstance(each, Finding)]
    assert walks == []
    told = {each.rule.id for each in audited(shop, "hashes") if isinstance(each, Finding)}
    assert told == {"record-differs", "changed-behind-the-stamp"}
    assert walks == [shop]


@pytest.mark.usefixtures("without_changed")
def test_content_that_was_another_for_a_while_is_news(shop: Path) -> None:
    """A disk that fails now and then: narrowed audits have read the one content and the other."""
    audited(shop)
    record = shop / "jobs" / B / "record.json"
    content = record.read_bytes()
    for each in (content.replace(b"small-receiver", b"other-receiver"), content):
        write_behind(record, each)
        list(audit_shop(shop, Choice(by="T1"), NOW, Way(trust="hashes")))
    told = [each.rule.id for each in audited(shop) if isinstance(each, Finding)]
    assert told == ["changed-behind-the-stamp"] * 2


def test_what_cannot_be_read_is_tried_anew_each_time(shop: Path, walks: list[Path]) -> None:
    (shop / "jobs" / B / "procedure.yaml").write_bytes(b"\xff")
    first = audited(shop)
    assert audited(shop) == first
    assert walks == [shop, shop]


def test_an_audit_that_was_stopped_or_narrowed_is_not_taken_for_a_whole_one(
    shop: Path, walks: list[Path]
) -> None:
    damage(shop)
    way = Way(trust="stamps")
    list(audit_shop(shop, Choice(), NOW, way, go_on=lambda jobs: jobs < 2))
    list(audit_shop(shop, Choice(by="S1"), NOW, way))
    walks.clear()
    assert bare(audited(shop)) == bare(audited(shop, "nothing"))
    assert walks == [shop, shop]


def test_what_was_written_too_shortly_before_is_not_relied_on(
    shop: Path, walks: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(index, "TICK", 10**12)
    audited(shop)
    audited(shop)
    assert walks == [shop, shop]


def test_what_changes_while_it_is_walked_through_is_news_the_next_time(
    shop: Path, walks: list[Path]
) -> None:
    audit = audit_shop(shop, Choice(), NOW, Way(trust="stamps"), go_on=lambda _: grown(shop))
    list(audit)
    walks.clear()
    found = bare(audited(shop))
    assert walks == [shop]
    assert found == bare(audited(shop, "nothing"))


def grown(shop: Path) -> bool:
    once_more(shop / "staff.yaml")
    return True


def test_more_findings_than_are_kept_are_found_anew(
    shop: Path, walks: list[Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    damage(shop)
    monkeypatch.setattr(audit_of_shop, "MOST", 1)
    first = audited(shop)
    assert audited(shop) == first
    assert walks == [shop, shop]


@pytest.mark.parametrize(
    "harm",
    [
        "DELETE FROM walk",
        "UPDATE walk SET came_to = CAST('{}' AS BLOB)",
        "UPDATE walk SET came_to = 7",
        "UPDATE walk SET whole = NULL",
        "UPDATE walk SET rests_on = 'so'",
        "UPDATE job SET files = '[]'",
        "UPDATE job SET files = '{'",
        "UPDATE job SET files = NULL",
        "UPDATE job SET behind = NULL",
        "DROP TABLE walk",
    ],
)
def test_a_damaged_index_changes_nothing_of_what_is_found(
    shop: Path, walks: list[Path], harm: str
) -> None:
    damage(shop)
    first = audited(shop)
    with closing(sqlite3.connect(shop / NAME)) as base, base:
        base.execute(harm)
    walks.clear()
    assert audited(shop) == first
    assert walks == [shop]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (b'"jobs":', b'"jobs":"x",'),
        (b"grave", b"heavy"),
        (b"torn", b"t\\u001b[31mrn"),
        (b"torn", b"t\\brn"),
        (b"torn", "t\u202ern".encode()),
        (b"torn", b"t\x9brn"),
    ],
)
def test_what_no_program_has_written_is_walked_through(
    shop: Path, walks: list[Path], old: bytes, new: bytes
) -> None:
    """Whoever can write in the shop can make the hashes anew, too."""
    damage(shop)
    first = audited(shop)
    with closing(AuditIndex(shop)) as kept:
        [rests_on, came_to] = kept.walk() or ("", b"")
        assert old in came_to
        kept.keep_walk(rests_on, came_to.replace(old, new))
    walks.clear()
    assert audited(shop) == first
    assert walks == [shop]
