"""What an audit asks of jobs in memory: each job a bay, or events that somebody made up."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import datetime

from bay import BAD, S1, SMALL, Bay

from baycompanion.audit.findings import Finding
from baycompanion.audit.rules.course import left_open
from baycompanion.audit.rules.played import Played
from baycompanion.audit.rules.questions import Questions, ask
from baycompanion.job.actions import (
    Action,
    Close,
    Override,
    Settle,
)
from baycompanion.job.events.data import Data
from baycompanion.job.events.event import Event, seal
from baycompanion.job.events.moment import day_of, read_moment
from baycompanion.job.state.fold import fold_all
from baycompanion.procedure.model import Procedure


def played(bay: Bay, name: str = "job-1") -> Played:
    """Return the job of `bay` as the rules read it."""
    return Played(name, bay.procedure, tuple(bay.events), bay.state)


def retold(
    events: Iterable[tuple[Data, str, str]], procedure: Procedure = SMALL, name: str = "job-1"
) -> Played:
    """Return a job of made-up events, each what happened, by whom and when; all hashes fit."""
    told: list[Event] = []
    for data, by, at in events:
        prev = {"prev": told[-1].hash} if told else {}
        told.append(seal(data, by, read_moment(at), len(told) + 1, **prev))
    return Played(name, procedure, tuple(told), fold_all(told))


def parts(bay: Bay) -> list[tuple[Data, str, str]]:
    """Return the events of `bay` as `retold` takes them."""
    return [(event.data, event.by, event.at) for event in bay.events]


def asked(jobs: Iterable[Played], now: datetime | None = None, **shop: object) -> list[Finding]:
    """Return all that is asked of `jobs` by an audit at `now`, in the order it shows it."""
    questions = Questions(day="" if now is None else day_of(now), **shop)  # type: ignore[arg-type]
    facts = [ask(job) for job in jobs]
    found = [finding for each in facts for finding in questions.take(each)]
    last_words = [each.last_word for each in facts if each.last_word is not None]
    found += [f for last in last_words if now is not None for f in left_open(last, now)]
    return sorted([*found, *questions.of_all()], key=lambda finding: finding.place)


def only(rule: str, found: Sequence[Finding]) -> list[Finding]:
    """Return the findings of one rule."""
    return [finding for finding in found if finding.rule.id == rule]


def closed(**instead: list[Action]) -> Bay:
    """Return a job walked well and closed; `instead` is as in `Bay.walk`."""
    bay = Bay().walk(None, **instead)
    bay.do(Close(close="keys back"))
    return bay


def put_down(step: str, bad: list[Action], cause: str = "work") -> list[Action]:
    """Return what lets `step` come out badly and be left behind as a fault."""
    settle = {"settle": step, "cause": cause, "words": "as it came"}
    return [*bad, Settle.model_validate(settle)]


def times(jobs: int, bay: Bay) -> list[Played]:
    """Return the job of `bay` so often, each under a name of its own."""
    first = played(bay)
    return [replace(first, name=f"job-{number:03}") for number in range(1, jobs + 1)]


OVERRIDE = Override(
    override="sound-before-refit",
    reason="measured another way",
    words="the owner hears it",
    instead="a second test on the road.",
)


def overridden() -> Bay:
    """Return a closed job whose gate before the refit was overridden."""
    bay = Bay().held(sound=put_down("sound", BAD["sound"], "vehicle"))
    bay.do(OVERRIDE, who=S1)
    bay.walk().do(Close(close="keys back"))
    return bay
