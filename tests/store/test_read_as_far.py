"""A damaged journal is read up to its first damaged line, which is named; nothing is written."""

import random
from collections.abc import Callable
from pathlib import Path

import pytest
from bay import LISTS, START, T1
from on_disk import walked_on_disk

from baycompanion.store.job.folder import read_job, read_job_as_far
from baycompanion.store.job.journal import NAME
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.trouble import StoreTrouble

Lines = list[bytes]


def flipped(lines: Lines, at: int, drawn: random.Random) -> Lines:
    changed = bytearray(lines[at])
    changed[drawn.randrange(len(changed) - 1)] ^= 1 << drawn.randrange(7)
    return [*lines[:at], bytes(changed), *lines[at + 1 :]]


def shortened(lines: Lines, at: int, drawn: random.Random) -> Lines:
    """Take the end off a line, but for the sign that ends it."""
    return [*lines[:at], lines[at][: drawn.randrange(len(lines[at]) - 1)] + b"\n", *lines[at + 1 :]]


def swapped(lines: Lines, at: int, drawn: random.Random) -> Lines:
    other = drawn.choice([number for number in range(1, len(lines)) if number != at])
    mixed = list(lines)
    mixed[at], mixed[other] = lines[other], lines[at]
    return mixed


def doubled(lines: Lines, at: int, drawn: random.Random) -> Lines:
    return [*lines[: at + 1], *lines[at:]]


def taken_out(lines: Lines, at: int, drawn: random.Random) -> Lines:
    return [*lines[:at], *lines[at + 1 :], b"{}\n"]


@pytest.mark.parametrize("damage", [flipped, shortened, swapped, doubled, taken_out])
def test_what_lies_before_the_first_damaged_line_is_read_and_that_line_is_named(
    folder: Path, damage: Callable[[Lines, int, random.Random], Lines]
) -> None:
    """Forty times each, at a seeded line and place; the first line is whole."""
    whole = walked_on_disk(folder, "gauges")
    lines, events = whole.splitlines(keepends=True), read_job(folder).events
    drawn = random.Random(3)
    for _ in range(40):
        damaged = damage(lines, drawn.randrange(1, len(lines)), drawn)
        content = b"".join(damaged)
        (folder / NAME).write_bytes(content)
        told = content.splitlines(keepends=True)  # a flipped byte may end a line
        good = next(n for n, line in enumerate(told) if n >= len(lines) or line != lines[n])
        job, trouble = read_job_as_far(folder)
        assert job.events == events[:good]
        assert f"{trouble}".startswith(f"{folder / NAME}:{good + 1}: ")
        assert f"{trouble}".endswith("The journal was damaged; keep it for the audit.")
        with pytest.raises(StoreTrouble, match=f":{good + 1}: "):
            OpenJob(folder, LISTS, T1, START)
        assert (folder / NAME).read_bytes() == content
    assert not (folder / "holder.json").exists()
    assert not (folder / "journal.torn").exists()


def test_without_a_whole_first_line_nothing_can_be_read(folder: Path) -> None:
    content = walked_on_disk(folder, "tools")
    (folder / NAME).write_bytes(content[7:])
    with pytest.raises(StoreTrouble, match=":1: "):
        read_job_as_far(folder)
