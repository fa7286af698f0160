"""`resume`: a job where it was left, on the screen or line by line."""

from baycompanion.commands.opening import in_terminal, opened, read_one, typed_again
from baycompanion.exits import Exit
from baycompanion.job.witnessing import released_for_now
from baycompanion.mishaps import Chosen
from baycompanion.out import talk


def resume_job(chosen: Chosen, name: str, by: str | None) -> int:
    """Open the job called `name` for the staff member `by`, or whoever has it."""
    shop = opened(chosen)
    job = read_one(shop, name)
    who = shop.person(by or job.state.technician)
    again = typed_again(f"record {job.folder.name}", chosen)
    if job.state.status in ("closed", "abandoned") and not released_for_now(
        job.procedure, job.state
    ):
        talk(f"{job.folder.name} is {job.state.status}. For its record, type: {again}")
        return Exit.REFUSED
    if chosen.plain:
        from baycompanion.plain.run import talk_job

        return talk_job(shop, job.folder, who)
    if not in_terminal():
        talk(f"The job opens on a screen, and that needs a terminal. For its record: {again}")
        return Exit.REFUSED
    from baycompanion.screens.app import run_job

    return run_job(shop, job.folder, who)
