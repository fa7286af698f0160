"""`jobs`: the list of a shop's jobs."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from typing import Any

import click

from baycompanion.commands.opening import found_shop, typed_again
from baycompanion.commands.tables import print_table
from baycompanion.exits import Exit
from baycompanion.job.record.past_job import PastJob
from baycompanion.job.state.order import steps_that_apply
from baycompanion.job.state.sought import bare, fits
from baycompanion.job.state.timing import worked_seconds
from baycompanion.mishaps import Chosen
from baycompanion.out import data_json, talk
from baycompanion.store.job.folder import JobListed, JobRead, list_jobs, read_job
from baycompanion.store.job.past_times import past_of
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.clean import clean_line
from baycompanion.text.duration import rough_duration
from baycompanion.text.problem import BadFile, quoted
from baycompanion.views.board.board import BoardRow, board_row
from baycompanion.views.board.ready_by import ReadyBy, ready_by_of_listed

Past = Mapping[str, tuple[PastJob, ...]]
"""Ended jobs by the procedure that they followed."""


def list_all(chosen: Chosen, as_json: bool, now: datetime) -> int:
    """Print every job of the shop, newest first; those that cannot be read are told of.

    What is said of the time that a job is ready counts from `now`, in its zone.
    """
    shop = found_shop(chosen)
    words = 'start receiver-swap --work-order "…" --vehicle "…" --by …'
    none = f"No jobs yet. Start one: {typed_again(words, chosen)}"
    return _print(shop, list(list_jobs(shop.jobs)), none, as_json, now)


def list_found(chosen: Chosen, sought: str, as_json: bool, now: datetime) -> int:
    """Print the jobs that have `sought` in their plate, VIN or work order, like `list_all`.

    Those that cannot be read are told of too: one of them may be the one.

    Raises:
        UsageError: It has neither a letter nor a digit, and so would fit none.
    """
    said = quoted(clean_line(sought))
    if not bare(sought):
        raise click.UsageError(f"--find {said} has no letter and no digit. Type some of them.")
    shop = found_shop(chosen)
    jobs = [
        job
        for job in list_jobs(shop.jobs)
        if isinstance(job, StoreTrouble) or fits(sought, job.opened)
    ]
    none = f"No job has {said} in its plate, VIN or work order. Type less of it."
    return _print(shop, jobs, none, as_json, now)


def _print(
    shop: Shop, jobs: Sequence[JobListed | StoreTrouble], none: str, as_json: bool, now: datetime
) -> int:
    """Print `jobs`, and say `none` where there are none."""
    rows: list[dict[str, Any]] = []
    damaged = False
    past = past_of(shop.jobs, _under_way(jobs))
    for listed in jobs:
        try:
            rows.append(_row(listed, past, now))
        except (StoreTrouble, BadFile) as trouble:
            damaged = True
            talk(str(trouble))
    if as_json:
        data_json([_for_programs(row) for row in rows])
    elif rows:
        print_table([_HEADINGS, *map(_cells, rows)])
    else:
        talk(none)
    return Exit.TROUBLE if damaged else Exit.DONE


def _under_way(jobs: Iterable[JobListed | StoreTrouble]) -> set[str]:
    """Return the procedures that jobs under way follow."""
    listed = (job for job in jobs if isinstance(job, JobListed))
    return {job.opened.procedure for job in listed if job.status == "under way"}


def _row(listed: JobListed | StoreTrouble, past: Past, now: datetime) -> dict[str, Any]:
    """Return one job as the list gives it to programs.

    Raises:
        StoreTrouble: It cannot be read.
        BadFile: The procedure it has pinned cannot be read any more.
    """
    if isinstance(listed, StoreTrouble):
        raise listed
    opened = listed.opened
    row = {
        "job": listed.job,
        "folder": str(listed.folder),
        "work_order": opened.work_order,
        "vehicle": opened.vehicle.model_dump(),
        "procedure": opened.procedure,
        "title": opened.title,
        "revision": opened.revision,
        "opened_at": listed.opened_at,
        "status": listed.status,
        "second_person_to_look": listed.end.unseen,
        "earlier_job": opened.earlier.job if opened.earlier else None,
    }
    if listed.status != "under way":
        return row
    read = read_job(listed.folder)
    on_board = board_row(read.procedure, read.state, now)
    return row | _progress(read) | {"ready": _ready(read, past, now), "on_board": on_board}


def _ready(job: JobRead, past: Past, now: datetime) -> ReadyBy | None:
    """Return when a job is likely to be ready, where the past says anything of it."""
    alike = past.get(job.state.opened.procedure, ())
    return ready_by_of_listed(job.procedure, job.state, alike, now)


def _progress(job: JobRead) -> dict[str, Any]:
    """Return how far a job is that is under way."""
    state = job.state
    steps = list(steps_that_apply(job.procedure, state))
    current = job.procedure.steps.get(state.current or "")
    return {
        "technician": state.technician,
        "revision": state.opened.revision,
        "paused": state.status == "paused",
        "phase": state.phase,
        "step": state.current,
        "step_text": current.text if current else None,
        "steps_finished": sum(state.track(step.id).finished for step in steps),
        "steps": len(steps),
        "worked_seconds": worked_seconds(state),
    }


def _for_programs(row: dict[str, Any]) -> dict[str, Any]:
    """Return one job without what is for people alone."""
    ready = row.get("ready")
    told = {name: value for name, value in row.items() if name != "on_board"}
    return told | {"ready": ready.as_dict()} if isinstance(ready, ReadyBy) else told


SEEN_LATER = ", a second person is still to look"
_HEADINGS = ("Job", "Work order", "Vehicle", "Plate", "Procedure", "Opened (UTC)", "Standing")


def _cells(row: dict[str, Any]) -> tuple[str, ...]:
    """Return one job as the list shows it to people."""
    return (
        row["job"],
        row["work_order"],
        row["vehicle"]["description"],
        row["vehicle"]["plate"],
        row["procedure"],
        row["opened_at"][:16].replace("T", " "),
        _standing(row),
    )


def _standing(row: dict[str, Any]) -> str:
    """Return how a job stands, in a few words; one under way as the board says it."""
    if row["status"] != "under way":
        back = f", came back from {row['earlier_job']}" if row["earlier_job"] else ""
        return f"{row['status']}{SEEN_LATER if row['second_person_to_look'] else ''}{back}"
    how = "paused" if row["paused"] else "under way"
    on_board: BoardRow = row["on_board"]
    worked = rough_duration(on_board.worked_seconds)
    ready = f", {row['ready']}" if row["ready"] else ""
    return f"{how}, {on_board.place}, {worked}, {on_board.hands}{ready}"
