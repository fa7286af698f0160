"""The times of a shop's ended jobs, from the head of each record: the steps are not read."""

from collections.abc import Callable, Collection, Iterator
from itertools import islice
from pathlib import Path

from pydantic import ValidationError

from baycompanion.job.record.past_job import PastJob
from baycompanion.store.job.folder import RECORD
from baycompanion.store.reading import LARGEST
from baycompanion.store.shop_place import why_no_shop
from baycompanion.store.trouble import StoreTrouble, because

MOST_KEPT = 200
"""Past jobs of one procedure that stand behind a prediction, the newest."""

MOST_LOOKED_AT = 3000
"""Folders in which they are looked for, the newest: about a year of a busy shop."""

STEPS = b'\n "steps": ['
"""The line of a record at which its head ends. No text can hold it: a line end in a text is
escaped, and deeper lines stand further in."""

CHUNK = 16_384


def past_of(
    jobs: Path, procedures: Collection[str], given_up: Callable[[], bool] = lambda: False
) -> dict[str, tuple[PastJob, ...]]:
    """Return the newest closed jobs below `jobs` that followed each of `procedures`, by its id.

    A job without a record that can be read is left out. `given_up` is asked before each job.
    """
    if not procedures:
        return {}
    found: dict[str, list[PastJob]] = {procedure: [] for procedure in procedures}
    for past in islice(past_jobs(jobs), MOST_LOOKED_AT):
        if given_up():
            break
        if isinstance(past, PastJob) and past.whole:
            kept = found.get(past.procedure.id)
            if kept is not None and len(kept) < MOST_KEPT:
                kept.append(past)
                if all(len(full) == MOST_KEPT for full in found.values()):
                    break
    return {procedure: tuple(kept) for procedure, kept in found.items()}


def past_jobs(jobs: Path) -> Iterator[PastJob | StoreTrouble | None]:
    """Yield each folder below `jobs`, the newest name first, as the record in it tells of it.

    None stands for a folder without a record, a trouble for a record that cannot be read.
    """
    return (past for _, past in past_folders(jobs))


def past_folders(jobs: Path) -> Iterator[tuple[Path, PastJob | StoreTrouble | None]]:
    """Yield the same with each folder; where `jobs` cannot be read, that alone."""
    try:
        folders = sorted((path for path in jobs.iterdir() if path.is_dir()), reverse=True)
    except (FileNotFoundError, NotADirectoryError):
        yield jobs, StoreTrouble(why_no_shop(jobs.parent))
        return
    except OSError as error:
        yield jobs, StoreTrouble(f"{jobs} cannot be read: {because(error)}.")
        return
    for folder in folders:
        try:
            yield folder, _past_job(folder / RECORD)
        except StoreTrouble as trouble:
            yield folder, trouble


def _past_job(path: Path) -> PastJob | None:
    """Return what the record at `path` tells.

    Raises:
        StoreTrouble: It cannot be read, or is no record.
    """
    try:
        if not path.exists():
            return None
        if not path.is_file():
            raise StoreTrouble(f"{path} is no plain file. Put the record back.")
        return PastJob.model_validate_json(_head(path))
    except ValidationError:
        raise StoreTrouble(f"{path} is no record that can be read. Look at it.") from None
    except OSError as error:
        raise StoreTrouble(f"{path} cannot be read: {because(error)}.") from None


def _head(path: Path) -> bytes:
    """Return the record at `path` up to its steps, as a whole document; all of it without them."""
    content = b""
    with path.open("rb") as file:
        while (chunk := file.read(CHUNK)) and len(content) <= LARGEST:
            seen = max(0, len(content) - len(STEPS))
            content += chunk
            end = content.find(STEPS, seen)
            if end >= 0:
                return content[:end].rstrip().removesuffix(b",") + b"}"
    return content
