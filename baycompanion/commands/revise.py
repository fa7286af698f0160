"""`revise`: a job under way goes on by the newer revision of its procedure on the shelf."""

from datetime import datetime

from baycompanion.commands.opening import found_shop, read_one, typed_again
from baycompanion.commands.signing import sign
from baycompanion.exits import Exit
from baycompanion.job.deciding.draft import Refused
from baycompanion.mishaps import Chosen
from baycompanion.out import data, data_json, talk
from baycompanion.procedure.comparing.changes import Changes, changes
from baycompanion.procedure.model import Procedure
from baycompanion.store.job.folder import JobRead, refuse_errors
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.shelf import find_procedure, read_procedure
from baycompanion.views.procedure.changes import change_lines
from baycompanion.views.sentence import refusal


def revise_job(
    chosen: Chosen, name: str, why: str | None, by: str | None, as_json: bool, now: datetime
) -> int:
    """Say what the newer revision changes in the job called `name`; with `why`, move it there."""
    shop = found_shop(chosen)
    job = read_one(shop, name)
    if job.state.status in ("closed", "abandoned"):
        talk(f"{job.folder.name} is {job.state.status}; it goes on by no other revision.")
        return Exit.REFUSED
    who = shop.person(by or job.state.technician)
    newer = read_procedure(find_procedure(job.state.opened.procedure, shop.procedures))
    if newer.procedure.revision <= job.state.opened.revision:
        talk(
            f"{job.folder.name} follows revision {job.state.opened.revision}, "
            f"and the shelf holds revision {newer.procedure.revision}: there is no newer one."
        )
        return Exit.REFUSED
    refuse_errors(newer)
    found = changes(job.procedure, newer.procedure)
    if why is not None:
        who = sign(shop, who, now)
        open_job = OpenJob(job.folder, shop.lists, who, now)
        try:
            result = open_job.revise(newer, why, who, now)
        finally:
            open_job.leave()
        if isinstance(result, Refused):
            talk(refusal(result))
            return Exit.REFUSED
    _tell(job, newer.procedure, found, as_json, why is not None)
    if why is None:
        again = typed_again(f'revise {job.folder.name} --why "…"', chosen)
        talk(f"Nothing is moved yet. To move the job, say why: {again}")
    return Exit.DONE


def _tell(job: JobRead, newer: Procedure, found: Changes, as_json: bool, moved: bool) -> None:
    """Say what the newer revision means for the job, as it stands or stood before the move."""
    headings = change_lines(job.procedure, newer, job.state, found)
    if as_json:
        data_json(
            {
                "job": job.folder.name,
                "moved": moved,
                "was": job.state.opened.revision,
                "revision": newer.revision,
                "changes": {heading: list(lines) for heading, lines in headings},
            }
        )
        return
    came = "moved from" if moved else "from"
    data(f"{job.folder.name}: {came} revision {job.state.opened.revision} to {newer.revision}")
    for heading, lines in headings:
        data(f"{heading}:")
        for line in lines:
            data(f"  {line}")
