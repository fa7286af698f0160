"""What was checked: all that passed in one list; what did not stands further up."""

from collections.abc import Iterator

from baycompanion.sheets.handover.form import Section
from baycompanion.sheets.handover.source import Source


def checks(source: Source) -> Section | None:
    """Return every check that passed, and every one that a second person passed."""
    passed = [
        step.text for step, _, answer in source.finished("check") if answer.outcome == "passed"
    ]
    facts = [("Passed", " ".join(passed))] if passed else []
    seconds = tuple(_seconds(source))
    if not facts and not seconds:
        return None
    return Section("Checked", facts=(*seconds, *facts), weight="quiet")


def _seconds(source: Source) -> Iterator[tuple[str, str]]:
    for step, _, answer in source.finished("witness"):
        if answer.outcome == "passed":
            text = " ".join(filter(None, (step.text, answer.words)))
            yield f"By a second person ({source.stamp(answer)})", text
