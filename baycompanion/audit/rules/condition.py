"""Whether a vehicle left as it came: worse lines, open faults and missing pictures at the close."""

from collections.abc import Iterator

from baycompanion.audit.findings import Finding, Rule
from baycompanion.audit.rules.played import Played
from baycompanion.job.events.kinds import Closed, FaultRaised
from baycompanion.job.state.state import Fault
from baycompanion.procedure.steps import Inspect

WORSE = Rule("closed-worse-than-before", "serious")
FAULT_OPEN = Rule("closed-with-open-fault", "serious")
NO_PHOTO = Rule("required-photo-missing", "serious")


def worse_than_before(job: Played) -> Iterator[Finding]:
    """Yield what was found worse than before the work and was open when the keys went back."""
    worse = [fault for fault in _open_faults(job) if _was_compared(job, fault)]
    if worse:
        yield Finding(
            WORSE,
            f"The job was closed with the condition worse than before: {_words(worse)}. Has it "
            "been put right since, what was the owner told, and who answers for it?",
            job.name,
            events=_events(job, worse),
        )


def open_faults(job: Played) -> Iterator[Finding]:
    """Yield what else the work caused and was not cleared when the keys went back.

    A fault that the vehicle came with is none of these: the owner reads it on the sheet.
    """
    others = [fault for fault in _open_faults(job) if not _was_compared(job, fault)]
    if others:
        yield Finding(
            FAULT_OPEN,
            f"The job was closed with {len(others)} open fault{'s' * (len(others) > 1)} of the "
            f"work: {_words(others)}. Has it been put right since, or when will it be?",
            job.name,
            events=_events(job, others),
        )


def missing_photos(job: Played) -> Iterator[Finding]:
    """Yield the steps done well in a closed job without the picture that they require."""
    if not job.closed:
        return
    bare = [
        step
        for step in job.procedure.steps.values()
        if step.photo == "required"
        and job.state.track(step.id).good
        and not job.state.photographed(step.id)
    ]
    if bare:
        named = ", ".join(f"{job.procedure.number[step.id]} ({step.id})" for step in bare)
        yield Finding(
            NO_PHOTO,
            f"Done without the picture that the procedure requires: step {named}. Is there one "
            "elsewhere, or can it be looked at on the vehicle?",
            job.name,
            events=tuple(job.state.track(step.id).attempts[-1].seq for step in bare),
        )


def _open_faults(job: Played) -> list[Fault]:
    """Return the faults of the work that are open in a job that is closed."""
    return [each for each in job.state.faults if job.closed and each.open and each.cause == "work"]


def _was_compared(job: Played, fault: Fault) -> bool:
    """Return whether a comparison with the sheet of before found it."""
    step = job.procedure.steps.get(fault.step or "")
    return isinstance(step, Inspect) and step.compares is not None


def _words(faults: list[Fault]) -> str:
    return "; ".join(fault.words.rstrip(". ") for fault in faults)


def _events(job: Played, faults: list[Fault]) -> tuple[int, ...]:
    """Return the events that raised `faults`, and the one that closed the job."""
    numbers = {fault.number for fault in faults}
    raised = [event.seq for event, data in job.all_of(FaultRaised) if data.fault in numbers]
    return (*raised, *(event.seq for event, _ in job.all_of(Closed)))
