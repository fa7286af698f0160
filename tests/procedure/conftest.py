"""One small procedure that uses everything once, and what is found when a line of it changes."""

from collections.abc import Callable
from pathlib import Path

import pytest

from baycompanion.procedure.check import check
from baycompanion.procedure.checks.language import check_language
from baycompanion.procedure.load import Loaded, load_procedure
from baycompanion.text.problem import Problem
from baycompanion.trade.catalogue import SUMS

Changed = Callable[[str, str], str]
"""Takes a text that stands once in the small procedure and what to put in its place."""
Found = Callable[[str], list[tuple[str, str]]]
"""Takes a procedure; gives for each finding the line it points at and the whole sentence."""


@pytest.fixture(scope="session")
def whole() -> str:
    """Return the text of the small procedure."""
    return (Path(__file__).parent / "whole.yaml").read_text(encoding="utf-8")


@pytest.fixture(scope="session")
def changed(whole: str) -> Changed:
    """Return a function that changes the small procedure in one place."""

    def change(old: str, new: str) -> str:
        assert whole.count(old) == 1, f"{old!r} stands {whole.count(old)} times"
        return whole.replace(old, new)

    return change


@pytest.fixture(scope="session")
def checked() -> Found:
    """Return a function that checks a procedure."""
    return lambda text: _found(text, lambda loaded: check(loaded, SUMS))


@pytest.fixture(scope="session")
def finds_one(changed: Changed, checked: Found) -> Callable[[str, str, str, str], None]:
    """Return a function that changes one place, and wants one finding: its line and its words."""

    def finds(old: str, new: str, line: str, words: str) -> None:
        found = checked(changed(old, new))
        assert len(found) == 1, found
        assert found[0][0].startswith(line)
        assert words in found[0][1]

    return finds


@pytest.fixture(scope="session")
def read_over() -> Found:
    """Return a function that checks the wording of a procedure."""
    return lambda text: _found(text, check_language)


def _found(text: str, find: Callable[[Loaded], list[Problem]]) -> list[tuple[str, str]]:
    lines = text.splitlines()
    problems = find(load_procedure(text, "whole.yaml"))
    assert problems == sorted(problems)
    return [(lines[each.place.line - 1].strip(), str(each)) for each in problems]
