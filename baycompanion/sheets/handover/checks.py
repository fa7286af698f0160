"""What was checked: how many checks passed, and what a second person looked at.

What did not pass stands further up; every single check lies in the record.
"""

from collections.abc import Iterator

from baycompanion.sheets.handover.form import Section
from baycompanion.sheets.handover.source import Source, number


def checks(source: Source) -> Section | None:
    """Return how many checks passed, and what a second person passed."""
    outcomes = [answer.outcome for _, _, answer in source.finished("check")]
    passed = outcomes.count("passed")
    seconds = tuple(_seconds(source))
    if not passed and not seconds:
        return None
    says = (f"{number(passed, 'check')} passed; the record names each.",) if passed else ()
    return Section("Checked", says=says, facts=seconds, weight="quiet")


def _seconds(source: Source) -> Iterator[tuple[str, str]]:
    for step, _, answer in source.finished("witness"):
        if answer.outcome == "passed":
            text = " ".join(filter(None, (step.text, answer.words)))
            yield f"By a second person ({source.stamp(answer)})", text
