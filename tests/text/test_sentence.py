"""What somebody typed gets a mark at its end where it has none."""

import pytest

from baycompanion.text.sentence import sentence


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("owner waits", "owner waits."),
        ("owner waits. ", "owner waits."),
        ("did it hold?", "did it hold?"),
        ("cut off…", "cut off…"),
        ("", ""),
    ],
)
def test_a_sentence_ends_with_one_mark(words: str, said: str) -> None:
    assert sentence(words) == said
