"""A staff file changed by command keeps what a person wrote beside it, or is left alone."""

from collections.abc import Mapping

import pytest
from hypothesis import given
from hypothesis import strategies as st

from baycompanion.store.staff.rewriting import rewritten
from baycompanion.store.staff.staff import Member, staff_in
from baycompanion.store.trouble import StoreTrouble

KEPT = "scrypt n=2 r=1 p=1 salt=73616c7473616c74 key=f4f7357b096fb41074fabd713cf5abcf"

BY_HAND = """\
# Who works here, in the order of the lockers.
staff:
  - id: T1
    role: technician   # since May

  # Those who learn
  - id: N1
    role: trainee
    released-for:   # by the course
      - receiver-swap  # passed
      - amplifier-add
    # until June

  # On call
  - {id: "12", role: technician}   # Saturdays
  - { id: S1, role: 'supervisor', initials: "no", released-for: [a, b] }
# the end
"""


def changed(text: str, who: str, **fields: object) -> str:
    members = dict(staff_in(text, "staff.yaml"))
    members[who] = members[who].model_copy(update=fields)
    return rewritten(text, members, "staff.yaml")


def test_a_pin_and_a_retirement_stand_in_the_entry_and_all_else_stays_as_it_was() -> None:
    assert changed(BY_HAND, "T1", pin=KEPT, active=False) == BY_HAND.replace(
        "since May\n", f"since May\n    pin: {KEPT}\n    active: no\n"
    )


def test_a_release_leaves_the_remarks_beside_those_that_stay() -> None:
    said = changed(BY_HAND, "N1", released_for=("receiver-swap", "key-off-draw-hunt"))
    assert said == BY_HAND.replace("      - amplifier-add\n", "      - key-off-draw-hunt\n")
    assert changed(BY_HAND, "N1", pin=KEPT) == BY_HAND.replace(
        "      - amplifier-add\n", f"      - amplifier-add\n    pin: {KEPT}\n"
    )


def test_an_entry_in_one_line_stays_in_one_line() -> None:
    said = changed(BY_HAND, "12", pin=KEPT)
    assert f'  - {{id: "12", role: technician, pin: {KEPT}}} # Saturdays\n' in said
    whole = changed(BY_HAND, "S1", released_for=None)
    assert 'initials: "no"}' in whole
    assert "[a, b]" not in whole


def test_a_newcomer_stands_at_the_end() -> None:
    members = dict(staff_in(BY_HAND, "staff.yaml"))
    members["007"] = Member(id="007", role="trainee", initials="yes: # & *", pin=KEPT)
    said = rewritten(BY_HAND, members, "staff.yaml")
    assert list(staff_in(said, "staff.yaml").values()) == list(members.values())
    assert "  - id: '007'\n    role: trainee\n" in said


@pytest.mark.parametrize("text", [BY_HAND, BY_HAND.replace("\n  ", "\n")], ids=["in", "out"])
@pytest.mark.parametrize("ends", ["\n", "\r\n"])
def test_indentation_and_line_ends_stay(text: str, ends: str) -> None:
    text = text.replace("\n", ends)
    said = changed(text, "T1", pin=KEPT)
    at = text.index("T1")
    column = at - text.rindex("\n", 0, at) - len("-id: ")
    line = f"{' ' * column}pin: {KEPT}{ends}"
    assert said.replace(line, "", 1) == text
    assert line in said


def test_a_remark_that_would_be_lost_is_named_and_the_file_left_alone() -> None:
    with pytest.raises(StoreTrouble) as trouble:
        changed(BY_HAND, "N1", released_for=None)
    assert str(trouble.value) == (
        "staff.yaml is written in a way that this command cannot change, and would lose the "
        "remark “# by the course”. Change the file in an editor."
    )


@pytest.mark.parametrize(
    "text",
    [
        "staff:\n  - &t {id: T1, role: technician}\n  - {id: S1, role: supervisor}\n",
        'staff: [{id: T1, role: technician}, {id: S1, role: "supervisor"}]\n',
        '{"staff": [{"id": "T1", "role": "technician"}, {"id": "S1", "role": "supervisor"}]}',
        "---\nstaff:\n- role: technician\n  id: T1\n- id: S1\n  role: &r supervisor\n...\n",
        "staff:\n  - id: T1\n    role: technician\n    active: True # yes\n"
        "  - id: S1\n    role: supervisor",
    ],
)
def test_files_written_otherwise_say_what_they_should_afterwards(text: str) -> None:
    wanted: Mapping[str, object]
    for fields in (
        {"pin": KEPT},
        {"active": False},
        {"released_for": ("a", "b-2")},
        {"fade_after": 0},
    ):
        for who in ("T1", "S1"):
            members = dict(staff_in(text, "staff.yaml"))
            members[who] = members[who].model_copy(update=fields)
            wanted = {**members, "N9": Member(id="N9", role="trainee")}
            assert staff_in(rewritten(text, wanted, "staff.yaml"), "staff.yaml") == wanted


REMARKS = st.sampled_from(["", "\n", "  # a\n", "\n    # b ü\n\n", "# c\n  # d\n", "      # e\n"])
BESIDE = st.sampled_from(["", " # x", "   # y: z"])
RELEASED = ("", "    released-for: [a, b]{}\n", "    released-for:\n      - a{}\n      - b\n")


@st.composite
def files(draw: st.DrawFn) -> str:
    text = draw(st.sampled_from(["", "# top\n", "\n# top\n\n"])) + "staff:\n"
    for number in range(draw(st.integers(2, 4))):
        text += f"  - id: S{number}{draw(BESIDE)}\n    role: supervisor{draw(BESIDE)}\n"
        text += draw(st.sampled_from(RELEASED)).format(draw(BESIDE))
        text += draw(REMARKS)
    return text


CHANGES = st.sampled_from(
    [
        {"pin": KEPT},
        {"active": False},
        {"initials": "A #1"},
        {"released_for": ("a", "c")},
        {"pin": KEPT, "released_for": ("a", "b"), "active": False},
    ]
)


def is_within(lines: list[str], others: list[str]) -> bool:
    rest = iter(others)
    return all(line in rest for line in lines)


@given(text=files(), who=st.sampled_from(["S0", "S1"]), fields=CHANGES)
def test_every_other_line_of_a_file_by_hand_stays_where_it_was(
    text: str, who: str, fields: dict[str, object]
) -> None:
    members = dict(staff_in(text, "staff.yaml"))
    members[who] = members[who].model_copy(update=fields)
    try:
        said = rewritten(text, members, "staff.yaml")
    except StoreTrouble as trouble:
        assert "would lose the remark" in str(trouble), text
        assert "released_for" in fields, text
        return
    assert staff_in(said, "staff.yaml") == members
    kept = [line for line in text.splitlines() if line.strip() not in ("", "- b")]
    kept = [line for line in kept if "released-for" not in line or "released_for" not in fields]
    assert is_within(kept, said.splitlines()), f"{text}\n-----\n{said}"
