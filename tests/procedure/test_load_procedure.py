"""Loading: includes put in place, pinned text that says the same, every problem at once."""

from collections.abc import Mapping

import pytest

from baycompanion.procedure.load import DEEPEST_INCLUDE, Fetch, hash_of, load_procedure
from baycompanion.procedure.model import Procedure
from baycompanion.text.problem import BadFile, Place
from baycompanion.text.to_model import place_of

MAIN = """\
procedure: main
title: Main
revision: 1
fits: Is it this one?
hazards: none
tools: none
parts:
  - part: own
    name: Own part
phases:
  - include: shared/first.yaml
  - phase: second
    title: Second
    target: 5 min
    steps:
      - do: Do it.
        id: do-it
"""
FIRST = """\
shared: first
hazards:
  - notice: Paint scratches.
    consequence: It costs a panel.
    avoid: Put on the covers.
tools:
  - tool: lamp
    name: Lamp
parts:
  - part: cover
    name: Cover
phases:
  - phase: first
    title: First
    target: 5 min
    steps:
      - check: Is the paint whole?
        id: paint
"""
STEP = "      - do: Do it.\n        id: do-it\n"


def shelf(files: Mapping[str, str]) -> Fetch:
    """Return a function that fetches from `files`, each under its own path."""
    return lambda path: (path, files[path]) if path in files else None


def refused(text: str, files: Mapping[str, str] | None = None) -> list[str]:
    with pytest.raises(BadFile) as caught:
        load_procedure(text, "main.yaml", shelf(files or {"shared/first.yaml": FIRST}))
    return [str(problem) for problem in caught.value.problems]


def test_an_include_puts_its_phases_in_place_and_its_lists_before_the_own() -> None:
    loaded = load_procedure(MAIN, "main.yaml", shelf({"shared/first.yaml": FIRST}))
    procedure = loaded.procedure
    assert list(procedure.phase_named) == ["first", "second"]
    assert [part.part for part in procedure.parts] == ["cover", "own"]
    assert [tool.tool for tool in procedure.tools] == ["lamp"]
    assert [caution.hazard for caution in procedure.hazards] == ["Paint scratches."]


def test_what_was_included_keeps_the_place_in_its_own_file() -> None:
    node = load_procedure(MAIN, "main.yaml", shelf({"shared/first.yaml": FIRST})).node
    assert place_of(node, ["phases", 0, "steps", 0, "id"]) == Place("shared/first.yaml", 18, 13)
    assert place_of(node, ["phases", 1, "steps", 0, "id"]) == Place("main.yaml", 17, 13)
    assert place_of(node, ["parts", 0, "name"]) == Place("shared/first.yaml", 11, 11)


def test_the_pinned_text_needs_no_file_and_says_the_same() -> None:
    loaded = load_procedure(MAIN, "main.yaml", shelf({"shared/first.yaml": FIRST}))
    again = load_procedure(loaded.pinned_text, "procedure.yaml")
    assert again.procedure == loaded.procedure
    assert again.pinned_text == loaded.pinned_text
    assert hash_of(again.pinned_text) == hash_of(loaded.pinned_text)


def test_the_pinned_text_of_a_procedure_with_everything_in_it_says_the_same(whole: str) -> None:
    loaded = load_procedure(whole, "whole.yaml")
    assert load_procedure(loaded.pinned_text, "procedure.yaml").procedure == loaded.procedure


def test_an_include_may_include() -> None:
    outer = "shared: outer\nphases:\n  - include: shared/first.yaml\n"
    text = MAIN.replace("shared/first.yaml", "outer.yaml")
    files = {"outer.yaml": outer, "shared/first.yaml": FIRST}
    assert list(load_procedure(text, "main.yaml", shelf(files)).procedure.phase_named) == [
        "first",
        "second",
    ]


def test_a_shared_file_without_phases_gives_its_lists() -> None:
    files = {"shared/first.yaml": FIRST[: FIRST.index("phases:")]}
    procedure = load_procedure(MAIN, "main.yaml", shelf(files)).procedure
    assert list(procedure.phase_named) == ["second"]
    assert [part.part for part in procedure.parts] == ["cover", "own"]


@pytest.mark.parametrize(
    ("path", "words"),
    [
        ("shared/frist.yaml", "There is no file “shared/frist.yaml” here"),
        ("../first.yaml", "“../first.yaml” leads out of the folder of procedures"),
        ("shared/../../first.yaml", "leads out of the folder"),
        ("/etc/first.yaml", "leads out of the folder"),
        ("C:/first.yaml", "leads out of the folder"),
        ("shared\\first.yaml", "leads out of the folder"),
        ("", "The include names no file"),
        ("[shared/first.yaml]", "The include names no file"),
    ],
)
def test_an_include_that_cannot_be_followed_is_refused_where_it_stands(
    path: str, words: str
) -> None:
    told = refused(MAIN.replace("shared/first.yaml", path))
    assert len(told) == 1
    assert told[0].startswith("main.yaml:11:")
    assert words in told[0]


def test_an_include_stands_alone() -> None:
    text = MAIN.replace("shared/first.yaml\n", "shared/first.yaml\n    title: First\n")
    assert refused(text) == ["main.yaml:12:5: “title” stands beside an include. Delete it."]


def test_a_file_that_includes_itself_is_refused() -> None:
    loop = "shared: first\nphases:\n  - include: shared/first.yaml\n"
    assert refused(MAIN, {"shared/first.yaml": loop}) == [
        "shared/first.yaml:3:14: shared/first.yaml includes itself. Remove one of the includes."
    ]


def test_a_file_that_is_included_twice_is_refused_so_that_includes_cannot_multiply() -> None:
    text = MAIN.replace("phases:\n", "phases:\n  - include: shared/first.yaml\n")
    assert refused(text) == [
        "main.yaml:12:14: shared/first.yaml is included twice. Include it once."
    ]


def test_includes_nest_as_deep_as_the_bound_and_no_deeper() -> None:
    def chain(length: int) -> dict[str, str]:
        files = {f"f{n}": f"shared: s\nphases:\n  - include: f{n + 1}\n" for n in range(1, length)}
        return {**files, f"f{length}": FIRST}

    text = MAIN.replace("shared/first.yaml", "f1")
    loaded = load_procedure(text, "main.yaml", shelf(chain(DEEPEST_INCLUDE)))
    assert "first" in loaded.procedure.phase_named
    assert "Includes nest deeper than 4" in refused(text, chain(DEEPEST_INCLUDE + 1))[0]


def test_a_whole_procedure_that_is_included_is_told_in_one_sentence() -> None:
    text = MAIN.replace("shared/first.yaml", "other.yaml")
    assert refused(text, {"other.yaml": MAIN.replace("shared/first.yaml", "gone.yaml")}) == [
        "main.yaml:11:14: other.yaml is a whole procedure, and an include takes a shared file. "
        "Move the phases that both need into a file that begins with shared: and its name."
    ]


def test_problems_of_the_file_and_of_what_it_includes_are_told_at_once() -> None:
    text = MAIN.replace("title: Second", "titel: Second")
    text = text.replace("phases:\n", "phases:\n  - include: gone.yaml\n")
    files = {"shared/first.yaml": FIRST.replace("- check:", "- chekc:")}
    assert refused(text, files) == [
        "main.yaml:11:14: There is no file “gone.yaml” here. "
        "Check the path; it starts at the folder of procedures.",
        "main.yaml:13:5: “title” is missing. Write title: and its value.",
        "main.yaml:14:5: “titel” is not known here. Did you mean title?",
        "shared/first.yaml:17:9: “chekc” begins no step. Did you mean check?",
    ]


def test_a_shared_file_that_is_not_yaml_is_told_with_its_own_place() -> None:
    assert refused(MAIN, {"shared/first.yaml": "shared: [a"})[0].startswith("shared/first.yaml:1:")


def test_a_list_of_the_own_that_is_no_list_is_not_lost_behind_an_include() -> None:
    told = refused(MAIN.replace("hazards: none", "hazards: some"))
    assert told == [
        "main.yaml:5:10: “some” is no list. Write none, or a list, each item after a dash."
    ]


def test_where_an_include_was_the_only_phase_its_absence_is_the_one_problem() -> None:
    text = MAIN[: MAIN.index("  - phase: second")]
    assert len(refused(text, {"other.yaml": FIRST})) == 1


MISFITS = [
    ("title: Main\n", "", "1:1: “title” is missing. Write title: and its value."),
    (
        "hazards: none",
        "hazards:",
        "5:9: Nothing is written here. Write none, or a list, each item after a dash.",
    ),
    ("title: Main", "title:", "2:7: Nothing is written here. Write what belongs here."),
    ("title: Main", f"title: {'x' * 501}", "2:8: This is longer than 500 characters. Split it."),
    ("title: Main", "tilte: Main", "2:1: “tilte” is not known here. Did you mean title?"),
    ("revision: 1", "revision: 1\ndate: 7", "4:7: “7” is no date. Write it like 2026-11-25."),
    ("revision: 1", "revision: 1\ndate: 2026-02-30", "4:7: “2026-02-30” is no date."),
    ("revision: 1", "revision: 0", "3:11: “revision” cannot be “0”. Write 1 or more."),
    ("revision: 1", "revision: one", "3:11: “revision” cannot be “one”. Write a whole number."),
    ("procedure: main", "procedure: Main Job", "1:12: “Main Job” is no name for a thing"),
    (
        "hazards: none",
        "hazards: [{dangr: x}]",
        "5:11: “dangr” begins no caution. Did you mean danger?",
    ),
    ("hazards: none", "hazards: [{notice: x, avoid: y}]", "5:11: “consequence” is missing."),
    ("target: 5 min", "target: 1:30", "13:13: “1:30” is no length of time. Write it like 20 min"),
    ("- do: Do it.", "- dos: Do it.", "15:9: “dos” begins no step. Did you mean do?"),
    ("- do: Do it.", "- check: Is it?\n        do: Do it.", "16:9: “do” does not belong here."),
    (STEP, f"{STEP}        each: tolls\n", "17:15: “each” cannot be “tolls”. Did you mean tools?"),
    (STEP, f"{STEP}        photo: want\n", "17:16: “photo” cannot be “want”. Did you mean wanted?"),
    (
        STEP,
        f"{STEP}        when: {{a: []}}\n",
        "17:16: This list is empty. Write at least one item.",
    ),
    (STEP, f"{STEP}        when: {{A b: yes}}\n", "17:21: “A b” is no name for a thing"),
    (STEP, "", "14:11: “steps” cannot be empty. Write a list, each item after a dash."),
    (STEP, "      - count: x\n        id: y\n", "15:9: This step needs either “of” or “matches”."),
    (
        STEP,
        "      - {inspect: x, id: y, of: [{item: a, name: A}], compares: z}\n",
        "15:9: This step needs",
    ),
    (STEP, "      - {witness: x, id: y, of: []}\n", "15:29: This list is empty."),
    (
        STEP,
        "      - {measure: x, id: y, unit: V, at-least: 3, at-most: 2}\n",
        "15:9: No reading is at least 3",
    ),
    (STEP, "      - {measure: x, id: y, unit: V, at-least: 3 V}\n", "15:48: “3 V” is no number."),
    (
        STEP,
        "      - {sum: x, id: y, of: z, inputs: {a: {answr: b}}}\n",
        "15:45: “answr” is not known here. Did you",
    ),
    (
        STEP,
        f"{STEP}        torque: [{{fastener: a, into: b, source: c, value: 3}}]\n",
        "17:18: A torque needs both its value and its unit. Write value: and unit:.",
    ),
]


@pytest.mark.parametrize(("old", "new", "told"), MISFITS)
def test_a_misfit_is_told_with_its_line_and_column_and_what_to_write(
    old: str, new: str, told: str
) -> None:
    text = MAIN.replace("  - include: shared/first.yaml\n", "")
    assert text.count(old) == 1
    text = text.replace(old, new)
    with pytest.raises(BadFile) as caught:
        load_procedure(text, "main.yaml")
    assert f"main.yaml:{told}" in str(caught.value)


class TestNarrowed:
    """An include may say for which answers its phases apply."""

    CHOOSING = MAIN.replace(
        "phases:\n",
        """choices:
  - { choice: roof, title: Roof }
phases:
  - phase: look
    title: Look
    target: 1 min
    steps:
      - choose: Is there a roof?
        id: roof-seen
        settles: roof
""",
        1,
    )

    def narrowed(self, beside: str, first: str = FIRST) -> Procedure:
        """Return the procedure whose include has `beside` below it."""
        text = self.CHOOSING.replace("shared/first.yaml\n", f"shared/first.yaml\n{beside}")
        return load_procedure(text, "main.yaml", shelf({"shared/first.yaml": first})).procedure

    def test_every_phase_of_the_file_applies_only_then(self) -> None:
        procedure = self.narrowed("    when: { roof: yes }\n")
        assert procedure.phase_named["first"].when == {"roof": ("yes",)}
        assert not procedure.phase_named["second"].when
        apart = self.narrowed("    unless: { roof: yes }\n")
        assert apart.phase_named["first"].unless == {"roof": ("yes",)}

    def test_what_the_phase_says_itself_counts_as_well(self) -> None:
        first = FIRST.replace("    target:", "    when: { glass: yes }\n    target:", 1)
        procedure = self.narrowed("    when: { roof: yes }\n", first)
        assert procedure.phase_named["first"].when == {"glass": ("yes",), "roof": ("yes",)}

    def test_one_choice_twice_is_refused_where_the_include_names_it(self) -> None:
        first = FIRST.replace("    target:", "    when: { roof: no }\n    target:", 1)
        with pytest.raises(BadFile) as caught:
            self.narrowed("    when: { roof: yes }\n", first)
        [told] = map(str, caught.value.problems)
        assert "A phase of this file depends on “roof” already" in told
        assert told.startswith("main.yaml:")
