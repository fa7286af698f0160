"""Which jobs are looked at on the vehicle itself: all with an override, and some clean ones by lot.

Records can agree with each other and still not with the vehicle; a reading taken once more tells.
"""

import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass
from heapq import heappush, heappushpop
from typing import Any

from baycompanion.audit.rules.played import Played
from baycompanion.job.events.kinds import Answered
from baycompanion.procedure.steps import Measure


@dataclass(frozen=True, slots=True)
class Reading:
    """A reading that can be taken once more."""

    event: int
    step: str
    """The number of the step and its sentence."""
    told: str
    """With its unit."""
    limits: str
    by: str


@dataclass(frozen=True, slots=True)
class LotFacts:
    """What is known of a closed job that may be looked at on the vehicle."""

    head: str
    """The hash of its last event, which nobody chooses."""
    vehicle: str
    """Work order and vehicle."""
    clean: bool
    readings: Sequence[Reading]
    """The newest of each step."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """A job that is to be looked at on the vehicle."""

    job: str
    vehicle: str
    why: str
    again: Reading | None
    """What is measured once more; None where nothing was measured."""
    shop: str = ""

    @property
    def asks(self) -> str:
        """What is to be done, in a sentence."""
        if self.again is None:
            return "Nothing was measured in it: look at the vehicle beside the hand-over sheet."
        again = self.again
        limits = f" ({again.limits})" if again.limits else ""
        return (
            f"Measure again, where it can still be reached: {again.step} {again.by} read "
            f"{again.told}{limits}, event {again.event}."
        )

    def as_dict(self) -> dict[str, Any]:
        """Return it as programs read it."""
        return {**asdict(self), "asks": self.asks}


def lot_facts(job: Played) -> LotFacts | None:
    """Return what is known of `job` where it is closed; None of any other."""
    if not job.closed:
        return None
    opened = job.state.opened
    return LotFacts(
        head=job.state.head,
        vehicle=f"{opened.work_order} · {opened.vehicle.description}",
        clean=bool(job.state.clean),
        readings=list(_readings(job)),
    )


def _readings(job: Played) -> Iterator[Reading]:
    newest = {data.step: (event, data) for event, data in job.all_of(Answered) if data.number}
    for name, (event, data) in newest.items():
        step = job.procedure.steps.get(name)
        if isinstance(step, Measure):
            text = f"{job.procedure.number[name]}. {step.text}"
            told = f"{data.number} {data.unit or step.unit}"
            yield Reading(event.seq, text, told, data.limits or "", event.by)


class Lots:
    """Draws as jobs come by; only those that are drawn are kept."""

    def __init__(self, few: int, day: str) -> None:
        """Draw so many of the clean jobs, by a lot that is another one each `day`."""
        self._few = few
        self._day = day
        self._overridden: list[Drawn] = []
        self._clean: list[tuple[int, str, Drawn]] = []
        """The greatest first, as a heap with the signs turned round."""

    def take(self, job: str, lot: LotFacts | None, gates: Sequence[str]) -> None:
        """Take a job, in which the `gates` were overridden."""
        if lot is None:
            return
        number = self._number(lot.head)
        again = lot.readings[number % len(lot.readings)] if lot.readings else None
        if gates:
            why = f"overridden: {', '.join(dict.fromkeys(gates))}"
            self._overridden.append(Drawn(job, lot.vehicle, why, again))
        elif lot.clean and self._few:
            place = (-number, job, Drawn(job, lot.vehicle, "by lot", again))
            if len(self._clean) < self._few:
                heappush(self._clean, place)
            else:
                heappushpop(self._clean, place)

    def _number(self, head: str) -> int:
        """Return the lot of a job: the same all day, and known to nobody beforehand."""
        return int.from_bytes(hashlib.sha256(f"{self._day} {head}".encode()).digest()[:8], "big")

    @property
    def drawn(self) -> list[Drawn]:
        """The jobs with an override, then the clean ones, each by name."""
        clean = sorted((drawn for _, _, drawn in self._clean), key=lambda drawn: drawn.job)
        return [*self._overridden, *clean]
