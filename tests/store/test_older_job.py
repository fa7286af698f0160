"""A job that an earlier version wrote reads as it did, and its record carries the same events.

The folder older-job was written by the version before stations, fasteners, marks, fitted equipment
and orders had fields of their own in the events.
"""

import json
import shutil
from pathlib import Path

from bay import LISTS, T1

from baycompanion.job.actions import Close
from baycompanion.job.deciding.draft import Refused
from baycompanion.job.events.moment import read_moment
from baycompanion.store.job.folder import read_job, record_of
from baycompanion.store.job.open_job import OpenJob

OLDER = Path(__file__).parent / "older-job"
LINES = [json.loads(line) for line in (OLDER / "journal.jsonl").read_text("utf-8").splitlines()]


def test_the_record_carries_the_events_as_they_were_hashed() -> None:
    record = record_of(read_job(OLDER))
    assert [event.model_dump() for event in record.events] == LINES
    assert record.last_hash == LINES[-1]["hash"]


def test_an_older_job_is_gone_on_with_and_closed(tmp_path: Path) -> None:
    folder = shutil.copytree(OLDER, tmp_path / "job-1")
    when = read_moment(LINES[-1]["at"])
    job = OpenJob(folder, LISTS, T1, when)
    assert not isinstance(job.act(Close(close="keys back"), T1, when), Refused)
    job.leave()
    closed = read_job(folder)
    assert closed.state.status == "closed"
    assert closed.state.clean
