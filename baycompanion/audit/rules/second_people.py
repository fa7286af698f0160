"""Whose word stood for whose work: the second person, and whoever opened a gate."""

from collections.abc import Collection, Iterator

from baycompanion.audit.findings import Finding, Rule
from baycompanion.audit.rules.played import Played
from baycompanion.job.events.event import Event
from baycompanion.job.events.kinds import Answered, Overridden, Ticked
from baycompanion.job.state.fold import fold_all
from baycompanion.procedure.steps import Witness

SELF_WITNESS = Rule("self-witness", "grave", people=True)
OWN_GATE = Rule("own-gate-overridden", "serious", people=True)
NO_PIN = Rule("vouched-without-pin", "minor", people=True)

VOUCHED = ("passed", "failed", "not agreeing")
"""What a second person who looked can come to; a release for now, or nobody came, is none."""


def self_witness(job: Played) -> Iterator[Finding]:
    """Yield where a second person passed their own work, which no door of this program allows.

    Who had worked on it is worked out from the events before that word.
    """
    for event, step in _witnesses(job):
        assert isinstance(event.data, Answered)
        own = _own(job, event, step.of) if event.data.outcome == "passed" else []
        if own:
            yield Finding(
                SELF_WITNESS,
                f"{event.by} passed as the second person at step {step.id} and had worked on "
                f"{', '.join(own)} by the events before. This program refuses that. Did somebody "
                "else look, and who wrote this?",
                job.name,
                events=(event.seq,),
                about=event.by,
            )


def own_gate(job: Played) -> Iterator[Finding]:
    """Yield where somebody opened a gate that waited for their own work."""
    for event, data in job.all_of(Overridden):
        if own := _own(job, event, data.steps):
            yield Finding(
                OWN_GATE,
                f"{event.by} opened the gate {data.gate}, which was waiting for {', '.join(own)}, "
                "and had worked on that. Who else looked at it?",
                job.name,
                events=(event.seq,),
                about=event.by,
            )


def without_pin(job: Played) -> Iterator[Finding]:
    """Yield the overrides and second looks of `job` for which an id was taken at its word.

    It is asked where the shop has PINs.
    """
    vouched = [*(event for event, _ in _witnesses(job)), *(e for e, _ in job.all_of(Overridden))]
    bare = sorted(
        (event for event in vouched if getattr(event.data, "signed", None) is None),
        key=lambda event: event.seq,
    )
    if bare:
        people = ", ".join(dict.fromkeys(event.by for event in bare))
        yield Finding(
            NO_PIN,
            f"Vouched for without a PIN by {people}: overrides or second looks, {len(bare)} in "
            "all. The shop has PINs by staff.yaml as it is now, which does not say since when. Was "
            "it really them?",
            job.name,
            events=tuple(event.seq for event in bare),
        )


def _witnesses(job: Played) -> Iterator[tuple[Event, Witness]]:
    """Yield each word of a second person who looked, with the step that asked for it."""
    for event, data in job.all_of(Answered):
        step = job.procedure.steps.get(data.step)
        if isinstance(step, Witness) and data.outcome in VOUCHED:
            yield event, step


def _own(job: Played, event: Event, steps: list[str] | tuple[str, ...]) -> list[str]:
    """Return those of `steps` that whoever is behind `event` had worked on before it."""
    before = job.events[: event.seq - 1]
    if not any(each.by == event.by and _is_work(each, steps) for each in before):
        return []  # folding costs more than all else that is asked of a job
    state = fold_all(before)
    return [step for step in steps if event.by in state.track(step).worked_by]


def _is_work(event: Event, steps: Collection[str]) -> bool:
    """Return whether `event` answers one of `steps`, or a line of it."""
    return isinstance(event.data, Answered | Ticked) and event.data.step in steps
