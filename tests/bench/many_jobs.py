"""A shop with any number of ended jobs, made quickly, to measure by.

One job is played, and written anew so many times: each under a name of its own, on a day of its
own, with its own chain, record and ledger entry. All of it is invented.
"""

import shutil
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from lamp import START, make_shop, play_text
from past_shop import lamp_script

from baycompanion.commands.demo import fill
from baycompanion.job.events.chain import canonical
from baycompanion.job.events.event import Event, seal
from baycompanion.job.events.moment import read_moment
from baycompanion.job.record.making import make_record
from baycompanion.job.state.fold import fold_all
from baycompanion.store.job import journal
from baycompanion.store.job.folder import JobRead, read_job, record_bytes
from baycompanion.store.ledger.entering import enter
from baycompanion.store.shop import open_shop


def make(folder: Path, jobs: int, long: bool) -> None:
    """Make a shop in `folder` with so many ended jobs."""
    model = _long_job(folder) if long else _lamp_job(folder)
    for number in range(1, jobs):
        _write_anew(model, number)


def _lamp_job(folder: Path) -> JobRead:
    shop = make_shop(folder)
    script = lamp_script("WO 100", START, (10, 25, 12))
    played = play_text(script, folder / "script", shop, START)
    assert played.stop is None
    [path] = shop.jobs.iterdir()
    return read_job(path)


def _long_job(folder: Path) -> JobRead:
    shutil.copytree(Path(__file__).parents[2] / "demo" / "shop", folder)
    shop = open_shop(folder)
    fill(shop, datetime(2026, 3, 6, 15, 0, tzinfo=UTC))
    jobs = [read_job(path) for path in sorted(shop.jobs.iterdir())]
    model = max((job for job in jobs if job.state.status == "closed"), key=lambda j: len(j.events))
    for job in jobs:
        if job.folder != model.folder:
            shutil.rmtree(job.folder)
    (folder / "ledger.jsonl").unlink()
    enter(model.folder, read_moment(model.events[-1].at))
    return model


def _write_anew(model: JobRead, number: int) -> None:
    """Write the job `model` as if it had been done so many days later, under another name."""
    folder = model.folder.with_name(f"{model.folder.name}-{number:06}")
    shutil.copytree(model.folder, folder)
    events: list[Event] = []
    for event in model.events:
        data = event.data if events else event.data.model_copy(update={"job": folder.name})
        at = read_moment(event.at) + timedelta(days=number)
        events.append(seal(data, event.by, at, event.seq, *([events[-1].hash] if events else [])))
    lines = b"".join(canonical(event.as_dict()) + b"\n" for event in events)
    (folder / journal.NAME).write_bytes(lines)
    record = make_record(model.procedure, fold_all(events), tuple(events))
    (folder / "record.json").write_bytes(record_bytes(record))
    enter(folder, read_moment(events[-1].at))


def begin(folder: Path, jobs: int) -> None:
    """Begin so many jobs in the shop in `folder`, each part-way through: WO 900, WO 901 and on."""
    shop = open_shop(folder)
    for number in range(jobs):
        script = lamp_script(
            f"WO {900 + number}", START + timedelta(days=9000), (10, 25, 12), "photo"
        )
        play_text(script, folder / "script", shop, START)
