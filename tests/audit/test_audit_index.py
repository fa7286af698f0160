"""The index of an audit changes what an audit costs, and never what it finds."""

import json
import os
import shutil
import signal
import sqlite3
import subprocess
import sys
import threading
import time
from collections.abc import Callable
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest
from bay import LISTS, START, T1
from hypothesis import given
from hypothesis import strategies as st

from baycompanion.audit.choice import Choice
from baycompanion.audit.findings import Finding
from baycompanion.audit.one_job import files as job_files
from baycompanion.audit.one_job import gathering
from baycompanion.audit.one_job.facts import JobFacts
from baycompanion.audit.one_job.files import FileSeen, Stamp
from baycompanion.audit.reading import (
    all_jobs,
    behind_stamp,
    index,
    job_reading,
    kept_walk,
    program,
)
from baycompanion.audit.reading.all_jobs import HashedAgain, Trust, Way
from baycompanion.audit.reading.index import NAME, AuditIndex, KeptJob
from baycompanion.audit.reading.readers import Readers
from baycompanion.audit.shop import ShopSeen, audit_shop
from baycompanion.job.actions import Note
from baycompanion.job.deciding.draft import Refused
from baycompanion.store.job.open_job import OpenJob

A, B, C, D = (f"20260302-{order}" for order in "abcd")

BEHIND = behind_stamp.BEHIND.id


pytestmark = pytest.mark.usefixtures("at_once")


@pytest.fixture
def reads(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Return a list that gets the name of each job of which the facts are worked out."""
    worked_out: list[str] = []
    real = job_reading.facts_of

    def counted(files: job_files.JobFiles, *rest: object) -> JobFacts:
        worked_out.append(files.folder.name)
        return real(files, *rest)  # type: ignore[arg-type]

    monkeypatch.setattr(job_reading, "facts_of", counted)
    return worked_out


def audited(shop: Path, trust: Trust = "stamps", **only: str) -> tuple[list[object], HashedAgain]:
    """Return all that an audit yields but what it hashed, and that."""
    found = [
        each if isinstance(each, Finding | ShopSeen) else str(each)
        for each in audit_shop(shop, Choice(**only), way=Way(trust=trust))
    ]
    seen = found.pop()
    assert isinstance(seen, ShopSeen)
    return [*found, (seen.jobs, seen.seal, seen.gates)], seen.hashed or HashedAgain()


def same_as_without(shop: Path, trust: Trust = "stamps") -> list[object]:
    """Return what an audit with the index yields; it is what one without it yields, too."""
    found, _ = audited(shop, trust)
    assert found == audited(shop, "nothing")[0]
    return found


def damage(shop: Path) -> None:
    """Let most kinds of finding be there, and a file that cannot be read."""
    (shop / "jobs" / A / "record.json").unlink()
    record = shop / "jobs" / B / "record.json"
    record.write_bytes(record.read_bytes().replace(b"abandoned", b"closed"))
    shutil.copytree(shop / "jobs" / C, shop / "jobs" / "copy")
    journal = shop / "jobs" / C / "journal.jsonl"
    journal.write_bytes(journal.read_bytes().replace(b"seen again", b"never seen"))
    shutil.copytree(shop / "jobs" / D, shop / "jobs" / "unread")
    (shop / "jobs" / "unread" / "procedure.yaml").write_bytes(b"\xff")


# --- what it spares -----------------------------------------------------------------------------


def test_a_second_audit_reads_no_job_and_finds_the_same(shop: Path, reads: list[str]) -> None:
    first = audited(shop)
    assert sorted(reads) == [A, B, C, D]
    reads.clear()
    assert audited(shop) == first
    assert reads == []


def test_a_second_audit_of_a_damaged_shop_finds_the_same(shop: Path, reads: list[str]) -> None:
    damage(shop)
    first = same_as_without(shop)
    assert len(first) > 8
    reads.clear()
    assert audited(shop)[0] == first
    assert reads == ["unread"]  # what cannot be read is tried anew each time


def note(shop: Path) -> None:
    job = OpenJob(shop / "jobs" / D, LISTS, T1, START)
    assert not isinstance(job.act(Note(note="once more"), T1, START), Refused)
    job.leave()


def entry_gone(shop: Path) -> None:
    lines = (shop / "ledger.jsonl").read_bytes().splitlines(keepends=True)
    (shop / "ledger.jsonl").write_bytes(b"".join(line for line in lines if B.encode() not in line))


CHANGES: list[tuple[Callable[[Path], object], set[str]]] = [
    (note, {D}),
    (lambda shop: (shop / "jobs" / C / "record.json").unlink(), {C}),
    (lambda shop: (shop / "jobs" / D / "record.json").write_bytes(b"{}"), {D}),
    (lambda shop: (shop / "jobs" / B / "journal.jsonl").unlink(), {B}),
    (lambda shop: (shop / "jobs" / B / "procedure.yaml").write_bytes(b"procedure: x\n"), {B}),
    (lambda shop: shutil.rmtree(shop / "jobs" / B), set()),
    (lambda shop: shutil.copytree(shop / "jobs" / B, shop / "jobs" / "copy"), {"copy"}),
    (entry_gone, {B}),
    (lambda shop: (shop / "ledger.jsonl").unlink(), {A, B, C, D}),
]


@pytest.mark.parametrize(("change", "read"), CHANGES)
def test_what_changed_is_read_anew_and_no_more(
    shop: Path, reads: list[str], change: Callable[[Path], object], read: set[str]
) -> None:
    audited(shop)
    reads.clear()
    change(shop)
    found, _ = audited(shop)
    assert set(reads) == read
    assert found == audited(shop, "nothing")[0]


@given(
    changes=st.lists(st.sampled_from([change for change, _ in CHANGES[:5]]), max_size=4),
    trust=st.sampled_from(["stamps", "hashes"]),
)
def test_with_and_without_the_index_an_audit_finds_the_same_whatever_happens(
    whole: Path,
    tmp_path_factory: pytest.TempPathFactory,
    changes: list[Callable[[Path], object]],
    trust: Trust,
) -> None:
    shop = shutil.copytree(whole, tmp_path_factory.mktemp("any") / "shop")
    same_as_without(shop, trust)
    for change in changes:
        try:
            change(shop)
        except Exception:  # what is gone cannot be changed, and a broken job takes no note
            continue
        same_as_without(shop, trust)


def test_what_narrows_an_audit_is_asked_of_kept_facts_too(shop: Path) -> None:
    damage(shop)
    audited(shop)
    for only in ({"by": "T2"}, {"since": "2026-03-03"}, {"procedure": "other"}):
        assert audited(shop, **only) == audited(shop, "nothing", **only)


def test_a_file_written_too_shortly_before_it_was_read_is_not_relied_on(
    shop: Path, reads: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(index, "TICK", 10**12)
    audited(shop)
    reads.clear()
    audited(shop)
    assert sorted(reads) == [A, B, C, D]


@pytest.mark.parametrize(
    ("modified", "changed", "settled"), [(5, 5, True), (6, 5, False), (5, 6, False), (99, 1, False)]
)
def test_settled_is_what_is_older_than_a_tick(
    monkeypatch: pytest.MonkeyPatch, modified: int, changed: int, settled: bool
) -> None:
    monkeypatch.setattr(index, "TICK", 2)
    files = (FileSeen("a", Stamp(1, modified, changed), ""), FileSeen("b", None))
    assert KeptJob("j", "p", "e", 7, files, (), b"").settled is settled


def test_other_rules_or_another_library_read_everything_anew(
    shop: Path, reads: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    audited(shop)
    reads.clear()
    for module in (all_jobs, kept_walk):
        monkeypatch.setattr(module, "program_hash", lambda: "another")
    audited(shop)
    assert sorted(reads) == [A, B, C, D]


def test_the_program_is_known_by_every_line_behind_the_facts(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    source = Path(program.baycompanion.__file__)
    copy = tmp_path / "baycompanion"
    for package in program.PACKAGES:
        shutil.copytree(source.parent / package, copy / package)
    monkeypatch.setattr(program.baycompanion, "__file__", str(copy / "__init__.py"))
    first = program.program_hash.__wrapped__()
    assert program.program_hash.__wrapped__() == first
    for package in program.PACKAGES:
        path = max((copy / package).rglob("*.py"), key=lambda path: len(path.parts))
        path.write_bytes(path.read_bytes() + b"#")
        now = program.program_hash.__wrapped__()
        assert now != first
        first = now


def test_facts_are_worked_out_by_the_packages_that_are_hashed_and_no_other() -> None:
    told = subprocess.run(
        [sys.executable, "-c", f"import sys, {gathering.__name__}; print(*sys.modules)"],
        capture_output=True,
        text=True,
        check=True,
    ).stdout.split()
    ours = {name.split(".")[1] for name in told if name.startswith("baycompanion.")}
    assert ours <= set(program.PACKAGES)


# --- --thorough ---------------------------------------------------------------------------------


def forge(path: Path, old: bytes, new: bytes) -> None:
    """Change a file, its size the same and its time set back."""
    before = path.stat()
    content = path.read_bytes()
    assert old in content
    assert len(old) == len(new)
    path.write_bytes(content.replace(old, new))
    os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns))


def without_changed(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let the system not say when a file changed, as Windows does not."""
    real = job_files.stamp_of

    def stamp_of(kept: os.stat_result | None) -> Stamp | None:
        stamp = real(kept)
        return stamp and Stamp(stamp.size, stamp.modified, 0)

    monkeypatch.setattr(job_files, "stamp_of", stamp_of)


def rules(found: list[object]) -> set[tuple[str, str]]:
    return {(each.rule.id, each.job) for each in found if isinstance(each, Finding)}


def test_a_file_changed_behind_its_stamp_is_found_by_a_thorough_audit(
    shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Not by another one where the system does not say when a file changed."""
    without_changed(monkeypatch)
    audited(shop)
    forge(shop / "jobs" / B / "record.json", b"small-receiver", b"other-receiver")
    assert rules(audited(shop)[0]) == set()
    found, hashed = audited(shop, "hashes")
    assert rules(found) == {("record-differs", B), (BEHIND, B)}
    assert hashed.behind == 1
    [told] = [each for each in found if isinstance(each, Finding) and each.rule.id == BEHIND]
    assert told.rule.weight == "grave"
    assert told.sentence.startswith("record.json is not what it was when an audit read it on ")


@pytest.mark.skipif(os.name == "nt", reason="the system does not say when a file changed")
def test_where_the_system_says_when_a_file_changed_any_audit_finds_it(shop: Path) -> None:
    audited(shop)
    forge(shop / "jobs" / D / "procedure.yaml", b"revision: '3'", b"revision: '4'")
    assert rules(audited(shop)[0]) == {("procedure-changed", D), (BEHIND, D)}


@pytest.mark.parametrize("trust", ["stamps", "hashes"])
def test_it_stays_told_until_the_index_is_deleted(shop: Path, trust: Trust) -> None:
    audited(shop)
    forge(shop / "jobs" / B / "record.json", b"small-receiver", b"other-receiver")
    audited(shop, "hashes")
    found, hashed = audited(shop, trust)
    assert (BEHIND, B) in rules(found)
    assert hashed.behind == 0
    (shop / NAME).unlink()
    assert (BEHIND, B) not in rules(audited(shop, trust)[0])


def test_a_thorough_audit_hashes_every_file_and_takes_what_is_known_of_the_same(
    shop: Path, reads: list[str]
) -> None:
    first = audited(shop)[0]
    for path in (shop / "jobs").rglob("*"):
        os.utime(path)
    reads.clear()
    found, hashed = audited(shop, "hashes")
    assert found == first
    assert reads == []
    files = [
        path
        for path in (shop / "jobs").glob("*/*")
        if path.name in ("journal.jsonl", "record.json", "procedure.yaml")
    ]
    assert hashed == HashedAgain(len(files), sum(path.stat().st_size for path in files), 0)


def test_files_that_grew_or_were_written_again_are_not_behind_their_stamp(shop: Path) -> None:
    audited(shop)
    note(shop)
    record = shop / "jobs" / B / "record.json"
    record.write_bytes(record.read_bytes().replace(b"small-receiver", b"other-receiver"))
    found, hashed = audited(shop, "hashes")
    assert rules(found) == {("record-differs", B)}
    assert hashed.behind == 0


@pytest.mark.parametrize("trust", ["stamps", "hashes"])
def test_a_photo_that_is_put_back_in_place_of_a_folder_is_whole_again(
    shop: Path, photo: Path, trust: Trust
) -> None:
    content = photo.read_bytes()
    photo.unlink()
    photo.mkdir()
    assert rules(audited(shop, trust)[0]) == {("photo-gone", photo.parent.parent.name)}
    photo.rmdir()
    photo.write_bytes(content)
    assert rules(same_as_without(shop, trust)) == set()


# --- an index that is not as it should be -------------------------------------------------------


def other_table(path: Path) -> None:
    base = sqlite3.connect(path)
    base.executescript("CREATE TABLE job (name); INSERT INTO job VALUES ('x');")
    base.close()


def our_head_and_another_table(path: Path) -> None:
    other_table(path)
    base = sqlite3.connect(path)
    base.executescript(f"PRAGMA application_id={index.OURS}; PRAGMA user_version={index.FORM};")
    base.close()


@pytest.mark.parametrize(
    "make",
    [
        lambda path: path.write_bytes(b"no database at all" * 100),
        lambda path: path.write_bytes(b""),
        other_table,
        our_head_and_another_table,
    ],
)
def test_a_file_that_is_no_index_is_made_anew(
    shop: Path, reads: list[str], make: Callable[[Path], None]
) -> None:
    damage(shop)
    make(shop / NAME)
    same_as_without(shop)
    same_as_without(shop)
    reads.clear()
    audited(shop)
    assert reads == ["unread"]


@pytest.mark.skipif(os.name == "nt", reason="links need a right there")
def test_what_no_index_can_be_in_is_gone_without(shop: Path, tmp_path: Path) -> None:
    (shop / NAME).mkdir()
    same_as_without(shop)
    assert (shop / NAME).is_dir()
    (shop / NAME).rmdir()
    (shop / NAME).symlink_to(tmp_path / "elsewhere")
    same_as_without(shop)
    assert not (tmp_path / "elsewhere").exists()


@given(data=st.data())
def test_a_damaged_index_changes_nothing_of_what_is_found(
    whole: Path, tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    shop = shutil.copytree(whole, tmp_path_factory.mktemp("hurt") / "shop")
    damage(shop)
    expected = same_as_without(shop)
    content = bytearray((shop / NAME).read_bytes())
    for _ in range(data.draw(st.integers(1, 30))):
        content[data.draw(st.integers(0, len(content) - 1))] ^= data.draw(st.integers(1, 255))
    if data.draw(st.booleans()):
        del content[data.draw(st.integers(0, len(content))) :]
    (shop / NAME).write_bytes(content)
    assert audited(shop)[0] == expected
    assert audited(shop)[0] == expected


@pytest.mark.parametrize("codes", ["\\u001b[31m", "\\b", "\u202e", "\x9b"])
def test_facts_with_codes_in_them_are_worked_out_anew(shop: Path, codes: str) -> None:
    damage(shop)
    first = audited(shop)[0]
    with closing(AuditIndex(shop)) as kept:
        job = kept.kept([B])[B]
        facts = job.facts.replace(b"record.json", b"record" + codes.encode())
        assert facts != job.facts
        kept.keep([replace(job, facts=facts)])
    assert audited(shop)[0] == first


def test_facts_with_a_number_that_cannot_be_written_are_worked_out_anew(shop: Path) -> None:
    """A finding is known again by a hash of its numbers, as they are written."""
    damage(shop)
    first = audited(shop)[0]
    with closing(AuditIndex(shop)) as kept:
        job = kept.kept([B])[B]
        facts = job.facts.replace(b'"events":[]', b'"events":[%d]' % 10**30, 1)
        assert facts != job.facts
        kept.keep([replace(job, facts=facts)])
    again = audited(shop)[0]
    assert again == first
    assert all(found.key for found in again if isinstance(found, Finding))


def test_facts_that_no_program_wrote_are_worked_out_anew(shop: Path) -> None:
    expected = same_as_without(shop)
    with closing(AuditIndex(shop)) as opened:
        [kept] = opened.kept([B]).values()
        opened.keep([KeptJob(B, kept.program, kept.entries, kept.read_at, kept.files, (), b"{}")])
    assert audited(shop)[0] == expected
    assert audited(shop, "hashes")[0] == expected


def test_an_index_that_another_audit_holds_is_gone_without(
    shop: Path, reads: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    expected = same_as_without(shop)
    monkeypatch.setattr(index, "PATIENCE", 0)
    other = sqlite3.connect(shop / NAME)
    other.execute("BEGIN EXCLUSIVE")
    reads.clear()
    assert audited(shop)[0] == expected
    assert sorted(reads) == [A, B, C, D]
    other.close()
    reads.clear()
    assert audited(shop)[0] == expected
    assert reads == []


def test_an_index_that_cannot_be_written_is_read_all_the_same(
    shop: Path, reads: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    audited(shop)
    note(shop)
    content = (shop / NAME).read_bytes()
    real = sqlite3.connect

    def connect(name: object, **more: object) -> sqlite3.Connection:
        if not name:  # a passing database
            return real("")
        return real(f"file:{name}?mode=ro", uri=True, **more)  # type: ignore[call-overload]

    monkeypatch.setattr(index.sqlite3, "connect", connect)
    for _ in range(2):
        reads.clear()
        same_as_without(shop)
        assert reads[:1] == [D]
    assert (shop / NAME).read_bytes() == content


def test_a_full_disk_costs_the_index_and_no_finding(
    shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    audited(shop)
    real = AuditIndex._open

    def tight(self: AuditIndex) -> None:
        real(self)
        assert self._base is not None
        self._base.execute("PRAGMA max_page_count = 1")

    monkeypatch.setattr(AuditIndex, "_open", tight)
    for number in range(60):
        shutil.copytree(shop / "jobs" / B, shop / "jobs" / f"copy-{number}")
    same_as_without(shop)


def test_two_audits_at_once_do_one_another_no_harm(shop: Path) -> None:
    damage(shop)
    for number in range(40):
        shutil.copytree(shop / "jobs" / B, shop / "jobs" / f"copy-{number}")
    expected = audited(shop, "nothing")[0]
    results: list[list[object]] = []
    threads = [threading.Thread(target=lambda: results.append(audited(shop)[0])) for _ in range(3)]
    for each in threads:
        each.start()
    for each in threads:
        each.join()
    assert results == [expected] * 3
    base = sqlite3.connect(shop / NAME)
    assert base.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    assert base.execute("SELECT count(*) FROM job").fetchone() == (45,)
    base.close()


def test_jobs_that_are_gone_are_forgotten(shop: Path) -> None:
    audited(shop)
    shutil.rmtree(shop / "jobs" / B)
    audited(shop)
    assert B.encode() in (shop / "ledger.jsonl").read_bytes()
    base = sqlite3.connect(shop / NAME)
    assert base.execute("SELECT job FROM job ORDER BY job").fetchall() == [(A,), (C,), (D,)]
    base.close()


def test_an_audit_writes_the_index_and_nothing_else(shop: Path) -> None:
    before = {path: path.stat().st_mtime_ns for path in shop.rglob("*")}
    audited(shop)
    audited(shop, "hashes")
    after = {path: path.stat().st_mtime_ns for path in shop.rglob("*")}
    assert after.pop(shop / NAME)
    assert {path for path in after if path.is_file()} == {p for p in before if p.is_file()}
    assert all(after[path] == before[path] for path in before if path != shop)
    (shop / NAME).unlink()
    audited(shop, "nothing")
    assert not (shop / NAME).exists()


def test_half_a_character_in_a_record_is_told_in_one_sentence(shop: Path) -> None:
    """JSON can name one; no file can be written with it."""
    record = shop / "jobs" / B / "record.json"
    told = json.loads(record.read_bytes())
    record.write_text(json.dumps({**told, "\ud800": 1}, indent=1), encoding="utf-8")
    found = same_as_without(shop)
    assert ("record-differs", B) in rules(found)
    json.dumps([each.sentence for each in found if isinstance(each, Finding)]).encode()


def test_a_number_that_cannot_be_written_is_told_with_its_record(shop: Path) -> None:
    record = shop / "jobs" / B / "record.json"
    told = json.loads(record.read_bytes())
    told["events"][-1] = {**told["events"][-1], "seq": 10**30, "hash": "0"}
    record.write_text(json.dumps({**told, "last_hash": "0"}, indent=1), encoding="utf-8")
    found = same_as_without(shop)
    assert ("record-differs", B) in rules(found)
    assert all(each.key for each in found if isinstance(each, Finding))


def test_a_field_with_a_line_break_is_told_in_one_line(shop: Path) -> None:
    record = shop / "jobs" / B / "record.json"
    told = json.loads(record.read_bytes())
    record.write_text(json.dumps({**told, "two\nlines": 1}, indent=1), encoding="utf-8")
    found = same_as_without(shop)
    assert ("record-differs", B) in rules(found)
    assert not any("\n" in each.sentence for each in found if isinstance(each, Finding))


def test_facts_outlast_their_files_as_they_were(shop: Path) -> None:
    """Through JSON and back nothing of them is other, not even the kind of a number."""
    damage(shop)
    for folder in (shop / "jobs").iterdir():
        facts = job_reading.facts_of(job_files.JobFiles(folder), (), has_ledger=True)
        back = job_reading.read_facts(job_reading._as_json(facts))
        assert repr(back) == repr(facts)


# --- many processes -----------------------------------------------------------------------------


def come(readers: Readers) -> Readers:
    """Return `readers` once the other processes are there."""
    while not readers._are_there():
        time.sleep(0.01)
    return readers


def in_processes(shop: Path, trust: Trust, readers: Readers) -> list[object]:
    found = audit_shop(shop, Choice(), way=Way(readers, trust))
    return [str(each) if not isinstance(each, Finding | ShopSeen) else each for each in found]


def test_in_many_processes_an_audit_finds_the_same_in_the_same_order(shop: Path) -> None:
    damage(shop)
    for number in range(70):
        shutil.copytree(shop / "jobs" / B, shop / "jobs" / f"copy-{number}")
    expected = in_processes(shop, "nothing", Readers(1))
    with Readers(2, alone=0) as readers:
        assert in_processes(shop, "nothing", readers) == expected  # while they are coming
        come(readers)
        assert in_processes(shop, "nothing", readers) == expected
        assert in_processes(shop, "stamps", readers) == expected
        assert in_processes(shop, "stamps", readers) == expected


def test_few_jobs_begin_no_other_process(shop: Path) -> None:
    with Readers(2) as readers:
        in_processes(shop, "nothing", readers)
        assert readers._pool is None


def test_a_process_that_is_killed_is_done_without(shop: Path) -> None:
    for number in range(70):
        shutil.copytree(shop / "jobs" / B, shop / "jobs" / f"copy-{number}")
    expected = in_processes(shop, "nothing", Readers(1))
    with come(Readers(2, alone=0)) as readers:
        found = []
        for each in audit_shop(shop, Choice(), way=Way(readers, "nothing")):
            if not found:
                assert readers._pool is not None
                for process in readers._pool._processes.values():
                    process.kill()
            found.append(each)
    assert found == expected


def test_a_system_without_what_processes_share_reads_here(
    shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no(*_: object, **__: object) -> None:
        raise NotImplementedError

    monkeypatch.setattr("baycompanion.audit.reading.readers.ProcessPoolExecutor", no)
    with Readers(2, alone=0) as readers:
        assert in_processes(shop, "nothing", readers) == in_processes(shop, "nothing", Readers(1))


ENDLESS = """
import sys
from pathlib import Path
from baycompanion.audit.reading.all_jobs import Way
from baycompanion.audit.choice import Choice
from baycompanion.audit.reading.readers import Readers
from baycompanion.audit.shop import audit_shop
from baycompanion.mishaps import Chosen, attend

def run():
    with Readers(2, alone=0) as readers:
        while True:
            if readers._coming and readers._are_there():
                print("there", flush=True)
            for found in audit_shop(Path(sys.argv[1]), Choice(), way=Way(readers)):
                pass

sys.exit(attend(run, Chosen()))
"""


@pytest.mark.skipif(os.name == "nt", reason="a group of processes is sent no Ctrl-C there")
@pytest.mark.parametrize("begun", [True, False])
def test_ctrl_c_ends_all_processes_and_no_traceback_is_shown(shop: Path, begun: bool) -> None:
    """As a terminal does it: every process of the group gets it."""
    running = subprocess.Popen(
        [sys.executable, "-c", ENDLESS, str(shop)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )
    assert running.stdout is not None
    if begun:
        assert running.stdout.readline() == "there\n"
    else:  # while the others are still beginning
        wait_for_children(running.pid)
    os.killpg(running.pid, signal.SIGINT)
    _, told = running.communicate(timeout=30)  # which waits until all have closed their ends
    assert running.returncode == 130, told
    assert told == "Stopped. Everything that was told as done is on the disk.\n"


def wait_for_children(pid: int) -> None:
    """Return once the process `pid` has begun another one beside the tracker of what they share."""
    children = Path(f"/proc/{pid}/task/{pid}/children")
    if not children.exists():
        pytest.skip("this system does not list the children of a process")
    while len(children.read_text().split()) < 2:
        pass
