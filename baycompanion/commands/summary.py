"""The summary of a job in lines of text, worked out from its record alone."""

from collections.abc import Iterator, Sequence

from baycompanion.job.record.whole import JobRecord
from baycompanion.job.record.work import FaultRecord, OverrideRecord, PhaseRecord
from baycompanion.text.duration import rough_duration


def summary(record: JobRecord) -> Iterator[str]:
    """Yield what came of a job: times against targets, steps, gates, faults, fingerprint."""
    yield f"{record.procedure.title}, revision {record.procedure.revision}"
    yield f"Work order {record.work_order}, {record.vehicle.description}"
    yield f"{record.opened_at[:16].replace('T', ' ')} UTC: keys in"
    yield _ending(record)
    yield ""
    yield from _phases(record.phases)
    yield ""
    yield from _listed("Steps", [f"{word}: {count}" for word, count in record.totals.items()])
    yield from _listed("Gates", [f"{gate.id}: {gate.came_to}" for gate in record.gates])
    yield from _listed("Overrides", [_override(each) for each in record.overrides])
    yield from _listed("Faults", [_fault(fault) for fault in record.faults] or ["none"])
    yield from _listed("Fingerprint", [record.fingerprint])


def _ending(record: JobRecord) -> str:
    """Return how and when the job ended, in a sentence."""
    if record.ended_at is None:
        return "The job is still under way."
    when = f"{record.ended_at[:16].replace('T', ' ')} UTC"
    if record.status == "abandoned":
        return f"{when}: abandoned, {record.ended_words}"
    return f"{when}: keys back, {'clean' if record.clean else 'not clean'}"


def _phases(phases: Sequence[PhaseRecord]) -> Iterator[str]:
    """Yield a line for each phase, and one for all of them: worked against target."""
    width = max((len(phase.title) for phase in phases), default=0)
    yield _columns("Phase".ljust(width), "worked", "target", "paused")
    for phase in phases:
        yield _times(phase.title.ljust(width), [phase])
    yield _times("All phases".ljust(width), phases)


def _times(title: str, phases: Sequence[PhaseRecord]) -> str:
    target = sum(phase.target_seconds or 0 for phase in phases)
    paused = sum(phase.paused_seconds for phase in phases)
    return _columns(
        title,
        rough_duration(sum(phase.worked_seconds for phase in phases)),
        rough_duration(target) if target else "none",
        rough_duration(paused) if paused else "",
    )


def _columns(title: str, worked: str, target: str, paused: str) -> str:
    return f"{title}  {worked:>10}  {target:>10}  {paused:>10}".rstrip()


def _listed(heading: str, items: Sequence[str]) -> Iterator[str]:
    """Yield `items`, one a line, the heading before the first."""
    for place, item in enumerate(items):
        yield f"{heading if place == 0 else '':<12}{item}"


def _override(override: OverrideRecord) -> str:
    return f"{override.gate}, by {override.by}: {override.reason}. Instead: {override.instead}"


def _fault(fault: FaultRecord) -> str:
    """Return a fault with what became of it."""
    end = "open" if fault.open else f"put right by {fault.cleared_by}: {fault.cleared_words}"
    return f"{fault.fault}. of the {fault.cause}: {fault.words} ({end})"
