"""What came of each gate in one job: counted by the audit, and a row of the exported tables."""

from collections.abc import Iterator
from dataclasses import dataclass

from baycompanion.audit.rules.played import Played
from baycompanion.job.events.kinds import GateHeld, GateOpened, Overridden
from baycompanion.job.state.gates import gate_applies


@dataclass(frozen=True, slots=True)
class GateOutcome:
    """What came of one gate in one job, which reached it or has nothing to do with it."""

    gate: str
    reached: bool
    passed: bool = False
    """Whether it stands open by its condition."""
    held: bool = False
    """Whether it held the job up at least once, whatever came of it."""
    reasons: tuple[str, ...] = ()
    """The reason of each time that it was opened without its condition."""
    waited_for: tuple[str, ...] = ()
    """What it waited for when it held last, each once."""

    @property
    def overridden(self) -> bool:
        """Whether it was opened without its condition at least once."""
        return bool(self.reasons)

    @property
    def not_applicable(self) -> bool:
        """Whether the closed job has nothing to do with it."""
        return not self.reached


def gate_outcomes(job: Played) -> Iterator[GateOutcome]:
    """Yield what came of each gate that `job` reached, or, once closed, has nothing to do with.

    They come in the order of the procedure. A gate that lies ahead is not among them.
    """
    missing = {data.gate: data.missing for _, data in job.all_of(GateHeld)}
    opened = {data.gate for _, data in job.all_of(GateOpened)}
    reasons: dict[str, list[str]] = {}
    for _, data in job.all_of(Overridden):
        reasons.setdefault(data.gate, []).append(data.reason)
    for gate in job.procedure.all_gates.values():
        name = gate.gate
        if name in missing or name in opened:
            track = job.state.gates.get(name)
            yield GateOutcome(
                name,
                reached=True,
                passed=track is not None and track.standing == "open",
                held=name in missing,
                reasons=tuple(reasons.get(name, ())),
                waited_for=tuple(dict.fromkeys(missing.get(name, ()))),
            )
        elif job.closed and not gate_applies(job.procedure, job.state, gate):
            yield GateOutcome(name, reached=False)
