"""The condition sheet before and after: counts of what is the same, lines of what is not."""

from collections import Counter
from collections.abc import Iterator

from baycompanion.job.record.work import LineRecord, StepRecord
from baycompanion.job.state.panel_marks import marks_words
from baycompanion.job.state.sheet import said_differently
from baycompanion.procedure.steps import Inspect
from baycompanion.sheets.handover.form import Section, Table
from baycompanion.sheets.handover.source import FINISHED, Source, number

WELL = ("works", "unmarked")
NOTHING_TO_SEE = ("not fitted",)

_TOLD = {"worse": "WORSE", "said differently": "said differently: look at both"}
"""How lines compare, where the table says more than the one word."""

Row = tuple[str, str, str, str]


def condition(source: Source) -> Section | None:
    """Return what the vehicle was like before the work beside what it is like after."""
    says: list[str] = []
    rows: list[Row] = []
    again: list[bool] = []
    for step in source.procedure.steps.values():
        part = source.part(step.id)
        if isinstance(step, Inspect) and part is not None and _is_last(source, step):
            before = source.part(step.compares) if step.compares else part
            after = part if step.compares else None
            if before is not None and (before.lines or part.lines):
                says.append(_counted(source, step, before, after))
                rows += _apart(before, after)
                again.append(after is not None and after.state in FINISHED)
    if not says:
        return None
    heads = ("What", "Before the work", "After the work", "Compared")
    table = Table(heads, tuple(rows), (27, 31, 31, 11))
    if not rows and all(again):
        says.append("Nothing was faulty or marked before, and nothing is different after.")
    return Section(
        "Before and after",
        says=(*says, *_agreed(source)),
        table=table if rows else None,
        wide=True,
    )


def _is_last(source: Source, step: Inspect) -> bool:
    """Return whether no later sheet that was begun is held against this one."""
    later = (
        source.part(each.id)
        for each in source.procedure.steps.values()
        if isinstance(each, Inspect) and each.compares == step.id
    )
    return not any(part is not None and part.lines for part in later) and (
        step.compares is None or bool(_lines(source.part(step.id)))
    )


def _lines(part: StepRecord | None) -> dict[str, LineRecord]:
    return {line.item: line for line in part.lines} if part is not None else {}


def _counted(source: Source, step: Inspect, before: StepRecord, after: StepRecord | None) -> str:
    """Return how many lines there are, and how many came out in which way."""
    noun = "place" if source.procedure.looks_for(step) == "marks" else "function"
    was = Counter(line.outcome for line in before.lines)
    found = ", ".join(f"{outcome} {count}" for outcome, count in was.items())
    told = f"{number(len(before.lines), noun)} before the work{_together(before)}: {found}."
    if after is None:
        return f"{told} They are not looked at again yet."
    words = Counter(word for *_, word in _compared(before, after))
    compared = ", ".join(f"{word} {count}" for word, count in words.items())
    return f"{told} After it{_together(after)}: {compared}."


def _together(part: StepRecord) -> str:
    """Return how many lines were answered by one key for several, which is no look at each."""
    many = sum(bool(line.together) for line in part.lines)
    return f" ({many} answered together)" if many else ""


def _compared(
    before: StepRecord, after: StepRecord
) -> Iterator[tuple[str, LineRecord | None, LineRecord, str]]:
    """Yield every line of the sheet after the work, with the one before and how it compares."""
    was = _lines(before)
    finished = after.state in FINISHED
    apart = (after.attempts[-1].details or {}) if finished else {}
    for item, line in _lines(after).items():
        word = apart.get(item, "unchanged") if finished else "not compared yet"
        first = was.get(item)
        if word == "unchanged" and first is not None and said_differently(first, line):
            word = "said differently"
        yield line.name, first, line, word


def _apart(before: StepRecord, after: StepRecord | None) -> Iterator[Row]:
    """Yield the lines that are different after, and those that were not well before."""
    if after is None:
        for line in before.lines:
            if line.outcome not in (*WELL, *NOTHING_TO_SEE):
                yield line.name, _found(line), "not looked at yet", ""
        return
    for name, was, now, word in _compared(before, after):
        well = was is not None and was.outcome in (*WELL, *NOTHING_TO_SEE)
        if word != "unchanged" or not well:
            yield name, _found(was), _found(now), _TOLD.get(word, word)


def _found(line: LineRecord | None) -> str:
    if line is None:
        return "not asked"
    words = marks_words(line.marks) if line.marks else line.words
    return ": ".join(filter(None, (line.outcome, words)))


_SAID = {
    "agreed": "The owner saw this sheet before the work and agreed with it",
    "refused": "The owner saw this sheet before the work and REFUSED to agree with it",
    "absent": "The owner was absent before the work, and was told otherwise",
}


def _agreed(source: Source) -> Iterator[str]:
    """Yield what the owner said of the condition sheet before the work."""
    said = source.record.owner_word
    if said is not None:
        words = said.words if said.written else f"not written down, {said.words}"
        yield f"{_SAID[said.word]}: {words.rstrip('.')} ({said.by}, {source.moment(said.at)})."
