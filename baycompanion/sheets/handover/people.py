"""Who worked on the job and what each sign-off means, and how long the work took."""

from collections import defaultdict
from collections.abc import Iterator

from baycompanion.sheets.handover.form import Section
from baycompanion.sheets.handover.source import Source, number
from baycompanion.text.duration import rough_duration

MEANINGS = {"did": "did", "checked": "checked", "released": "released for now"}


def people(source: Source) -> Section:
    """Return the times of the job, and what each person's sign-offs mean."""
    return Section("Who signed for what", says=(_times(source),), facts=tuple(_signed(source)))


def _signed(source: Source) -> Iterator[tuple[str, str]]:
    signed: defaultdict[tuple[str, str], list[tuple[str, str]]] = defaultdict(list)
    for part in source.record.steps:
        for attempt in part.attempts:
            signed[attempt.by, MEANINGS[attempt.meaning]].append((part.id, attempt.at))
    for override in source.record.overrides:
        signed[override.by, "allowed"].append((f"{override.gate}, {override.at}", override.at))
    for name in source.record.people:
        said = [
            _span(source, word, signed[name, word])
            for word in (*MEANINGS.values(), "allowed")
            if (name, word) in signed
        ]
        yield name, "; ".join(said) or "no sign-off"


def _span(source: Source, word: str, signed: list[tuple[str, str]]) -> str:
    """Return how much somebody signed for with this meaning, from when to when.

    A step that was done again by the same person is one step.
    """
    moments = [at for _, at in signed]
    many = len({what for what, _ in signed})
    ends = dict.fromkeys((source.moment(min(moments)), source.moment(max(moments))))
    noun = "override" if word == "allowed" else "step"
    return f"{word} {number(many, noun)}, {' to '.join(ends)}"


def _times(source: Source) -> str:
    """Return how long the work took, and how the times on the sheet are meant."""
    phases = source.record.phases
    worked = rough_duration(sum(phase.worked_seconds for phase in phases))
    paused = sum(phase.paused_seconds for phase in phases)
    stood = f", paused {rough_duration(paused)}" if paused else ""
    zone = source.keys_in.isoformat()[-6:]  # like +01:00
    day = f"{source.keys_in:%Y-%m-%d}, UTC{zone}"
    return f"Worked {worked}{stood}. Times without a day are of {day}."
