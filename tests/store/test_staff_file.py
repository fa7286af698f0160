"""The staff file: what it says of somebody, and who counts as staff by it."""

from pathlib import Path

import pytest

from baycompanion.store.shop import open_shop
from baycompanion.store.staff.pins import hash_pin
from baycompanion.store.staff.staff import FIRST_TEXT, staff_in
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.problem import BadFile

KEPT = hash_pin("4711")
WHOLE = f"""\
staff:
  - id: S1
    role: supervisor
    initials: JD
    pin: {KEPT}
  - id: N1
    role: trainee
    released-for: [receiver-swap]
  - {{id: T9, role: technician, active: no}}
  - {{id: T1, role: technician, released-for: [], active: yes}}
"""


def test_all_that_is_written_of_somebody_is_read() -> None:
    members = staff_in(WHOLE, "staff.yaml")
    assert list(members) == ["S1", "N1", "T9", "T1"]
    assert (members["S1"].initials, members["S1"].pin) == ("JD", KEPT)
    assert [member.active for member in members.values()] == [True, True, False, True]
    assert members["N1"].pin is None
    assert members["S1"].is_released_for("anything")
    assert members["N1"].is_released_for("receiver-swap")
    assert not members["N1"].is_released_for("amplifier-add")
    assert not members["T1"].is_released_for("receiver-swap")


def test_the_kept_pin_of_a_member_is_not_shown_with_it() -> None:
    assert "scrypt" not in repr(staff_in(WHOLE, "staff.yaml"))


def test_only_those_who_work_here_are_on_the_lists_of_a_job(tmp_path: Path) -> None:
    """R48."""
    (tmp_path / "staff.yaml").write_text(WHOLE, encoding="utf-8")
    shop = open_shop(tmp_path)
    assert list(shop.members) == ["S1", "N1", "T9", "T1"]
    assert list(shop.staff) == list(shop.lists.staff) == ["S1", "N1", "T1"]


@pytest.mark.parametrize("typed", ["T9", " t9 "])
def test_somebody_retired_is_refused_with_the_file_that_says_so(tmp_path: Path, typed: str) -> None:
    (tmp_path / "staff.yaml").write_text(WHOLE, encoding="utf-8")
    with pytest.raises(StoreTrouble) as trouble:
        open_shop(tmp_path).person(typed)
    file = tmp_path / "staff.yaml"
    assert str(trouble.value) == f"T9 is retired, says {file}. Write one of: S1, N1, T1."


def test_the_first_staff_file_says_what_else_may_stand_in_it() -> None:
    assert list(staff_in(FIRST_TEXT, "staff.yaml")) == ["T1", "S1"]
    told = FIRST_TEXT.replace("role: technician", f"role: technician\n    pin: {KEPT}")
    for remark in ("    initials: JD", "    released-for:", "    active: no"):
        assert f"#   {remark.strip()}" in FIRST_TEXT
    told += "    initials: JD\n    released-for:\n      - receiver-swap\n    active: no\n"
    assert staff_in(told, "staff.yaml")["S1"].released_for == ("receiver-swap",)


ONE = "staff:\n  - {id: T1, role: trainee, "
BAD = [
    # what stands in the file, where the finding is, and what it says
    (ONE + "pin: 4711}\n", "2:34", "What stands here is not what is kept of a PIN. Delete the"),
    (ONE + "pin: }\n", "2:34", "What stands here is not what is kept of a PIN."),
    (ONE + "pin: [4711, 12]}\n", "2:29", "“pin” cannot be a list."),
    (ONE + f"pin: {KEPT[:-1]}}}\n", "2:34", "What stands here is not what is kept of a PIN."),
    (ONE + f"pin: {KEPT.replace('16384', '1048576')}}}\n", "2:34", "not what is kept of a PIN."),
    (ONE + "initials: ' '}\n", "2:39", "Nothing is written here."),
    (ONE + "released-for: receiver-swap}\n", "2:43", "“released-for” cannot be “receiver-swap”."),
    (ONE + "released-for: [Receiver Swap]}\n", "2:44", "is no name for a thing in a procedure."),
    (ONE + "active: gone}\n", "2:37", "“active” cannot be “gone”. Write yes or no."),
    (ONE + "activ: no}\n", "2:29", "“activ” is not known here. Did you mean active?"),
    (ONE + "active: no}\n", "1:1", "Nobody here is active. Write active: yes for one of them."),
]


@pytest.mark.parametrize(("text", "where", "what"), BAD)
def test_a_mistake_in_an_entry_is_told_with_its_place(text: str, where: str, what: str) -> None:
    with pytest.raises(BadFile) as bad:
        staff_in(text, "staff.yaml")
    said = str(bad.value)
    assert said.startswith(f"staff.yaml:{where}: "), said
    assert what in said
    assert "4711" not in said, "it may be somebody's PIN"
