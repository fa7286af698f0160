"""What happened in a practice, in words."""

import pytest
from bay import SMALL

from baycompanion.job.events.data import Data
from baycompanion.job.events.kinds import Begun, Closed, Overridden
from baycompanion.job.events.practice_kinds import Looked, NextSaid, RanInto, Unprotected
from baycompanion.views.event_words import what_happened


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (Begun(step="keys", phase="keys-back", taken_up=True), "took up out of its place"),
        (Begun(step="keys", phase="keys-back"), "began "),
        (NextSaid(due="keys", said="show", right=False), "(due was "),
        (NextSaid(due="keys", said="keys", right=True), "(right)"),
        (RanInto(gate="sound-before-refit", step="keys", missing=["A.", "B."]), "A. B."),
        (Unprotected(standing="battery-off", step="join"), "without battery-off, which protects "),
        (Looked(step="sound"), "looked at "),
    ],
)
def test_what_practice_says_reads_as_a_sentence(data: Data, said: str) -> None:
    words = what_happened(data, SMALL)
    assert said in words
    step = getattr(data, "said", None) or getattr(data, "step", "")
    assert SMALL.steps[step].text in words
    assert "; " not in words


def test_an_override_reads_as_sentences() -> None:
    """It said “owner waits Instead: …”."""
    data = Overridden(
        gate="tray-empty",
        missing=["28. Count the screws."],
        role="supervisor",
        reason="measured another way",
        words="owner waits",
        instead="a lamp",
        steps=[],
    )
    assert what_happened(data, SMALL).endswith("another way. owner waits. Instead: a lamp")


@pytest.mark.parametrize(("clean", "said"), [(True, "yes"), (False, "no")])
def test_whether_a_job_was_closed_clean_is_told_by_a_word(clean: bool, said: str) -> None:
    """It said “clean False”."""
    assert what_happened(Closed(clean=clean), SMALL).endswith(f"clean {said}")
