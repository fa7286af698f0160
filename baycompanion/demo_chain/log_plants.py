"""What is planted in the logs of a whole shop: of its staff file, and of what was reviewed."""

from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from baycompanion.demo_chain.truth import Planted
from baycompanion.job.draft import Person
from baycompanion.store import review, staff_log
from baycompanion.store.durable import write_whole

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


def _changed(lines: list[bytes]) -> list[bytes]:
    return [*lines[:AT], lines[AT].replace(b"T-9", b"T-8"), *lines[AT + 1 :]]


def _missing(lines: list[bytes]) -> list[bytes]:
    return [*lines[:AT], *lines[AT + 1 :]]


def _extra(lines: list[bytes]) -> list[bytes]:
    return [*lines[: AT + 1], *lines[AT:]]


def _reordered(lines: list[bytes]) -> list[bytes]:
    return [*lines[:AT], lines[AT + 1], lines[AT], *lines[AT + 2 :]]


def _torn(lines: list[bytes]) -> list[bytes]:
    return [*lines, lines[-1][:40]]


_WRITTEN = {"staff-log": _write_staff_log, "review": _write_review}

_MEDDLED: dict[str, Callable[[list[bytes]], list[bytes]]] = {
    "changed": _changed,
    "missing": _missing,
    "extra": _extra,
    "reordered": _reordered,
    "torn": _torn,
}

LOGS = {f"{log}-{how}": (log, how) for log in _WRITTEN for how in _MEDDLED}
"""By the rule that should find it: the log, and what is done to it."""


def plant_in_log(shop: Path, rule: str, by: Person, now: datetime) -> Planted:
    """Write a log in the folder `shop` as the supervisor `by`, and meddle with it."""
    log, how = LOGS[rule]
    path = _WRITTEN[log](shop, by, now)
    write_whole(path, b"".join(_MEDDLED[how](path.read_bytes().splitlines(keepends=True))))
    return Planted(shop.name, rule)
