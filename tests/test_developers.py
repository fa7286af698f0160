"""DEVELOPERS.md: each file and folder that its tables name is there, where a reader looks first."""

import re
from collections.abc import Iterator
from pathlib import Path, PurePosixPath

import pytest

ROOT = Path(__file__).parents[1]
PAGE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
FILE = re.compile(r"`([\w/.*-]+(?:\.(?:py|html|svg|sql|tcss)|/))`")


def rows_below(heading: str) -> list[str]:
    """Return the rows of the table below `heading`, without its head."""
    part = PAGE.split(f"\n## {heading}\n")[1].split("\n## ")[0]
    return [line for line in part.splitlines() if line.startswith("|")][2:]


def is_there(path: PurePosixPath) -> Iterator[Path]:
    """Yield what `path` leads to in the package, or in the whole checkout."""
    for place in (ROOT / "baycompanion", ROOT):
        yield from place.glob(str(path))


def lost_in(row: str) -> list[str]:
    """Return what `row` names and is not there.

    A name is looked for in the folder that was named last, then in those around it.
    """
    lost, folder = [], PurePosixPath()
    for name in FILE.findall(row):
        around = [each / name for each in (folder, *folder.parents)]
        found = next((each for each in around if any(is_there(each))), None)
        if found is None:
            lost.append(name)
        else:
            folder = found if name.endswith("/") else found.parent
    return lost


@pytest.mark.parametrize("heading", ["Floors", "Where is what"])
def test_what_its_tables_name_is_there(heading: str) -> None:
    rows = rows_below(heading)
    assert sum(len(FILE.findall(row)) for row in rows) > len(rows)
    assert {row: lost for row in rows if (lost := lost_in(row))} == {}


def test_what_is_not_there_is_told() -> None:
    assert lost_in("| a | `job/actions.py`, `hands_actions.py`, `no_such.py`, `nowhere/` |") == [
        "no_such.py",
        "nowhere/",
    ]
