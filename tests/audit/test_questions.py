"""All questions in one pass: no job is kept, and what is compared comes back group by group."""

import gc
from dataclasses import replace

from asked import closed, played

from baycompanion.audit.rules.figures import Figure, Figures
from baycompanion.audit.rules.played import Played
from baycompanion.audit.rules.questions import Questions, ask


def test_no_job_is_kept_once_it_was_asked() -> None:
    bay, questions = closed(), Questions()
    for number in range(50):
        list(questions.take(ask(replace(played(bay), name=f"passing-{number}"))))
    gc.collect()
    kept = [each for each in gc.get_objects() if isinstance(each, Played)]
    assert [job.name for job in kept if job.name.startswith("passing-")] == []
    assert sum(gate.reached for gate in questions.gates) >= 50


def test_figures_come_back_by_what_may_be_compared_and_as_they_went_in() -> None:
    figures = Figures()
    one, two, three = (Figure(f"job-{n}", "T1", (n,), n + 0.5) for n in (1, 2, 3))
    text = Figure("job-4", "T2", (), "12.60")
    figures.add("time", ("p", "b"), one)
    figures.add("time", ("p", "a"), two)
    figures.add("time", ("p", "b"), three)
    figures.add("reading", ("p", "b"), text)
    groups = dict(figures.groups("time"))
    assert list(groups) == [("p", "a"), ("p", "b")]
    assert list(groups["p", "a"]) == [two]
    for _ in range(2):  # as often as a rule asks
        assert list(groups["p", "b"]) == [one, three]
    assert len(groups["p", "b"]) == 2
    assert [(alike, list(group)) for alike, group in figures.groups("reading")] == [
        (("p", "b"), [text])
    ]
    assert list(figures.groups("another")) == []
