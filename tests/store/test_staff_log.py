"""The log of the staff file only grows, and shows any line that was changed afterwards."""

import hashlib
import json
import multiprocessing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
import rfc8785

from baycompanion.job.events.chain import FIRST_PREV
from baycompanion.store.shop import Shop, open_shop
from baycompanion.store.staff import changes as staff_changes
from baycompanion.store.staff.changes import add_member, give_pin, release, retire
from baycompanion.store.staff.pins import hash_pin
from baycompanion.store.staff.staff import Member
from baycompanion.store.staff.staff_log import NAME, Added, PinGiven, log_change, read_staff_log
from baycompanion.store.trouble import StoreTrouble

NOW = datetime(2026, 3, 2, 8, 30, tzinfo=UTC)
KEPT = hash_pin("4711")


def three(path: Path) -> list[dict[str, object]]:
    log_change(path, Added(who="S1", role="supervisor"), "S1", NOW)
    log_change(path, Added(who="T1", role="trainee"), "S1", NOW + timedelta(hours=1))
    log_change(path, PinGiven(who="T1"), "T1", NOW - timedelta(hours=1))
    return [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]


def test_each_line_is_tied_to_the_one_before_by_the_canonical_form_of_the_rfc(
    tmp_path: Path,
) -> None:
    """RFC 8785, by a library that is not ours."""
    lines = three(tmp_path / NAME)
    prev: object = FIRST_PREV
    for line in lines:
        assert line["prev"] == prev
        prev = line.pop("hash")
        assert hashlib.sha256(rfc8785.dumps(line)).hexdigest() == prev
    assert lines[0]["at"] == "2026-03-02T08:30:00.000Z"
    events = read_staff_log(tmp_path / NAME).events
    assert [(event.by, event.kind) for event in events] == [
        ("S1", "added"),
        ("S1", "added"),
        ("T1", "pin-given"),
    ]


def test_a_log_that_is_not_there_is_an_empty_one(tmp_path: Path) -> None:
    assert read_staff_log(tmp_path / NAME).events == ()
    assert not (tmp_path / NAME).exists()


@pytest.mark.parametrize(
    ("old", "new", "line"),
    [
        ('"who":"T1"', '"who":"T2"', 2),
        ('"by":"T1"', '"by":"S1"', 3),
        ('"seq":1', '"seq":2', 1),
        ('"kind":"added"', '"kind":"joined"', 1),
        ('{"at"', '{"more":1,"at"', 1),
        ('{"at"', '["at"', 1),
        ("2026-03-02T09", "2026-03-02T10", 2),
    ],
)
def test_a_line_changed_afterwards_is_told_and_nothing_is_added(
    tmp_path: Path, old: str, new: str, line: int
) -> None:
    three(tmp_path / NAME)
    text = (tmp_path / NAME).read_text(encoding="utf-8")
    assert old in text
    (tmp_path / NAME).write_text(text.replace(old, new, 1), encoding="utf-8")
    for act in (read_staff_log, lambda path: log_change(path, PinGiven(who="T1"), "S1", NOW)):
        with pytest.raises(StoreTrouble, match=rf"{NAME}:{line}: This line was changed"):
            act(tmp_path / NAME)
    assert (tmp_path / NAME).read_text(encoding="utf-8") == text.replace(old, new, 1)


@pytest.mark.parametrize("number", [0, 1])
def test_a_line_taken_out_is_noticed(tmp_path: Path, number: int) -> None:
    three(tmp_path / NAME)
    lines = (tmp_path / NAME).read_text(encoding="utf-8").splitlines(keepends=True)
    del lines[number]
    (tmp_path / NAME).write_text("".join(lines), encoding="utf-8")
    with pytest.raises(StoreTrouble, match=rf"{NAME}:{number + 1}: "):
        read_staff_log(tmp_path / NAME)


def test_a_log_torn_at_any_byte_of_its_last_line_goes_on_and_loses_nothing(tmp_path: Path) -> None:
    path = tmp_path / NAME
    three(path)
    whole = path.read_bytes()
    last = whole[:-1].rindex(b"\n") + 1
    for end in range(last + 1, len(whole)):
        path.write_bytes(whole[:end])
        path.with_suffix(".torn").unlink(missing_ok=True)
        log_change(path, PinGiven(who="T9"), "S1", NOW)
        assert path.with_suffix(".torn").read_bytes() == whole[last:end] + b"\n"
        events = read_staff_log(path).events
        assert [event.as_dict()["data"]["who"] for event in events] == ["S1", "T1", "T9"]


def test_every_change_of_the_staff_file_is_in_the_log_and_no_pin(shop: Shop) -> None:
    folder = shop.folder
    add_member(folder, Member(id="S9", role="supervisor", pin=KEPT), "S9", NOW)
    add_member(folder, Member(id="S8", role="supervisor", pin=KEPT), "S9", NOW)
    give_pin(folder, "T1", KEPT, "S9", NOW)
    release(folder, "T1", ("receiver-swap",), "S9", NOW)
    release(folder, "T1", None, "S9", NOW)
    retire(folder, "S9", "S9", NOW)
    events = read_staff_log(folder / NAME).events
    assert [
        (event.by, event.kind, event.data.model_dump(exclude_none=True)) for event in events
    ] == [
        ("S9", "added", {"who": "S9", "role": "supervisor"}),
        ("S9", "added", {"who": "S8", "role": "supervisor"}),
        ("S9", "pin-given", {"who": "T1"}),
        ("S9", "released", {"who": "T1", "procedures": ("receiver-swap",)}),
        ("S9", "released", {"who": "T1"}),
        ("S9", "retired", {"who": "S9"}),
    ]
    assert "scrypt" not in (folder / NAME).read_text(encoding="utf-8")
    members = open_shop(folder).members
    assert (members["T1"].pin, members["T1"].released_for) == (KEPT, None)
    assert not members["S9"].active


def test_what_is_refused_changes_neither_file(shop: Shop) -> None:
    add_member(shop.folder, Member(id="S9", role="supervisor", pin=KEPT), "S9", NOW)
    before = {path: path.read_bytes() for path in shop.folder.iterdir() if path.is_file()}
    with pytest.raises(StoreTrouble, match=r"^S9 is the last supervisor with a PIN"):
        retire(shop.folder, "S9", "S9", NOW)
    with pytest.raises(StoreTrouble, match=r"^T1 is in .*staff.yaml already. Choose another id.$"):
        add_member(shop.folder, Member(id="t1", role="trainee"), "S9", NOW)
    with pytest.raises(StoreTrouble, match="“T0” is not on the staff"):
        release(shop.folder, "T0", None, "S9", NOW)
    assert {path: path.read_bytes() for path in shop.folder.iterdir() if path.is_file()} == before


def test_who_was_the_first_supervisor_elsewhere_meanwhile_has_the_word(shop: Shop) -> None:
    """Two terminals ask for the PIN of a first supervisor at once: one of them comes first."""
    add_member(shop.folder, Member(id="S9", role="supervisor", pin=KEPT), "S9", NOW)
    with pytest.raises(StoreTrouble, match=r"^S8 is no supervisor with a PIN, .* one of: S9.$"):
        add_member(shop.folder, Member(id="S8", role="supervisor", pin=KEPT), "S8", NOW)
    with pytest.raises(StoreTrouble, match="S1 is no supervisor with a PIN"):
        give_pin(shop.folder, "S1", KEPT, "S1", NOW)
    give_pin(shop.folder, "T1", KEPT, "S9", NOW)
    give_pin(shop.folder, "T1", KEPT, "T1", NOW)
    with pytest.raises(StoreTrouble, match="T1 is no supervisor with a PIN"):
        release(shop.folder, "T1", None, "T1", NOW)
    retire(shop.folder, "T2", "S9", NOW)
    with pytest.raises(StoreTrouble, match="“T2” is not on the staff"):
        give_pin(shop.folder, "T2", KEPT, "S9", NOW)


def _add_five(folder: Path, letter: str) -> None:
    for number in range(5):
        add_member(folder, Member(id=f"{letter}{number}", role="trainee"), "S9", NOW)


def test_changes_at_two_terminals_at_once_lose_nobody(shop: Shop) -> None:
    add_member(shop.folder, Member(id="S9", role="supervisor", pin=KEPT), "S9", NOW)
    spawn = multiprocessing.get_context("spawn")
    both = [spawn.Process(target=_add_five, args=(shop.folder, letter)) for letter in "AB"]
    for process in both:
        process.start()
    for process in both:
        process.join()
        assert process.exitcode == 0
    added = {f"{letter}{number}" for letter in "AB" for number in range(5)}
    assert added <= set(open_shop(shop.folder).members)
    assert len(read_staff_log(shop.folder / NAME).events) == 11


def test_a_crash_between_log_and_file_leaves_a_line_and_no_silent_change(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(path: Path, content: bytes) -> None:
        raise StoreTrouble(f"{path} cannot be written: no space left on device.")

    monkeypatch.setattr(staff_changes, "write_whole", full)
    with pytest.raises(StoreTrouble, match="no space left"):
        give_pin(shop.folder, "T1", KEPT, "S1", NOW)
    assert [event.kind for event in read_staff_log(shop.folder / NAME).events] == ["pin-given"]
    assert open_shop(shop.folder).members["T1"].pin is None
