"""The audit of a shop folder: what was done to it is found, named, and the rest still audited."""

import gc
import json
import os
import shutil
import tracemalloc
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from bay import LISTS, START, T1
from hypothesis import given
from hypothesis import strategies as st

from baycompanion.audit.choice import Choice
from baycompanion.audit.findings import Finding, spans
from baycompanion.audit.reading import all_jobs, index
from baycompanion.audit.reading.all_jobs import Trust, Way
from baycompanion.audit.shop import ShopSeen, audit_shop
from baycompanion.job.actions import Close
from baycompanion.job.events.chain import canonical, hash_event
from baycompanion.job.events.moment import read_moment
from baycompanion.job.record.making import make_record
from baycompanion.job.state.fold import fold_all
from baycompanion.store.job.folder import read_job, record_bytes, record_of, write_record
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.ledger.entering import enter_missing
from baycompanion.store.trouble import StoreTrouble

A, B, C, D = (f"20260302-{order}" for order in "abcd")
OLDER = Path(__file__).parents[1] / "store" / "older-job"


def audit(shop: Path, **only: str) -> tuple[list[Finding], list[str]]:
    """Return the findings of an audit, and what it could not read."""
    found = list(audit_shop(shop, Choice(**only)))
    findings = [each for each in found if isinstance(each, Finding)]
    assert all(finding.shop == str(shop) for finding in findings)
    return findings, [str(each) for each in found if isinstance(each, StoreTrouble)]


def rules(shop: Path, **only: str) -> set[tuple[str, str]]:
    """Return rule and job of each finding, where everything could be read."""
    findings, unread = audit(shop, **only)
    assert unread == []
    return {(finding.rule.id, finding.job) for finding in findings}


def journal(shop: Path, job: str) -> Path:
    return shop / "jobs" / job / "journal.jsonl"


def record(shop: Path, job: str) -> Path:
    return shop / "jobs" / job / "record.json"


def lines_of(path: Path) -> list[bytes]:
    return path.read_bytes().splitlines(keepends=True)


def forge(path: Path, old: bytes, new: bytes) -> None:
    """Change a chain as somebody would who knows how it is made: every hash fits again."""
    prev, forged = "0" * 64, []
    for line in path.read_bytes().replace(old, new).splitlines():
        raw = {**json.loads(line), "prev": prev}
        prev = hash_event(raw)
        forged.append(canonical({**raw, "hash": prev}) + b"\n")
    path.write_bytes(b"".join(forged))


def test_nothing_is_found_where_nothing_was_done(shop: Path) -> None:
    found = list(audit_shop(shop, Choice()))
    assert found == [ShopSeen(str(shop), jobs=4)]


def test_an_audit_writes_nothing(shop: Path) -> None:
    before = {path: path.stat().st_mtime_ns for path in shop.rglob("*")}
    audit(shop)
    assert {path: path.stat().st_mtime_ns for path in shop.rglob("*")} == before


# --- one file changed ---------------------------------------------------------------------------

FILES = [f"jobs/{B}/{name}" for name in ("journal.jsonl", "record.json", "procedure.yaml")]


@given(data=st.data(), name=st.sampled_from([*FILES, "ledger.jsonl"]), flip=st.integers(1, 255))
def test_any_changed_byte_in_any_file_that_counts_is_found(
    whole: Path, shop: Path, data: st.DataObject, name: str, flip: int
) -> None:
    content = (whole / name).read_bytes()
    changed = bytearray(content)
    changed[data.draw(st.integers(0, len(content) - 1))] ^= flip
    (shop / name).write_bytes(changed)
    findings, unread = audit(shop)
    (shop / name).write_bytes(content)
    about = {finding.job for finding in findings}
    if name == "ledger.jsonl":
        assert findings
    else:
        assert about == {B} or (not findings and len(unread) == 1 and B in unread[0])


def deleted(lines: list[bytes], at: int) -> list[bytes]:
    return [*lines[:at], *lines[at + 1 :]]


def swapped(lines: list[bytes], at: int) -> list[bytes]:
    other = at + 1 if at + 1 < len(lines) else at - 1
    new = list(lines)
    new[at], new[other] = lines[other], lines[at]
    return new


def doubled(lines: list[bytes], at: int) -> list[bytes]:
    return [*lines[: at + 1], *lines[at:]]


def truncated(lines: list[bytes], at: int) -> list[bytes]:
    return lines[:at] if at else [lines[0][:-9]]


LINES = 6
"""Of the journal of a job that was given up: opened, accepted, begun, two notes, abandoned."""


@pytest.mark.parametrize("at", range(LINES))
@pytest.mark.parametrize(
    ("change", "named"),
    [
        (deleted, "event-missing"),
        (swapped, "event-reordered"),
        (doubled, "event-extra"),
        (truncated, "event-missing"),
    ],
)
def test_lines_of_a_journal_that_are_not_as_they_were_are_named(
    shop: Path, change: object, named: str, at: int
) -> None:
    lines = lines_of(journal(shop, B))
    assert len(lines) == LINES
    journal(shop, B).write_bytes(b"".join(change(lines, at)))  # type: ignore[operator]
    findings, unread = audit(shop)
    if change is truncated and at == 0:
        assert len(unread) == 1
        assert "holds no whole event" in unread[0]
        return
    assert unread == []
    assert {finding.job for finding in findings} == {B}
    [first] = [finding for finding in findings if finding.rule.id == named]
    assert at + 1 in first.events


@pytest.mark.parametrize(
    ("change", "named", "also"),
    [
        (deleted, "entry-missing", {("job-not-in-ledger", B)}),
        (swapped, "entry-reordered", set()),
        (doubled, "entry-extra", {("job-entered-twice", B)}),
    ],
)
def test_lines_of_the_ledger_that_are_not_as_they_were_are_named(
    shop: Path, change: object, named: str, also: set[tuple[str, str]]
) -> None:
    lines = lines_of(shop / "ledger.jsonl")
    (shop / "ledger.jsonl").write_bytes(b"".join(change(lines, 2)))  # type: ignore[operator]
    assert rules(shop) == {(named, ""), *also}
    for finding in audit(shop)[0]:
        if finding.rule.id == "job-entered-twice":
            assert finding.evidence == "ledger entry 3", "it stands there twice by one number"


def test_an_entry_that_was_edited_is_named_and_its_job_is_not_entered_any_more(
    shop: Path,
) -> None:
    lines = lines_of(shop / "ledger.jsonl")
    lines[2] = lines[2].replace(b'"events":6', b'"events":5')
    (shop / "ledger.jsonl").write_bytes(b"".join(lines))
    findings, _ = audit(shop)
    told = {(finding.rule.id, finding.job, finding.entries) for finding in findings}
    assert told == {("entry-changed", "", (3,)), ("job-not-in-ledger", B, ())}


def test_the_last_entry_taken_off_leaves_its_job_without_one(shop: Path) -> None:
    lines = lines_of(shop / "ledger.jsonl")
    (shop / "ledger.jsonl").write_bytes(b"".join(lines[:-1]))
    assert rules(shop) == {("job-not-in-ledger", C)}


def test_torn_ends_are_told(shop: Path) -> None:
    for path in (shop / "ledger.jsonl", journal(shop, D)):
        with path.open("ab") as file:
            file.write(b'{"at":')
    findings, unread = audit(shop)
    assert unread == []
    assert {(each.rule.id, each.job, each.rule.weight) for each in findings} == {
        ("ledger-torn", "", "minor"),
        ("journal-torn", D, "minor"),
    }
    assert all("6 bytes" in finding.sentence for finding in findings)


# --- somebody who knows how it is made ----------------------------------------------------------


def test_a_journal_written_anew_with_its_record_is_found_by_the_ledger(shop: Path) -> None:
    forge(journal(shop, B), b"seen again", b"never seen")
    job = read_job(shop / "jobs" / B)
    write_record(job.folder, record_of(job))
    findings, _ = audit(shop)
    assert {(finding.rule.id, finding.job) for finding in findings} == {
        ("journal-rewritten", B),
        ("record-written-again", B),
    }
    [rewritten] = [each for each in findings if each.rule.id == "journal-rewritten"]
    assert (rewritten.events, rewritten.entries) == ((6,), (3,))


def test_with_ledger_and_no_seal_everything_can_be_written_anew(shop: Path) -> None:
    """What the README says: then only the printed fingerprint tells."""
    before = read_job(shop / "jobs" / C).state.head
    forge(journal(shop, C), b"seen again", b"never seen")
    job = read_job(shop / "jobs" / C)
    write_record(job.folder, record_of(job))
    lines = lines_of(shop / "ledger.jsonl")
    (shop / "ledger.jsonl").write_bytes(b"".join(lines[:-1]))
    enter_missing(shop, START)
    assert rules(shop) == set()
    assert job.state.head != before


def test_an_entry_that_says_another_thing_than_the_journal_is_named(shop: Path) -> None:
    forge(shop / "ledger.jsonl", b'"status":"abandoned"', b'"status":"closed"')
    assert rules(shop) == {("entry-differs", job) for job in (A, B, C)}


def test_events_that_do_not_fold_are_named_and_the_rest_is_audited(shop: Path) -> None:
    forge(journal(shop, D), b'"kind":"begun"', b'"kind":"bygone"')
    forge(journal(shop, A), b'"step":"ask-amplifier"', b'"step":"no-such-step"')
    record(shop, B).unlink()
    findings, unread = audit(shop)
    assert any(D in told and "is no kind of event known here" in told for told in unread)
    assert ("record-gone", B) in {(finding.rule.id, finding.job) for finding in findings}


# --- records ------------------------------------------------------------------------------------


def edit(path: Path, field: str, value: object) -> None:
    """Change one field of a record, and write it as the program does."""
    told = json.loads(path.read_bytes())
    told[field] = value
    path.write_bytes(json.dumps(told, indent=1, ensure_ascii=False).encode() + b"\n")


@pytest.mark.parametrize(
    ("field", "value"), [("clean", True), ("technician", "T9"), ("last_hash", "ab" * 32)]
)
def test_a_record_that_was_edited_names_the_first_field(
    shop: Path, field: str, value: object
) -> None:
    edit(record(shop, B), field, value)
    findings, unread = audit(shop)
    assert unread == []
    assert [(each.rule.id, each.job) for each in findings] == [("record-differs", B)] * 2
    assert findings[0].sentence.startswith(f"In record.json {field} is not what the events give.")
    assert findings[1].sentence.startswith("record.json is not the one that was entered on 2026")


def test_a_field_taken_out_of_a_record_that_was_entered_is_grave(shop: Path) -> None:
    told = json.loads(record(shop, B).read_bytes())
    del told["overrides"]
    record(shop, B).write_bytes(json.dumps(told).encode())
    findings, _ = audit(shop)
    assert findings[0].sentence.startswith("In record.json overrides is missing, and the events")
    assert findings[0].rule.weight == "grave"


def test_a_record_in_other_bytes_that_says_the_same_is_named(shop: Path) -> None:
    record(shop, B).write_bytes(json.dumps(json.loads(record(shop, B).read_bytes())).encode())
    findings, _ = audit(shop)
    assert "says what the events say, in bytes" in findings[0].sentence


@pytest.mark.parametrize("content", [b"", b"{}", b"[]", b"\xff", b"[" * 100_000, b'{"events":[]}'])
def test_a_record_of_nothing_is_named(shop: Path, content: bytes) -> None:
    record(shop, B).write_bytes(content)
    assert rules(shop) == {("record-differs", B)}


def test_a_record_that_an_older_version_wrote_and_entered_is_only_minor(shop: Path) -> None:
    """The ledger knows its very bytes, and all that it says is what the events give."""
    told = json.loads(record(shop, C).read_bytes())
    del told["tray"]
    record(shop, C).write_bytes(json.dumps(told, indent=1).encode())
    lines = lines_of(shop / "ledger.jsonl")
    (shop / "ledger.jsonl").write_bytes(b"".join(lines[:-1]))
    enter_missing(shop, START)
    assert rules(shop) == {("record-of-older-form", C)}


def test_a_record_without_a_field_that_would_be_empty_lacks_nothing(shop: Path) -> None:
    """Where no ledger knows the bytes, whoever takes out what says nothing hides nothing."""
    told = json.loads(record(shop, C).read_bytes())
    assert told.pop("mentor") is None
    record(shop, C).write_bytes(json.dumps(told, indent=1).encode())
    (shop / "ledger.jsonl").unlink()
    assert ("record-of-older-form", C) in rules(shop)
    assert ("record-differs", C) not in rules(shop)


def test_a_provisional_record_of_a_job_that_went_on_is_in_order(shop: Path) -> None:
    job = read_job(shop / "jobs" / D)
    write_record(job.folder, record_of(job))
    again = OpenJob(job.folder, LISTS, T1, START)
    again.act(Close(close="keys back"), T1, START - timedelta(hours=1))
    again.leave()
    assert len(again.events) > len(job.events)
    assert rules(shop) == {("clock-set-back", D)}
    edit(record(shop, D), "work_order", "another")
    assert rules(shop) == {("clock-set-back", D), ("record-differs", D)}


def test_a_record_behind_its_ended_job_is_told(shop: Path) -> None:
    record(shop, B).write_bytes(record(shop, A).read_bytes())
    assert ("record-differs", B) in rules(shop)
    job = read_job(shop / "jobs" / B)
    first = job.events[:4]
    behind_it = make_record(job.procedure, fold_all(first), first)
    record(shop, B).write_bytes(record_bytes(behind_it))
    findings, _ = audit(shop)
    [behind] = [each for each in findings if each.rule.id == "record-behind"]
    assert behind.events == (5, 6)


def test_a_procedure_changed_after_the_job_began_is_named(shop: Path) -> None:
    with (shop / "jobs" / B / "procedure.yaml").open("ab") as file:
        file.write(b"# a remark\n")
    assert rules(shop) == {("procedure-changed", B)}


def test_a_photo_changed_or_taken_away_is_named(shop: Path, photo: Path) -> None:
    assert rules(shop) == set()
    photo.write_bytes(b"b picture")
    assert rules(shop) == {("photo-changed", "20260302-e")}
    photo.unlink()
    [found], _ = audit(shop)
    assert (found.rule.id, found.rule.weight) == ("photo-gone", "serious")
    event = json.loads(lines_of(journal(shop, "20260302-e"))[found.events[0] - 1])
    assert event["kind"] == "photo-added"


def test_a_folder_that_was_copied_under_another_name_is_named(shop: Path) -> None:
    shutil.copytree(shop / "jobs" / B, shop / "jobs" / "copy")
    assert rules(shop) == {("job-renamed", "copy"), ("job-not-in-ledger", "copy")}


# --- what is not there --------------------------------------------------------------------------


def test_the_folder_of_a_job_taken_away_is_named(shop: Path) -> None:
    shutil.rmtree(shop / "jobs" / B)
    findings, unread = audit(shop)
    assert unread == []
    assert [(each.rule.id, each.job, each.entries) for each in findings] == [("job-gone", B, (3,))]


def test_a_journal_taken_away_is_named(shop: Path) -> None:
    journal(shop, B).unlink()
    (shop / "jobs" / "never begun").mkdir()
    assert rules(shop) == {("journal-gone", B)}


def test_a_record_taken_away_is_named(shop: Path) -> None:
    record(shop, B).unlink()
    assert rules(shop) == {("record-gone", B)}


def test_a_ledger_taken_away_is_one_finding_and_not_one_for_each_job(shop: Path) -> None:
    (shop / "ledger.jsonl").unlink()
    [found], _ = audit(shop)
    assert found.rule.id == "ledger-gone"
    assert found.sentence.startswith("3 jobs have ended here")


def test_a_ledger_begun_anew_says_when_its_jobs_were_entered(shop: Path) -> None:
    (shop / "ledger.jsonl").unlink()
    enter_missing(shop, START + timedelta(days=9))
    [found], _ = audit(shop)
    assert (found.rule.id, found.entries) == ("entered-afterwards", (2, 4))
    assert found.sentence.startswith("3 jobs were entered on 2026-03-11, not at the end")


def test_an_older_job_that_is_enrolled_is_told_as_such(shop: Path) -> None:
    """Its events name a photo, which is not kept beside them."""
    folder = shutil.copytree(OLDER, shop / "jobs" / "job-1")
    when = read_moment(json.loads(lines_of(journal(shop, "job-1"))[-1])["at"])
    job = OpenJob(folder, LISTS, T1, when)
    job.act(Close(close="keys back"), T1, when)
    job.leave()
    (shop / "ledger.jsonl").unlink()
    enter_missing(shop, START + timedelta(days=9))
    findings, _ = audit(shop)
    assert {finding.rule.id for finding in findings} == {"entered-afterwards", "photo-gone"}
    [found] = [each for each in findings if each.rule.id == "entered-afterwards"]
    assert found.sentence.startswith("4 jobs were entered on 2026-03-11")


def test_a_job_entered_days_after_its_end_is_told(shop: Path) -> None:
    lines = lines_of(shop / "ledger.jsonl")
    (shop / "ledger.jsonl").write_bytes(b"".join(lines[:-1]))
    enter_missing(shop, START + timedelta(days=3))
    [found], _ = audit(shop)
    assert (found.rule.id, found.job) == ("entered-late", C)
    assert "ended on 2026-03-02 and was entered on 2026-03-05" in found.sentence


# --- what cannot be read ------------------------------------------------------------------------


@pytest.mark.skipif(os.name == "nt", reason="a folder opens as a file nowhere else so plainly")
@pytest.mark.parametrize("name", ["journal.jsonl", "record.json", "procedure.yaml"])
def test_a_file_that_cannot_be_read_is_named_and_the_rest_audited(shop: Path, name: str) -> None:
    path = shop / "jobs" / B / name
    path.unlink()
    path.mkdir()
    record(shop, A).unlink()
    findings, unread = audit(shop)
    assert len(unread) == 1
    assert str(path) in unread[0]
    assert ("record-gone", A) in {(finding.rule.id, finding.job) for finding in findings}


def test_a_ledger_that_cannot_be_read_is_named_and_the_jobs_audited(shop: Path) -> None:
    (shop / "ledger.jsonl").unlink()
    (shop / "ledger.jsonl").mkdir()
    record(shop, A).unlink()
    findings, unread = audit(shop)
    assert len(unread) == 1
    assert "ledger.jsonl cannot be read" in unread[0]
    assert [(finding.rule.id, finding.job) for finding in findings] == [("record-gone", A)]


def test_a_folder_that_is_no_shop_is_named(tmp_path: Path) -> None:
    findings, [told] = audit(tmp_path)
    assert findings == []
    assert told == f"{tmp_path} is no shop folder: it has no jobs."


# --- what narrows it ----------------------------------------------------------------------------


def seen(shop: Path, **only: str) -> Iterator[int]:
    """Yield how many jobs an audit looked at."""
    for found in audit_shop(shop, Choice(**only)):
        if isinstance(found, ShopSeen):
            yield found.jobs


@pytest.mark.parametrize(
    ("only", "jobs"),
    [
        ({"by": "T1"}, 3),
        ({"by": "t2"}, 1),
        ({"by": "T9"}, 0),
        ({"procedure": "small-receiver"}, 4),
        ({"procedure": "other"}, 0),
        ({"since": "2026-03-02"}, 4),
        ({"since": "2026-03-03"}, 0),
        ({"since": "2026-03-01", "by": "T2", "procedure": "small-receiver"}, 1),
    ],
)
def test_an_audit_can_be_narrowed(shop: Path, only: dict[str, str], jobs: int) -> None:
    assert list(seen(shop, **only)) == [jobs]


def test_what_is_left_out_has_no_findings(shop: Path) -> None:
    record(shop, A).unlink()
    shutil.rmtree(shop / "jobs" / C)
    assert rules(shop, by="T1") == {("record-gone", A)}
    assert rules(shop, by="T2") == {("job-gone", C)}
    assert rules(shop, since="2026-03-03") == set()
    assert rules(shop, procedure="other") == set()


def test_numbers_are_told_in_spans() -> None:
    assert spans([]) == ""
    assert spans([3]) == "3"
    assert spans([4, 3]) == "3, 4"
    assert spans([1, 5, 6, 7, 9]) == "1, 5 to 7, 9"


def peak(shop: Path, trust: Trust) -> int:
    """Return the most bytes that an audit of `shop` held at once; nothing it yields is kept."""
    gc.collect()
    gc.freeze()  # what tests before left need not be looked through again and again
    tracemalloc.start()
    for number, _ in enumerate(audit_shop(shop, Choice(), way=Way(trust=trust))):
        if number % 8 == 0:
            gc.collect()  # so that only what is held on to is counted
    most = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    gc.unfreeze()
    return most


@pytest.mark.parametrize("trust", ["nothing", "stamps", "hashes"])
def test_memory_does_not_grow_with_the_number_of_jobs(
    shop: Path, trust: Trust, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(index, "TICK", 0)
    monkeypatch.setattr(all_jobs, "AT_ONCE", 2)
    peaks = []
    for number in range(44):
        shutil.copytree(shop / "jobs" / B, shop / "jobs" / f"copy-{number}")
        if number in (8, 43):
            list(audit_shop(shop, Choice(), way=Way(trust=trust)))  # what is loaded or kept once
            peaks.append(peak(shop, trust))
    assert peaks[1] < 1.3 * peaks[0]
