"""What the marks of a timeline say, each in one line: when, what, who says so."""

from collections.abc import Callable
from datetime import datetime, tzinfo
from typing import Any

from baycompanion.job.events.event import Event
from baycompanion.job.events.moment import read_moment
from baycompanion.job.state.words import answer_words
from baycompanion.job.timeline.values import Mark, Timeline, What
from baycompanion.procedure.model import Procedure
from baycompanion.text.clean import clean_line
from baycompanion.text.duration import rough_duration, write_duration

GAPS = {"left": "the job was left", "slept": "the laptop slept"}
MEANINGS = {
    "worked": "said to be work",
    "away": "said to be away from the vehicle",
    "clock": "said to be a wrong clock",
    "unknown": "nobody knows what it was",
}


def time_words(moment: str, zone: tzinfo | None, days: bool) -> str:
    """Return a moment by the clock on the wall in `zone`, with its day where `days` are told."""
    when = read_moment(moment).astimezone(zone)
    return f"{when:%Y-%m-%d %H:%M}" if days else f"{when:%H:%M}"


def length_words(milliseconds: int) -> str:
    """Return a length of time: below two minutes with its seconds."""
    seconds = milliseconds // 1000
    return write_duration(seconds) if seconds < 120 else rough_duration(seconds)


class MarkWords:
    """Says what the marks of one timeline are about."""

    def __init__(
        self, procedure: Procedure, timeline: Timeline, zone: tzinfo | None, days: bool
    ) -> None:
        """Speak of `timeline` by the clock of `zone`; `days` are told where it has several."""
        self._procedure = procedure
        self._timeline = timeline
        self._zone = zone
        self._days = days

    def time(self, mark: Mark) -> str:
        """Return when it happened."""
        return self.clock(mark.moment)

    def head(self, mark: Mark) -> str:
        """Return what happened, in one line."""
        return clean_line(_HEADS[mark.what](self, mark, mark.event.data))

    def source(self, mark: Mark) -> str:
        """Return who says so, and which events."""
        first, last = mark.events[0].seq, mark.events[-1].seq
        return f"{mark.event.by}, event {first}" + (f" to {last}" if last > first else "")

    def step(self, name: str | None) -> str:
        """Return a step by its number and its text; by its id where a revision took it away."""
        step = self._procedure.steps.get(name or "")
        return f"{self._procedure.number[step.id]}. {step.text}" if step is not None else name or ""

    def lasted(self, mark: Mark) -> str:
        """Return how long it lasted."""
        ends = mark.ends if mark.ends is not None else self._timeline.length
        return length_words(ends - mark.at)

    def clock(self, moment: str) -> str:
        """Return a moment as the list tells it."""
        return time_words(moment, self._zone, self._days)

    def answer(self, event: Event) -> str:
        """Return an answer to a step in words."""
        step = self._procedure.steps.get(event.data.step)  # type: ignore[attr-defined]
        if step is None or event.kind != "answered":
            return ""
        return answer_words(self._procedure, step, event.data)  # type: ignore[arg-type]

    def because(self, gate: str) -> str:
        """Return why the procedure has a gate; nothing where a revision took it away."""
        known = self._procedure.all_gates.get(gate)
        return known.because if known is not None else ""


def _gates(mark: Mark) -> str:
    return f"Gate{'s' if len(mark.gates) > 1 else ''} {', '.join(mark.gates)}"


def _shut(words: MarkWords, mark: Mark, data: Any) -> str:
    how = {
        "gate-opened": f"opened after {words.lasted(mark)}",
        "overridden": f"overridden after {words.lasted(mark)}",
        "revised": f"taken away by a newer revision after {words.lasted(mark)}",
        "": "not opened since",
    }[mark.ended_by.kind if mark.ended_by is not None else ""]
    return f"{_gates(mark)} shut, {how}"


def _pause(words: MarkWords, mark: Mark, data: Any) -> str:
    return f"Paused {words.lasted(mark)}: {data.reason}"


def _gap(words: MarkWords, mark: Mark, data: Any) -> str:
    meaning = getattr(getattr(mark.ended_by, "data", None), "meaning", "")
    said = MEANINGS.get(meaning, "not explained yet")
    grown: Any = mark.events[-1].data  # a gap that was left unexplained grew from event to event
    return f"Gap of {length_words(grown.seconds * 1000)}: {GAPS[data.how]}, {said}"


def _fault(words: MarkWords, mark: Mark, data: Any) -> str:
    open_ = ", put right later" if mark.ended_by is not None else ", still open"
    return f"Fault {data.fault} of the {data.cause}{open_}: {data.words}"


def _second(words: MarkWords, mark: Mark, data: Any) -> str:
    return f"Second person, {data.outcome}: {words.step(mark.step)}"


def _late(words: MarkWords, mark: Mark, data: Any) -> str:
    how = "Copied from paper" if mark.what == "from paper" else "Entered later"
    claimed = data.claimed or mark.events[-1].data.claimed  # type: ignore[attr-defined]
    said = f", as done {words.clock(claimed)}" if claimed else ""
    return f"{how}{said}: {words.step(mark.step)}"


def _closed(words: MarkWords, mark: Mark, data: Any) -> str:
    for_now = ", a second person is still to look" if data.provisional else ""
    return f"Keys back, {'clean' if data.clean else 'not clean'}{for_now}"


_HEADS: dict[What, Callable[[MarkWords, Mark, Any], str]] = {
    "keys in": lambda words, mark, data: f"Keys in: {data.work_order}, {data.vehicle.description}",
    "keys back": _closed,
    "given up": lambda words, mark, data: f"Given up: {data.reason}",
    "gate shut": _shut,
    "gate opened": lambda words, mark, data: f"{_gates(mark)} opened by condition",
    "gate opened for now": lambda words, mark, data: (
        f"{_gates(mark)} opened for now: a second person is still to look"
    ),
    "gate overridden": lambda words, mark, data: f"{_gates(mark)} overridden: {data.reason}",
    "gate shut again": lambda words, mark, data: f"{_gates(mark)} shut again",
    "pause": _pause,
    "gap": _gap,
    "clock set back": lambda words, mark, data: (
        f"Clock set back by {length_words(data.seconds * 1000)}"
    ),
    "fault": _fault,
    "fault cleared": lambda words, mark, data: f"Fault {data.fault} put right: {data.words}",
    "step reopened": lambda words, mark, data: f"Reopened: {words.step(data.step)}",
    "other hands": lambda words, mark, data: f"Handed over to {data.to}: {data.words}",
    "from paper": _late,
    "late entry": _late,
    "second person": _second,
    "released for now": lambda words, mark, data: f"Released for now: {words.step(data.step)}",
    "newer revision": lambda words, mark, data: (
        f"Revision {data.revision} from here, {data.was} before: {data.words}"
    ),
}


def one_day(timeline: Timeline, zone: tzinfo | None) -> bool:
    """Return whether everything on the line happened on one day of `zone`."""
    days: set[object] = {
        datetime.fromisoformat(mark.moment).astimezone(zone).date() for mark in timeline.marks
    }
    return len(days) == 1
