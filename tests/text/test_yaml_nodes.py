"""YAML read as text with places: what stays text, and what is refused and where."""

import unicodedata

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st
from yaml_text import as_yaml

from baycompanion.text import yaml_nodes
from baycompanion.text.problem import BadFile, Place
from baycompanion.text.yaml_nodes import DEEPEST, LARGEST_FILE, Node, read_yaml

SIGNS = "abc:-[]{}&*!|>'\"%@`#,? \n\t\r\x00\x07\x85\u2028\ufeff\ud800é\U0001f600<0"


@pytest.fixture(params=["libyaml", "pure"], autouse=True)
def loader(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Run every test on libyaml and on the parser that stands in where it is missing."""
    if request.param == "pure":
        monkeypatch.setattr(yaml_nodes, "_Loader", yaml.BaseLoader)


def refusal(text: str) -> str:
    with pytest.raises(BadFile) as caught:
        read_yaml(text, "job.yaml")
    return str(caught.value)


@pytest.mark.parametrize(
    "written",
    [
        "no",
        "yes",
        "on",
        "1:30",
        "12.60",
        "07",
        "08",
        "0x1F",
        "1e3",
        "null",
        "~",
        "2026-11-25",
        ".5",
    ],
)
def test_a_plain_scalar_stays_the_text_that_was_written(written: str) -> None:
    assert read_yaml(f"key: {written}", "job.yaml").plain() == {"key": written}


def test_places_count_lines_and_columns_from_one() -> None:
    root = read_yaml("a: 1\nb:\n  - é: [x, yy]\n", "job.yaml")
    assert isinstance(root.value, dict)
    item = root.value["b"].value[0]
    assert isinstance(item, Node)
    assert isinstance(item.value, dict)
    assert root.place == Place("job.yaml", 1, 1)
    assert root.keys["b"] == Place("job.yaml", 2, 1)
    assert root.value["a"].place == Place("job.yaml", 1, 4)
    assert item.place == Place("job.yaml", 3, 5)
    assert [node.place.column for node in item.value["é"].value if isinstance(node, Node)] == [
        9,
        12,
    ]


def test_an_alias_stands_for_what_its_anchor_holds() -> None:
    assert read_yaml("a: &x [1, 2]\nb: *x", "job.yaml").plain() == {
        "a": ["1", "2"],
        "b": ["1", "2"],
    }


def test_a_scalar_is_cleaned_on_the_way_in() -> None:
    assert read_yaml('a: "x\\e[31m\\u202Ey"', "job.yaml").plain() == {"a": "x�[31m�y"}


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "job.yaml:1:1: The file is empty. Write something in it."),
        ("# only a remark\n", "job.yaml:1:1: The file is empty. Write something in it."),
        ("a: 1\n---\nb: 2\n", "job.yaml:2:1: The file holds more than one document."),
        ("a: 1\nb: 2\na: 3\n", "job.yaml:3:1: “a” stands twice, first in line 1. Keep one."),
        ("a: !!python/object:os.system x", "job.yaml:1:4: Tags are not read here"),
        ("a: !x 1", "Tags are not read here: “!x”. Delete the tag."),
        ("[a]: 1", "job.yaml:1:1: A key must be one word of text."),
        ("a: *b", "job.yaml:1:4: The alias “b” names nothing finished before it."),
        ("a: &b [*b]", "job.yaml:1:8: The alias “b” names nothing finished before it."),
        ("a: b\nc: d\x00", "job.yaml:2:5: A character here is not allowed in YAML."),
        ("é: é\nü: \x07", "job.yaml:2:4: A character here is not allowed in YAML."),
        ("a: \ud800", "job.yaml:1:4: A character here is not allowed in YAML."),
        ("a: [1, 2\nb: 3", "job.yaml:1:4: This is not YAML"),
        ("a: 'b\nc: d\n", "job.yaml:1:4: This is not YAML"),
        ("a: [b\n", "job.yaml:1:4: This is not YAML"),
        ("\ta: b", "This is not YAML"),
    ],
)
def test_what_cannot_be_used_is_refused_at_its_place(text: str, words: str) -> None:
    assert words in refusal(text)


def test_the_place_after_a_line_of_many_bytes_counts_characters() -> None:
    assert refusal(f"{'é' * 300}: 1\nb: \x01").startswith("job.yaml:2:4: ")


@pytest.mark.parametrize("opening", ["[", "{a: ", "- ", "? ", "[\n"])
def test_a_hundred_thousand_openings_are_refused_and_not_followed(opening: str) -> None:
    told = refusal(opening * 100_000)
    assert "nest deeper" in told or "This is not YAML" in told


def test_nesting_is_accepted_up_to_its_bound() -> None:
    depth, node = 0, read_yaml("[" * DEEPEST + "]" * DEEPEST, "job.yaml").plain()
    while node:
        depth, node = depth + 1, node[0]
    assert depth == DEEPEST - 1
    assert "Values nest deeper than 40" in refusal("[" * (DEEPEST + 1) + "]" * (DEEPEST + 1))


def test_aliases_that_multiply_are_refused() -> None:
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]" for n in range(1, 20)]
    assert "more than 20,000 things" in refusal("\n".join(lines))


def test_aliases_that_nest_ever_deeper_are_refused() -> None:
    lines = ["a0: &a0 [x]", *(f"a{n}: &a{n} [*a{n - 1}]" for n in range(1, 600))]
    assert "Values nest deeper than 40" in refusal("\n".join(lines))


def test_a_file_at_the_bound_of_values_is_read_and_one_beyond_it_is_not(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(yaml_nodes, "MOST_NODES", 2_000)
    assert len(read_yaml("- x\n" * 1_999, "job.yaml").plain()) == 1_999
    assert "more than 2,000 things" in refusal("- x\n" * 2_000)


@pytest.mark.parametrize(
    "junk",
    [
        "\x01",
        "x",
        "a: b\n",
        "- ",
        "[",
        '"',
        "!",
        "&a ",
        "*a ",
        "%",
        "\n",
        "é",
        "{",
        "key: [",
        "<<: *a\n",
    ],
)
def test_a_megabyte_of_junk_gets_an_answer(junk: str) -> None:
    text = junk * (LARGEST_FILE // len(junk))
    try:
        assert isinstance(read_yaml(text, "job.yaml"), Node)
    except BadFile as bad:
        assert all(len(str(problem)) < 400 for problem in bad.problems)


def test_more_than_a_million_characters_are_refused_unread() -> None:
    assert "longer than 1,000,000 characters" in refusal("x" * (LARGEST_FILE + 1))


@given(text=st.text(alphabet=SIGNS, max_size=60) | st.text(max_size=80))
def test_any_text_gives_a_node_or_a_bad_file(text: str) -> None:
    try:
        assert isinstance(read_yaml(text, "job.yaml"), Node)
    except BadFile as bad:
        assert bad.problems


PLAIN = st.recursive(
    st.text(
        alphabet=st.characters(min_codepoint=32, max_codepoint=0x2FF, exclude_categories=("Cc",))
    ),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.text("abcdef", min_size=1), inner, max_size=3)
    ),
    max_leaves=10,
)


@given(PLAIN)
def test_what_a_yaml_writer_wrote_reads_back_the_same(value: object) -> None:
    def composed(part: object) -> object:
        if isinstance(part, str):
            return unicodedata.normalize("NFC", part)
        if isinstance(part, list):
            return [composed(each) for each in part]
        assert isinstance(part, dict)
        return {key: composed(each) for key, each in part.items()}

    text = as_yaml(value)
    assert read_yaml(text, "job.yaml").plain() == composed(value)
