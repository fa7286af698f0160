"""Answers that came sooner than the work could be done, by the times of the events."""

from collections.abc import Iterator

from baycompanion.audit.findings import Finding, Rule
from baycompanion.audit.rules.played import Played
from baycompanion.job.events.event import Event
from baycompanion.job.events.kinds import Answered, Begun
from baycompanion.text.duration import write_duration

TOO_FAST = Rule("answered-too-fast", "minor")
BURST = Rule("answers-in-a-burst", "minor")

BURST_GAP = 3
"""Seconds between two steps answered one after the other, up to which nothing can have been read,
done and answered. Own choice: below the shortest step of the shipped procedures."""

BURST_ANSWERS = 4
"""So many answers in a row that close together are a burst. Own choice: two or three follow one
another where a step was done while the one before was still in hand."""

MOST_TOLD = 5
"""Steps that one sentence names; the evidence has all."""


def too_fast(job: Played) -> Iterator[Finding]:
    """Yield which steps of `job` were done sooner than the shortest time of their procedure.

    A step counts from the moment it came to be in hand. What was copied from paper or entered
    late is passed over, and so is what was not done.
    """
    begun: dict[str, Event] = {}
    told: list[str] = []
    events: list[int] = []
    for event in job.events:
        if isinstance(event.data, Begun):
            begun[event.data.step] = event
        elif isinstance(event.data, Answered) and was_done(event.data):
            step = job.procedure.steps.get(event.data.step)
            since = begun.get(event.data.step)
            if step is None or step.shortest is None or since is None:
                continue
            took = event.milliseconds - since.milliseconds
            if 0 <= took < step.shortest * 1000:
                number = job.procedure.number[step.id]
                least = write_duration(step.shortest)
                told.append(f"step {number} in {seconds_said(took)}, shortest {least}")
                events.append(event.seq)
    if told:
        yield Finding(
            TOO_FAST,
            f"Answered sooner than the procedure says it can be done: {_some(told)}. Was it done "
            "before it was in hand, is the shortest time wrong, or was it not done?",
            job.name,
            events=tuple(events),
        )


def bursts(job: Played) -> Iterator[Finding]:
    """Yield where several steps of `job` were answered within seconds of one another.

    Lines are no answers here, so a key that answers a group or all that is left makes no burst.
    """
    run: list[Event] = []
    for event, data in job.all_of(Answered):
        if not was_done(data):
            continue
        if run and not 0 <= event.milliseconds - run[-1].milliseconds <= BURST_GAP * 1000:
            yield from _burst(job, run)
            run = []
        run.append(event)
    yield from _burst(job, run)


def _burst(job: Played, run: list[Event]) -> Iterator[Finding]:
    if len(run) < BURST_ANSWERS:
        return
    lasted = seconds_said(run[-1].milliseconds - run[0].milliseconds)
    yield Finding(
        BURST,
        f"{len(run)} steps were answered within {lasted}, each no more than {BURST_GAP} s after "
        f"the one before ({BURST_ANSWERS} or more in a row are told). Were they done together and "
        "answered afterwards?",
        job.name,
        events=tuple(event.seq for event in run),
    )


def was_done(answer: Answered) -> bool:
    """Return whether an answer says that something was done, and was given when it was."""
    return answer.weight == "good" and answer.claimed is None and not answer.on_paper


def seconds_said(milliseconds: int) -> str:
    """Return a length of time in seconds, below ten with a tenth."""
    return f"{milliseconds / 1000:.1f} s" if milliseconds < 10_000 else f"{milliseconds // 1000} s"


def _some(told: list[str]) -> str:
    more = len(told) - MOST_TOLD
    return "; ".join(told[:MOST_TOLD]) + (f"; and {more} more" if more > 0 else "")
