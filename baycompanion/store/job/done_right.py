"""How somebody did each step in their ended jobs of one procedure, the newest job first.

Only jobs with a record of their own count: practice has none, and lies elsewhere. The head of each
record tells who was in the job and which procedure it followed; only theirs are read whole.
"""

from collections.abc import Callable, Iterator, Mapping
from itertools import islice
from pathlib import Path

from pydantic import ValidationError

from baycompanion.job.record.past_job import PastJob
from baycompanion.job.record.past_work import PastWork
from baycompanion.learning.fading import Done, done_in
from baycompanion.procedure.load import hash_of
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.pinned import pinned_procedure
from baycompanion.store.job.folder import RECORD, pinned_path
from baycompanion.store.job.past_times import MOST_LOOKED_AT, past_folders
from baycompanion.store.reading import read_bytes, read_text
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.problem import BadFile

LEAST_READ = 30
"""So many of somebody's jobs are read, the newest, where few times in a row shorten a step."""

Past = tuple[Mapping[str, Done], ...]
"""For each ended job, the newest first, how somebody did its steps."""


def done_right(
    jobs: Path,
    procedure: str,
    who: str,
    fade_after: int,
    given_up: Callable[[], bool] = lambda: False,
) -> Past:
    """Return how `who` did each step of `procedure` in their ended jobs below `jobs`.

    As many jobs are read as `fade_after`, the shop's setting, can ask for, and half as many again
    for those that did without a step. A job of which anything cannot be read is left out.
    `given_up` is asked before each job.
    """
    pinned: dict[str, Procedure] = {}
    """By their hash: most jobs followed the same one."""
    found = []
    for folder in islice(_theirs(jobs, procedure, who, given_up), max(LEAST_READ, 3 * fade_after)):
        try:
            job = PastWork.model_validate_json(read_bytes(folder / RECORD))
            named = job.procedure.sha256
            if named not in pinned:
                pinned[named] = _pinned(folder, job)
        except (StoreTrouble, BadFile, ValidationError):
            continue
        found.append((job.ended_at, done_in(pinned[named], job, who)))
    found.sort(key=lambda ended: ended[0], reverse=True)
    return tuple(done for _, done in found)


def _theirs(jobs: Path, procedure: str, who: str, given_up: Callable[[], bool]) -> Iterator[Path]:
    """Yield the folders of ended jobs by `procedure` in which `who` did something."""
    for folder, past in islice(past_folders(jobs), MOST_LOOKED_AT):
        if given_up():
            return
        if (
            isinstance(past, PastJob)
            and past.status in ("closed", "abandoned")
            and past.procedure.id == procedure
            and who in past.people
        ):
            yield folder


def _pinned(folder: Path, job: PastWork) -> Procedure:
    """Return the procedure that `job` followed at its end, from its `folder`.

    Raises:
        StoreTrouble: It is not there, or not the one that the record names.
        BadFile: It cannot be read any more.
    """
    path = pinned_path(folder, len(job.revisions))
    text = read_text(path)
    if hash_of(text) != job.procedure.sha256:
        raise StoreTrouble(f"{path} was changed after the job began. Put the first one back.")
    return pinned_procedure(text, str(path))
