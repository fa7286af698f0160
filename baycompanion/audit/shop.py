"""The audit of one shop folder: a walk through it, or what the last one came to."""

from collections.abc import Callable, Iterable, Iterator
from contextlib import ExitStack, closing
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from baycompanion.audit.choice import Choice
from baycompanion.audit.findings import Finding
from baycompanion.audit.reading.all_jobs import AllJobs, HashedAgain, Trust, Way
from baycompanion.audit.reading.index import AuditIndex
from baycompanion.audit.reading.kept_walk import MOST, CameTo, KeptWalk
from baycompanion.audit.rules.course import LastWord, left_open
from baycompanion.audit.rules.gate_counts import GateCount
from baycompanion.audit.rules.work_facts import WorkFacts
from baycompanion.audit.walk import JOBS, Found, Walk
from baycompanion.job.events.moment import day_of
from baycompanion.store.review import Review, read_review
from baycompanion.store.trouble import StoreTrouble
from baycompanion.store.typed_path import leads_to_folder


@dataclass(frozen=True, slots=True)
class ShopSeen:
    """What an audit has gone through, told after its findings."""

    shop: str
    jobs: int
    """Jobs that were looked at."""
    seal: str = ""
    """How far the newest good seal of its ledger reaches, in words; nothing without one."""
    hashed: HashedAgain | None = None
    """What was hashed, where no stamp was trusted."""
    gates: tuple[GateCount, ...] = ()
    """How each gate fared that these jobs came to."""


def _always(jobs: int) -> bool:
    return True


def audit_shop(
    folder: Path,
    choice: Choice,
    now: datetime | None = None,
    way: Way | None = None,
    go_on: Callable[[int], bool] = _always,
    keep: Callable[[WorkFacts], None] | None = None,
) -> Iterator[Found | ShopSeen]:
    """Yield what an audit of the shop in `folder` finds, job by job, and last what it has seen.

    Args:
        folder: The shop folder.
        choice: The jobs that are looked at.
        now: What a job under way is held against; without it, none is too old.
        way: How the jobs are read; without it, one after another, and nothing is written.
        go_on: Asked before each job, with how many were looked at; where it says no, the rest is
            left.
        keep: Called with what the work of each job gives, where it can be read. What it raises
            ends the audit.
    """
    way = way or Way()
    day = "" if now is None else day_of(now)
    with ExitStack() as stack:
        index = kept = None
        if way.trust != "nothing" and leads_to_folder(folder / JOBS):  # else it is no shop of ours
            index = stack.enter_context(closing(AuditIndex(folder)))
            if choice == Choice() and keep is None:
                kept = KeptWalk(folder, folder / JOBS, index, day)
        before = _still(folder, kept, way.trust) if kept is not None else None
        if before is not None:
            yield from _told(before.came_to.found, folder, before.review, now)
            yield _seen(folder, before.came_to, before.hashed)
            return
        jobs = AllJobs(folder / JOBS, way, index)
        walk = Walk(folder, choice, day, jobs, go_on, keep)
        passed: list[Finding | LastWord] = []
        troubles = 0
        for each in walk.passed():
            if isinstance(each, StoreTrouble):
                troubles += 1
                yield each
                continue
            if len(passed) <= MOST:
                passed.append(each)
            yield from _told([each], folder, walk.review, now)
        came_to = CameTo(passed, walk.jobs, walk.seals.newest, walk.questions.gates)
        if kept is not None and walk.whole and not troubles and len(passed) <= MOST:
            kept.keep(came_to, jobs.files_hash)
        yield _seen(folder, came_to, jobs.hashed)


@dataclass(frozen=True, slots=True)
class _Still:
    """A walk that would find what the last one has found."""

    came_to: CameTo
    review: Review
    hashed: HashedAgain | None


def _still(shop: Path, kept: KeptWalk, trust: Trust) -> _Still | None:
    """Return what the last walk came to where all is as it was, None where it is not."""
    came_to = kept.still()
    if came_to is None:
        return None
    hashed = kept.hashed_again() if trust == "hashes" else None
    if trust == "hashes" and hashed is None:
        return None
    try:
        return _Still(came_to, read_review(shop), hashed)
    except StoreTrouble:  # it went just now: a walk says so
        return None


def _told(
    passed: Iterable[Finding | LastWord], shop: Path, review: Review, now: datetime | None
) -> Iterator[Finding]:
    """Yield the findings in what a walk `passed`, each with the words for it."""
    for each in passed:
        if isinstance(each, Finding):
            yield _marked(each, shop, review)
        elif now is not None:
            yield from (_marked(found, shop, review) for found in left_open(each, now))


def _marked(found: Finding, shop: Path, review: Review) -> Finding:
    """Return `found` with its shop, and the words of those who looked at it, the newest first."""
    words = review.looked.get(found.key, ())
    return replace(found, shop=str(shop), words=tuple(reversed(words)))


def _seen(shop: Path, came_to: CameTo, hashed: HashedAgain | None) -> ShopSeen:
    return ShopSeen(str(shop), came_to.jobs, came_to.seal, hashed, tuple(came_to.gates))
