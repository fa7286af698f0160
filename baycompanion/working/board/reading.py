"""What the board shows: the jobs of a shop as they are read, and the lines that come of them."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from baycompanion.job.state.state import State
from baycompanion.procedure.model import Procedure
from baycompanion.store.job.folder import JobListed, list_jobs, read_job
from baycompanion.store.job.journal_ends import UNDER_WAY
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.problem import BadFile
from baycompanion.views.board.board import board_row, due_line, ended_line
from baycompanion.views.board.line import MOST_ENDED, BoardLine, laid_out

if TYPE_CHECKING:  # with the models of a record, which no job under way has
    from baycompanion.job.record.past_job import PastJob


class UnderWay(NamedTuple):
    """A job under way as it was read, or the sentence that says why it could not be."""

    folder: str
    read: tuple[Procedure, State] | str


class BoardRead(NamedTuple):
    """The jobs of a shop as they were read for its board."""

    under_way: tuple[UnderWay, ...]
    ended: tuple[JobListed, ...]
    """Newest first."""
    troubles: tuple[StoreTrouble, ...]
    """Why others cannot be listed."""
    procedures: frozenset[str]
    """Every procedure that a job on the list follows."""

    def lists(self, folder: str) -> bool:
        """Return whether the job in `folder` has a line on the board."""
        ended = (job.folder.name for job in self.ended[:MOST_ENDED])
        return folder in {*(job.folder for job in self.under_way), *ended}


def read_board(jobs: Path) -> BoardRead:
    """Return the jobs below `jobs`."""
    return read_listed(list(list_jobs(jobs)))


def read_listed(listed: Sequence[JobListed | StoreTrouble]) -> BoardRead:
    """Return the jobs `listed`, those under way read; what cannot be read is said in it."""
    jobs = [job for job in listed if isinstance(job, JobListed)]
    return BoardRead(
        tuple(_under_way(job) for job in jobs if job.status == UNDER_WAY),
        tuple(job for job in jobs if job.status != UNDER_WAY),
        tuple(job for job in listed if isinstance(job, StoreTrouble)),
        frozenset(job.opened.procedure for job in jobs),
    )


def _under_way(job: JobListed) -> UnderWay:
    try:
        read = read_job(job.folder)
    except (StoreTrouble, BadFile) as trouble:
        return UnderWay(job.folder.name, f"{job.job}: {str(trouble).splitlines()[0]}")
    return UnderWay(job.folder.name, (read.procedure, read.state))


def board_lines(
    board: BoardRead,
    when: datetime,
    past: "Mapping[str, Sequence[PastJob]]",
    due: Mapping[str, int],
) -> tuple[BoardLine, ...]:
    """Return the lines of the board at `when`.

    `past` are ended jobs by the procedure that they followed, `due` the questions due by staff id.
    """
    return laid_out(
        (_job_line(job, when, past) for job in board.under_way),
        (BoardLine("due", due_line(who, number), opens=who) for who, number in due.items()),
        (_ended_line(job) for job in board.ended[:MOST_ENDED]),
        (BoardLine("trouble", str(trouble)) for trouble in board.troubles),
    )


def _job_line(job: UnderWay, when: datetime, past: "Mapping[str, Sequence[PastJob]]") -> BoardLine:
    if isinstance(job.read, str):
        return BoardLine("trouble", job.read, opens=job.folder)
    procedure, state = job.read
    row = board_row(procedure, state, when, past.get(state.opened.procedure, ()))
    told = "\n".join(line for line in (row.progress, row.ready, row.waits_for) if line)
    return BoardLine("job", row.headline, told, job.folder)


def _ended_line(job: JobListed) -> BoardLine:
    text = ended_line(job.opened, job.opened_at, job.standing)
    return BoardLine("ended", text, opens=job.folder.name)
