"""A record that tells more than its journal: what was cut off there stands in it alone."""

import json
from itertools import count
from pathlib import Path
from typing import TYPE_CHECKING

from baycompanion.store.trouble import StoreTrouble, because

if TYPE_CHECKING:
    from baycompanion.job.record.whole import JobRecord


def keep_ahead(path: Path, record: "JobRecord") -> None:
    """Keep the file at `path` from being lost where `record` does not know how it ends.

    A provisional record is not worth it; for the record of an ended job the file makes room, and
    lies beside it as `record-ahead-1.json`.

    Raises:
        StoreTrouble: `record` is provisional, or the file cannot be renamed.
    """
    if not is_ahead(path, record):
        return
    if record.status == "provisional":
        raise StoreTrouble(
            f"{path} holds events that the journal beside it has lost, so nothing was written over "
            "it. Keep both for the audit."
        )
    beside = (path.with_name(f"{path.stem}-ahead-{number}{path.suffix}") for number in count(1))
    try:
        path.rename(next(each for each in beside if not each.exists()))
    except OSError as error:
        raise StoreTrouble(f"{path} cannot be renamed: {because(error)}.") from None


def is_ahead(path: Path, record: "JobRecord") -> bool:
    """Return whether the file at `path` is a record whose last event is none of `record`'s."""
    try:
        last = json.loads(path.read_bytes())["last_hash"]
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return False
    return isinstance(last, str) and all(each.hash != last for each in record.events)
