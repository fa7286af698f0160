"""What may come of reading anything whatever: a value, or a refusal that a person can use."""

from collections.abc import Callable
from typing import Literal

from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.clean import clean
from baycompanion.text.problem import BadFile

LONGEST = 1200
"""Characters of the longest sentence. Own choice: fifteen lines of a narrow terminal."""

Outcome = Literal["read", "refused"]


def outcome_of(read: Callable[[bytes], object], content: bytes) -> Outcome:
    """Return what came of reading `content`; whatever else is raised goes through.

    Raises:
        AssertionError: The refusal is none that could be shown to a person.
    """
    try:
        read(content)
    except BadFile as bad:
        assert bad.problems, "a bad file without a problem"
        for problem in bad.problems:
            assert problem.place.file, f"no file: {problem}"
            assert problem.place.line > 0, f"no line: {problem}"
            assert problem.place.column > 0, f"no column: {problem}"
            assert_sentence(str(problem))
        assert clean(str(bad)) == str(bad), "it could act on a terminal"
    except StoreTrouble as trouble:
        assert_sentence(str(trouble))
    else:
        return "read"
    return "refused"


def assert_sentence(told: str) -> None:
    """Prove that `told` can be shown as it is, and read by somebody."""
    assert clean(told) == told, f"it could act on a terminal: {told!r}"
    assert 5 < len(told) <= LONGEST, f"{len(told)} characters: {told[:200]!r}"
    assert "\n" not in told, f"more than one line: {told!r}"
    assert told[-1] in ".?!", f"no sentence: {told[-80:]!r}"
