"""Jobs found by what somebody typed: a name or a work order, for ended ones a plate or a VIN."""

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import NamedTuple

from baycompanion.job.state.sought import fits, fits_whole
from baycompanion.store.job.folder import JobListed, job_folders, list_jobs
from baycompanion.store.job.journal_ends import UNDER_WAY
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.clean import clean_line
from baycompanion.text.problem import nearest, quoted

MOST_NAMED = 12
"""Jobs that are named where more than one fits."""


class Fitting(NamedTuple):
    """The jobs that fit a plate, a VIN or a work order, each kind newest first."""

    ended: tuple[JobListed, ...]
    under_way: tuple[JobListed, ...]
    unread: int
    """How many jobs cannot be read, and may fit as well."""


def jobs_that_fit(jobs: Path, sought: str) -> Fitting:
    """Return the jobs below `jobs` that `sought` fits; no whole job is read for it."""
    listed = list(list_jobs(jobs))
    read = [job for job in listed if isinstance(job, JobListed)]
    fitting = [job for job in read if fits(sought, job.opened)]
    return Fitting(
        tuple(job for job in fitting if job.status != UNDER_WAY),
        tuple(job for job in fitting if job.status == UNDER_WAY),
        len(listed) - len(read),
    )


def find_job(jobs: Path, name: str) -> Path:
    """Return the folder of the job called `name`, or of the one with that work order, plate or VIN.

    The beginning of its name is enough. Of a plate or a VIN no part is: it would fit by chance.
    A job that cannot be read is found by its whole name, so that reading it says why.

    Raises:
        StoreTrouble: None fits, or more than one does.
    """
    if (folder := _called(jobs, name)) is not None:
        return folder
    listed = _read(jobs)
    fitting = _begun_by(listed, name) or [job for job in listed if fits_whole(name, job.opened)]
    return _only(name, fitting, f"There is no job {quoted(clean_line(name))}.", listed)


def find_ended_job(jobs: Path, typed: str) -> Path:
    """Return the folder of the job `typed`, or of the one ended job with that plate or VIN.

    A part is enough where it fits one alone, and what fits in whole comes before what fits in part.

    Raises:
        StoreTrouble: None fits, or more than one does.
    """
    if (folder := _called(jobs, typed)) is not None:
        return folder
    listed = _read(jobs)
    ended = [job for job in listed if job.status != UNDER_WAY]
    fitting = (
        _begun_by(listed, typed)
        or [job for job in ended if fits_whole(typed, job.opened)]
        or [job for job in ended if fits(typed, job.opened)]
    )
    said = f"There is no job {quoted(clean_line(typed))}, nor an ended one of that plate or VIN."
    return _only(typed, fitting, said, listed)


def _called(jobs: Path, name: str) -> Path | None:
    """Return the folder whose whole name is `name`, if there is one."""
    wanted = name.strip().casefold()
    return next((each for each in job_folders(jobs) if each.name.casefold() == wanted), None)


def _read(jobs: Path) -> list[JobListed]:
    return [job for job in list_jobs(jobs) if isinstance(job, JobListed)]


def _begun_by(listed: Iterable[JobListed], name: str) -> list[JobListed]:
    """Return the jobs with the work order `name`, or whose own name begins with it."""
    wanted = name.strip().casefold()
    return [
        job
        for job in listed
        if job.opened.work_order.casefold() == wanted
        or (wanted and job.folder.name.casefold().startswith(wanted))
    ]


def _only(
    typed: str, fitting: Sequence[JobListed], none_fits: str, listed: Iterable[JobListed]
) -> Path:
    """Return the folder of the one job in `fitting`.

    Raises:
        StoreTrouble: There is none, said as in `none_fits`, or there are several.
    """
    if len(fitting) == 1:
        return fitting[0].folder
    if fitting:
        names = ", ".join(job.folder.name for job in fitting[:MOST_NAMED])
        more = ", …" if len(fitting) > MOST_NAMED else ""
        said = quoted(clean_line(typed))
        raise StoreTrouble(f"{said} fits more than one job. Write one of: {names}{more}.")
    known = [job.folder.name for job in listed]
    raise StoreTrouble(f"{none_fits} {nearest(typed, known)}".rstrip())
