"""Files that changed though size and time say that they did not: forged, or failing disks."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime

from baycompanion.audit.chains.integrity import ASK
from baycompanion.audit.findings import Finding, Rule
from baycompanion.audit.one_job.files import FileSeen

BEHIND = Rule("changed-behind-the-stamp", "grave")


@dataclass(frozen=True, slots=True)
class Behind:
    """One file of a job that has other content than before under the same size and time."""

    file: str
    before: int
    """When it was read with its earlier content, in nanoseconds since 1970, UTC."""


def behind_stamps(
    before: Iterable[FileSeen], read_at: int, after: Iterable[FileSeen]
) -> Iterator[Behind]:
    """Yield the files that say the same of themselves `before` and `after`, and hold other content.

    `read_at` is when they were read before, in nanoseconds since 1970, UTC.
    """
    known = {each.name: each for each in before}
    for each in after:
        old = known.get(each.name)
        if old is None or old.stamp is None or each.stamp is None:
            continue
        same = (old.stamp.size, old.stamp.modified) == (each.stamp.size, each.stamp.modified)
        if same and old.sha256 != each.sha256:
            yield Behind(each.name, read_at)


def told_behind(job: str, behind: Iterable[Behind]) -> Iterator[Finding]:
    """Yield a finding for each file of the job called `job` that changed behind its stamp."""
    for each in behind:
        day = datetime.fromtimestamp(each.before / 1e9, UTC).date()
        told = (
            f"{each.file} is not what it was when an audit read it on {day}, though its size and "
            "time are the same. Either somebody set the time back, or the disk fails. Compare the "
            f"file with a copy, and the fingerprint with the printed sheet. {ASK} This stays told "
            "until the index of the audit is deleted."
        )
        yield Finding(BEHIND, told, job)
