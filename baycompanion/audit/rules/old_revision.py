"""Jobs begun by an older revision than another job before them: the shelf had the newer one."""

from collections.abc import Iterator

from baycompanion.audit.findings import Finding, Rule
from baycompanion.audit.rules.figures import Figure, Figures, TakesFigures
from baycompanion.audit.rules.played import Played
from baycompanion.job.events.kinds import Opened

OLD_REVISION = Rule("older-revision", "minor")

KIND = "revision"


def keep_revision(job: Played, figures: TakesFigures) -> None:
    """Keep when `job` began by which revision, unless it went on by a newer one."""
    opened = job.events[0].data
    assert isinstance(opened, Opened)
    if not job.state.revisions:
        figure = Figure(job.name, job.events[0].by, (1,), job.events[0].at)
        figures.add(KIND, (opened.procedure, str(opened.revision)), figure)


def old_revisions(figures: Figures) -> Iterator[Finding]:
    """Yield the jobs begun by an older revision after some job had begun by a newer one.

    Only what the records show: a newer revision that no job was begun by yet is not known here.
    """
    first: dict[str, dict[int, tuple[str, str]]] = {}
    for (procedure, revision), jobs in figures.groups(KIND):
        earliest = min(jobs, key=lambda each: str(each.value))
        known = first.setdefault(procedure, {})
        known[int(revision)] = (str(earliest.value), earliest.job)
    for (procedure, revision), jobs in figures.groups(KIND):
        newer = {r: each for r, each in first[procedure].items() if r > int(revision)}
        for job in jobs:
            before = [(r, name) for r, (at, name) in newer.items() if at < str(job.value)]
            if before:
                number, name = max(before)
                told = (
                    f"The job was begun by revision {revision} of {procedure} when {name} had "
                    f"already begun by revision {number}. Was it from another shelf, and does what "
                    "is new there matter for this vehicle?"
                )
                about = f"{procedure}, revision {revision}"
                yield Finding(OLD_REVISION, told, job.job, events=job.events, about=about)
