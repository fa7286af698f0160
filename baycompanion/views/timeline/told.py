"""All that a mark of a timeline says: every word that was given with it, one thing a line."""

from collections.abc import Callable, Iterator
from typing import Any

from baycompanion.job.timeline.values import Mark, What
from baycompanion.views.card.card import Piece, Tone
from baycompanion.views.timeline.words import MarkWords


def pieces(words: MarkWords, mark: Mark) -> tuple[Piece, ...]:
    """Return the whole of `mark`: its head, when and by whom, and what else is said of it."""
    tone: Tone = "bad" if mark.what in ("gate overridden", "fault", "given up") else "label"
    return (
        Piece(tone, words.head(mark)),
        Piece("quiet", f"{words.time(mark)} · {words.source(mark)}"),
        *(Piece("plain", line) for line in told(words, mark)),
    )


def told(words: MarkWords, mark: Mark) -> Iterator[str]:
    """Yield what is said of `mark` besides its head."""
    yield from _TOLD.get(mark.what, _nothing)(words, mark, mark.event.data)


def _nothing(words: MarkWords, mark: Mark, data: Any) -> Iterator[str]:
    yield from ()


def _signed(data: Any) -> str:
    return "with a PIN" if data.signed == "pin" else "id taken at its word"


def _told_keys_in(words: MarkWords, mark: Mark, data: Any) -> Iterator[str]:
    yield f"{data.title}, revision {data.revision}. Role: {data.role}, {_signed(data)}."
    if data.mentor:
        yield f"Beside the trainee: {data.mentor}"


def _told_keys_back(words: MarkWords, mark: Mark, data: Any) -> Iterator[str]:
    for step in data.provisional:
        yield f"Released without a second person: {words.step(step)}"


def _told_shut(words: MarkWords, mark: Mark, data: Any) -> Iterator[str]:
    yield f"In front of: {words.step(data.step)}"
    yield from (f"Because: {because}" for gate in mark.gates if (because := words.because(gate)))
    said: list[str] = []
    for event in mark.events:
        waits = "; ".join(event.data.missing)  # type: ignore[attr-defined]
        later = f" at {words.clock(event.at)}" if said else ""
        if waits not in said[-1:]:  # else it only shut once more, for the same
            yield f"It waited{later} for: {waits}"
            said.append(waits)
    if mark.ended_by is not None:
        ended = mark.ended_by
        yield f"Until {words.clock(ended.at)}, event {ended.seq} by {ended.by}"


def _told_opened(words: MarkWords, mark: Mark, data: Any) -> Iterator[str]:
    yield f"In front of: {words.step(data.step)}"
    for gate in mark.gates:
        yield f"{gate}: {words.because(gate)}".removesuffix(": ")


def _told_overridden(words: MarkWords, mark: Mark, data: Any) -> Iterator[str]:
    yield f"By {mark.event.by}, {data.role}, {_signed(data)}"
    yield f"Reason: {data.reason}"
    yield f"In their words: {data.words}"
    yield f"Instead: {data.instead}"
    yield f"Opened without: {'; '.join(data.missing)}"
    yield from (f"Because: {because}" for gate in mark.gates if (because := words.because(gate)))


def _told_shut_again(words: MarkWords, mark: Mark, data: Any) -> Iterator[str]:
    if data.step == mark.step:  # it rests on none that it holds: it is another gate now
        yield f"A newer revision changed it, in front of: {words.step(data.step)}"
    else:
        yield f"It rests on a step that was reopened: {words.step(data.step)}"


def _told_pause(words: MarkWords, mark: Mark, data: Any) -> Iterator[str]:
    yield f"Loose, open or live: {data.loose}"
    yield f"First on return: {data.first}"
    ended = mark.ended_by
    if ended is None:
        yield "Not resumed"
    elif ended.kind == "resumed":
        resumed: Any = ended.data
        yield f"Resumed {words.clock(ended.at)} by {ended.by}, event {ended.seq}"
        yield from [f"Read back: {resumed.words}"] if resumed.words else []
        yield from [f"Verified again: {', '.join(resumed.confirmed)}"] if resumed.confirmed else []
        yield from ["The last gate was checked again."] if resumed.gate_checked else []
    else:
        yield f"From {words.clock(ended.at)} on a pause of its own, event {ended.seq}"


def _told_gap(words: MarkWords, mark: Mark, data: Any) -> Iterator[str]:
    yield f"Since {words.clock(mark.moment)}, found {words.clock(mark.event.at)}"
    ended = mark.ended_by
    if ended is not None:
        yield f"Explained {words.clock(ended.at)} by {ended.by}, event {ended.seq}"
    yield "It counts as what it was said to be; until then it counts for nothing."


def _told_clock(words: MarkWords, mark: Mark, data: Any) -> Iterator[str]:
    yield "Nobody knows how long it was since the event before; times of day begin anew here."


def _told_fault(words: MarkWords, mark: Mark, data: Any) -> Iterator[str]:
    if data.step:
        yield f"At: {words.step(data.step)}"
    ended = mark.ended_by
    if ended is not None:
        cleared: Any = ended.data
        at = words.clock(ended.at)
        yield f"Put right {at} by {ended.by}, event {ended.seq}: {cleared.words}"


def _told_cleared(words: MarkWords, mark: Mark, data: Any) -> Iterator[str]:
    if mark.step:
        yield f"At: {words.step(mark.step)}"


def _told_reopened(words: MarkWords, mark: Mark, data: Any) -> Iterator[str]:
    yield f"Why: {data.reason}"
    if data.lines_kept:
        yield "Its lines kept their answers; only new ones were asked."


def _told_hands(words: MarkWords, mark: Mark, data: Any) -> Iterator[str]:
    if data.mentor:
        yield f"Beside the trainee: {data.mentor}"


def _told_late(words: MarkWords, mark: Mark, data: Any) -> Iterator[str]:
    yield f"It stands where it was written down, {words.clock(mark.event.at)}."
    answer = words.answer(mark.events[-1])
    if answer:
        yield f"Answer: {answer}"
    if len(mark.events) > 1:
        yield f"Entries: {len(mark.events)}"


def _told_second(words: MarkWords, mark: Mark, data: Any) -> Iterator[str]:
    yield f"By {mark.event.by}, {_signed(data)}"
    if data.words:
        yield f"In their words: {data.words}"
    for step, reading in (data.readings or {}).items():
        yield f"Found afresh: {words.step(step)} {reading}"
    if data.on_paper and data.claimed:
        yield f"Copied from paper, as done {words.clock(data.claimed)}"


def _told_revised(words: MarkWords, mark: Mark, data: Any) -> Iterator[str]:
    for name, ids in (("New", data.added), ("Gone", data.gone), ("Changed", data.changed)):
        if ids:
            yield f"{name} steps: {'; '.join(map(words.step, ids))}"
    for name, ids in (
        ("New", data.gates_added),
        ("Gone", data.gates_gone),
        ("Changed", data.gates_changed),
    ):
        if ids:
            yield f"{name} gates: {', '.join(ids)}"


_TOLD: dict[What, Callable[[MarkWords, Mark, Any], Iterator[str]]] = {
    "keys in": _told_keys_in,
    "keys back": _told_keys_back,
    "gate shut": _told_shut,
    "gate opened": _told_opened,
    "gate opened for now": _told_opened,
    "gate overridden": _told_overridden,
    "gate shut again": _told_shut_again,
    "pause": _told_pause,
    "gap": _told_gap,
    "clock set back": _told_clock,
    "fault": _told_fault,
    "fault cleared": _told_cleared,
    "step reopened": _told_reopened,
    "other hands": _told_hands,
    "from paper": _told_late,
    "late entry": _told_late,
    "second person": _told_second,
    "released for now": _told_second,
    "newer revision": _told_revised,
}
