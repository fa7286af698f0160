"""Who gives their PIN is believed, and wrong PINs slow down, whatever happens in between."""

import json
import multiprocessing
from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from filelock import FileLock
from hypothesis import given
from hypothesis import strategies as st

from baycompanion.store import turn
from baycompanion.store.shop import Shop, open_shop
from baycompanion.store.staff import pin_tries
from baycompanion.store.staff.pin_tries import (
    FREE,
    LONGEST_WAIT,
    NAME,
    TooSoon,
    WrongPin,
    forget_tries,
    try_pin,
    wait_after,
)
from baycompanion.store.staff.staff_log import NAME as STAFF_LOG
from baycompanion.store.staff.staff_log import read_staff_log
from baycompanion.store.trouble import StoreTrouble

NOW = datetime(2026, 3, 2, 8, 30, tzinfo=UTC)
PIN = "4711"
# A kept line of PIN at the least cost that scrypt has, so that thousands of tries take no time.
CHEAP = "scrypt n=2 r=1 p=1 salt=73616c7473616c74 key=f4f7357b096fb41074fabd713cf5abcf"


def after(seconds: float) -> datetime:
    return NOW + timedelta(seconds=seconds)


def attempt(folder: Path, pin: str, at: datetime) -> str:
    """Return what came of a try of T1: `right`, `wrong`, or `soon` where it was not looked at."""
    try:
        try_pin(folder, "T1", pin, CHEAP, at)
    except TooSoon:
        return "soon"
    except WrongPin:
        return "wrong"
    return "right"


@pytest.fixture
def proving(shop: Shop) -> Shop:
    """Return the shop with a PIN for T1."""
    file = shop.folder / "staff.yaml"
    text = file.read_text(encoding="utf-8")
    line = f"{{id: T1, role: technician, pin: {CHEAP}}}"
    file.write_text(text.replace("{id: T1, role: technician}", line), encoding="utf-8")
    return open_shop(shop.folder)


def test_the_right_pin_proves_who_somebody_is(proving: Shop) -> None:
    assert proving.prove(" t1 ", f"{PIN}\n", NOW) == replace(proving.staff["T1"], signed="pin")


def test_a_wrong_pin_stands_in_the_log_of_the_staff_and_what_came_too_soon_does_not(
    proving: Shop,
) -> None:
    for _ in range(5):
        with pytest.raises(WrongPin):
            proving.prove("t1", "9172", NOW)
    log = read_staff_log(proving.folder / STAFF_LOG)
    told = [(event.kind, event.data.model_dump()) for event in log.events]
    assert told == [("pin-refused", {"who": "T1", "tries": tries}) for tries in (1, 2, 3)]
    assert "9172" not in (proving.folder / STAFF_LOG).read_text("utf-8")


@pytest.mark.parametrize("pin", ["", PIN, "anything"])
def test_whoever_has_no_pin_is_believed_by_id(proving: Shop, pin: str) -> None:
    assert proving.prove("s1", pin, NOW) == proving.staff["S1"]
    assert not (proving.folder / NAME).exists()


def test_a_pin_left_empty_is_asked_for_and_not_counted(proving: Shop) -> None:
    for _ in range(2 * FREE):
        with pytest.raises(StoreTrouble, match=r"^T1 has a PIN. Type it, too.$"):
            proving.prove("T1", " ", NOW)
    assert proving.prove("T1", PIN, NOW).id == "T1"


@pytest.mark.parametrize("typed", ["", "T11", "../T1", "T1\x00", "\x1b[2J", "{}", "T1" * 9999])
def test_no_id_whatever_is_typed_makes_a_file_or_a_fault(proving: Shop, typed: str) -> None:
    with pytest.raises(StoreTrouble, match="is not on the staff of this shop") as trouble:
        proving.prove(typed, "1111", NOW)
    assert str(trouble.value).isprintable()
    assert not (proving.folder / NAME).exists()


def test_a_wrong_pin_is_told_with_what_comes_next_and_never_repeated(proving: Shop) -> None:
    told = []
    for pin in ("9172", "8263", "7354"):
        with pytest.raises(WrongPin) as wrong:
            proving.prove("t1", pin, NOW)
        assert not isinstance(wrong.value, TooSoon)
        assert wrong.value.who == "T1"
        assert pin not in str(wrong.value) + repr(wrong.value) + repr(vars(wrong.value))
        assert pin not in (proving.folder / NAME).read_text(encoding="utf-8")
        told.append((wrong.value.tries, wrong.value.wait, str(wrong.value)))
    assert told == [
        (1, 0, "That is not the PIN of T1. 2 more tries without a wait."),
        (2, 0, "That is not the PIN of T1. 1 more try without a wait."),
        (3, 5, "That is not the PIN of T1. Wait 5 s before the next try."),
    ]


def test_during_the_wait_not_even_the_right_pin_is_taken_and_nothing_counts(proving: Shop) -> None:
    for _ in range(FREE):
        with pytest.raises(WrongPin):
            proving.prove("T1", "9172", NOW)
    for pin in (PIN, "9172", PIN):
        with pytest.raises(TooSoon, match=r"^Wait 4 s before the next try.$") as soon:
            proving.prove("T1", pin, after(1.001))
        assert (soon.value.tries, soon.value.wait) == (FREE, 4)
    assert proving.prove("T1", PIN, after(5)).id == "T1"
    with pytest.raises(WrongPin, match="2 more tries without a wait"):
        proving.prove("T1", "9172", after(5))


def test_the_wait_doubles_up_to_ten_minutes() -> None:
    assert [wait_after(tries) for tries in range(1, 13)] == [
        *(0, 0, 5, 10, 20, 40, 80, 160, 320, 600, 600, 600)
    ]
    assert wait_after(10**30) == LONGEST_WAIT == 600


def test_the_wait_of_one_holds_up_nobody_else(tmp_path: Path) -> None:
    for _ in range(FREE):
        assert attempt(tmp_path, "9172", NOW) == "wrong"
    assert attempt(tmp_path, PIN, NOW) == "soon"
    try_pin(tmp_path, "T2", PIN, CHEAP, NOW)


def test_another_terminal_and_a_restart_know_the_count(proving: Shop) -> None:
    for _ in range(FREE):
        with pytest.raises(WrongPin):
            proving.prove("T1", "9172", NOW)
    with pytest.raises(TooSoon):
        open_shop(proving.folder).prove("T1", PIN, NOW)


def test_a_new_pin_begins_without_a_count(tmp_path: Path) -> None:
    forget_tries(tmp_path, "T1")
    for _ in range(FREE):
        attempt(tmp_path, "9172", NOW)
    forget_tries(tmp_path, "T1")
    assert attempt(tmp_path, PIN, NOW) == "right"


def test_who_was_retired_or_has_a_new_pin_is_known_at_a_terminal_left_on(proving: Shop) -> None:
    file = proving.folder / "staff.yaml"
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace(f"pin: {CHEAP}", "active: no"), encoding="utf-8")
    with pytest.raises(StoreTrouble, match="T1 is retired"):
        proving.prove("T1", PIN, NOW)
    file.write_text("staff:\n  - {id: T1, role: trainee}\n", encoding="utf-8")
    assert proving.prove("T1", "", NOW).role == "trainee"
    file.write_text("staff:\n  - {id: T1}\n", encoding="utf-8")
    with pytest.raises(StoreTrouble, match=r"staff.yaml:2:\d+: “role” is missing."):
        proving.prove("T1", PIN, NOW)


@given(
    tries=st.lists(
        st.tuples(st.floats(0, 700), st.sampled_from(["9172", "9172", "9172", PIN])), max_size=60
    )
)
def test_no_more_tries_are_looked_at_in_any_time_than_the_waits_allow(
    tries: Sequence[tuple[float, str]],
) -> None:
    """Counted from outside: between two right ones, wrong try n + 1 keeps its distance from n."""
    with TemporaryDirectory() as name:
        folder, seconds, wrong = Path(name), 0.0, []
        for pause, pin in tries:
            seconds = round(seconds + pause, 3)
            came = attempt(folder, pin, after(seconds))
            # what the brief of the waits says, worked out here by itself: 3 free, then 5, 10, 20…
            due = min(600, 5 * 2 ** (len(wrong) - 3)) if len(wrong) >= 3 else 0
            waits = bool(wrong) and seconds - wrong[-1] < due - 1e-9
            assert came == ("soon" if waits else "right" if pin == PIN else "wrong")
            wrong = [*wrong, seconds] if came == "wrong" else [] if came == "right" else wrong
            in_a_row = [at for at in wrong if seconds - at <= 600]
            assert len(in_a_row) <= 9, "3 free, and after waits of 5 s to 160 s six more"


@given(back=st.floats(0.001, 10**8), wrong=st.integers(FREE, 14), pause=st.floats(0, 700))
def test_a_clock_set_back_lengthens_no_wait_beyond_its_whole_length(
    back: float, wrong: int, pause: float
) -> None:
    with TemporaryDirectory() as name:
        folder, seconds = Path(name), 0.0
        for number in range(wrong):
            seconds += wait_after(number)
            assert attempt(folder, "9172", after(seconds)) == "wrong"
        whole, seconds = wait_after(wrong), seconds - back
        try:
            try_pin(folder, "T1", PIN, CHEAP, after(seconds))
        except TooSoon as soon:
            assert soon.wait <= whole
        assert attempt(folder, PIN, after(seconds + min(pause, whole - 0.01))) == "soon"
        assert attempt(folder, PIN, after(seconds + whole + 0.01)) == "right"


def _guess(folder: Path, times: int) -> None:
    for _ in range(times):
        attempt(folder, "9172", NOW)


def _guess_as(folder: Path, who: str, times: int) -> None:
    for number in range(times):
        try:
            try_pin(folder, who, "9172", CHEAP, NOW + timedelta(hours=number))
        except WrongPin:
            continue


def test_tries_at_two_terminals_at_once_lose_no_count(tmp_path: Path) -> None:
    spawn = multiprocessing.get_context("spawn")
    people = [spawn.Process(target=_guess_as, args=(tmp_path, f"T{n}", 25)) for n in (1, 2)]
    both = [spawn.Process(target=_guess, args=(tmp_path / "one", 10)) for _ in (1, 2)]
    (tmp_path / "one").mkdir()
    for process in (*people, *both):
        process.start()
    for process in (*people, *both):
        process.join()
        assert process.exitcode == 0
    kept = json.loads((tmp_path / NAME).read_bytes())
    assert {who: count["tries"] for who, count in kept.items()} == {"t1": 25, "t2": 25}
    alone = json.loads((tmp_path / "one" / NAME).read_bytes())
    assert alone["t1"]["tries"] == FREE, "at one moment no more than the free ones are looked at"


def test_a_try_is_counted_before_it_is_looked_at(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """So that a program ended at the right moment leaves no try uncounted."""

    def cut_off(*_: object) -> bool:
        raise KeyboardInterrupt

    monkeypatch.setattr(pin_tries, "pin_matches", cut_off)
    for _ in range(FREE):
        with pytest.raises(KeyboardInterrupt):
            attempt(tmp_path, PIN, NOW)
    monkeypatch.undo()
    assert attempt(tmp_path, PIN, NOW) == "soon"


def test_a_disk_that_takes_no_count_lets_nobody_try(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(path: Path, content: bytes) -> None:
        raise StoreTrouble(f"{path} cannot be written: no space left on device.")

    monkeypatch.setattr(pin_tries, "write_whole", full)
    for pin in (PIN, "9172"):
        with pytest.raises(StoreTrouble, match="no space left") as trouble:
            try_pin(tmp_path, "T1", pin, CHEAP, NOW)
        assert not isinstance(trouble.value, WrongPin)


DAMAGED = [
    b"",
    b"{",
    b"[]",
    b'{"t1": 3}',
    b'{"t1": {"tries": 3}}',
    b'{"t1": {"tries": 0, "last": "2026-03-02T08:30:00.000Z"}}',
    b'{"t1": {"tries": "3", "last": "2026-03-02T08:30:00.000Z"}}',
    b'{"t1": {"tries": 3, "last": "2026-03-02T08:30:00"}}',
    b'{"t1": {"tries": 3, "last": "yesterday"}}',
    b'{"t1": {"tries": 3, "last": "2026-03-02T08:30:00.000Z", "pin": "4711"}}',
    b"[" * 100_000,
    b"\xff",
]


@pytest.mark.parametrize("content", DAMAGED)
def test_a_damaged_count_is_told_in_one_sentence(tmp_path: Path, content: bytes) -> None:
    (tmp_path / NAME).write_bytes(content)
    with pytest.raises(StoreTrouble, match=r"pin-tries.json:1: This is no count of PIN tries"):
        attempt(tmp_path, PIN, NOW)
    assert (tmp_path / NAME).read_bytes() == content


def test_a_turn_that_does_not_come_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(turn, "PATIENCE", 0.05)
    holder = FileLock(tmp_path / f".{NAME}.lock")
    with holder, pytest.raises(StoreTrouble, match="is in use in another window"):
        attempt(tmp_path, PIN, NOW)
    assert attempt(tmp_path, PIN, NOW) == "right"


def test_a_shop_folder_that_is_gone_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(StoreTrouble, match="cannot be locked"):
        attempt(tmp_path / "file", PIN, NOW)
