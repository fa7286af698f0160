"""What is planted in the logs of a whole shop: of its staff file, and of what was reviewed."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from baycompanion.demo_chain.meddling import Lines, changed, extra, missing, reordered, torn
from baycompanion.demo_chain.truth import Planted
from baycompanion.job.deciding.draft import Person
from baycompanion.store import review
from baycompanion.store.durable import write_whole
from baycompanion.store.staff import staff_log

LINES = 6
"""Lines of a log; one in the middle is meddled with."""

AT = 2
"""The line, counted from 0."""


def _write_staff_log(shop: Path, by: Person, now: datetime) -> Path:
    """Let `by` release somebody again and again, and return the log."""
    path = shop / staff_log.NAME
    for number in range(LINES):
        staff_log.log_change(path, staff_log.Released(who=f"T-9{number}"), by.id, now)
    return path


def _write_review(shop: Path, by: Person, now: datetime) -> Path:
    """Let `by` look at findings of jobs long past, and return the log."""
    for number in range(LINES):
        looked = review.LookedAt(
            finding=f"{number:016x}", rule="done-on-paper", job=f"T-9{number}", words="the laptop"
        )
        review.look_at(shop, looked, by, now)
    return shop / review.NAME


_WRITTEN = {"staff-log": _write_staff_log, "review": _write_review}

_MEDDLED: dict[str, Callable[[Lines], Lines]] = {
    "changed": lambda lines: changed(lines, AT, b"T-9", b"T-8"),
    "missing": lambda lines: missing(lines, AT),
    "extra": lambda lines: extra(lines, AT),
    "reordered": lambda lines: reordered(lines, AT),
    "torn": lambda lines: torn(lines, 40),
}

LOGS = {f"{log}-{how}": (log, how) for log in _WRITTEN for how in _MEDDLED}
"""By the rule that should find it: the log, and what is done to it."""


def plant_in_log(shop: Path, rule: str, by: Person, now: datetime) -> Planted:
    """Write a log in the folder `shop` as the supervisor `by`, and meddle with it."""
    log, how = LOGS[rule]
    path = _WRITTEN[log](shop, by, now)
    write_whole(path, b"".join(_MEDDLED[how](path.read_bytes().splitlines(keepends=True))))
    return Planted(shop.name, rule)
