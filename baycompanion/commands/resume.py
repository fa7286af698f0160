"""`resume`: a job where it was left, on the screen or line by line."""

from baycompanion.commands.opening import found_shop, in_terminal, typed_again
from baycompanion.exits import Exit
from baycompanion.job.state.second_looks import released_for_now
from baycompanion.mishaps import Chosen
from baycompanion.out import talk
from baycompanion.store.job.finding import find_job
from baycompanion.store.job.folder import JobRead, read_job_as_far


def resume_job(chosen: Chosen, name: str, by: str | None) -> int:
    """Open the job called `name` for the staff member `by`, or whoever has it.

    Of a job whose journal was damaged, what comes before the damage is shown to read.

    Raises:
        StoreTrouble: No job is called so, or nothing of it can be read or shown.
        BadFile: The pinned procedure cannot be read any more.
    """
    shop = found_shop(chosen)
    job, damage = read_job_as_far(find_job(shop.jobs, name))
    who = shop.person(by) if by else shop.known(job.state.technician)
    again = typed_again(f"record {job.folder.name}", chosen)
    ended = job.state.status in ("closed", "abandoned")
    if ended and damage is None and not released_for_now(job.procedure, job.state):
        talk(_what_is_left(job, chosen))
        return Exit.REFUSED
    if chosen.by_lines:
        from baycompanion.plain.run import talk_job

        return talk_job(shop, job.folder, who)
    if not in_terminal():
        if damage is not None:
            raise damage
        talk(f"The job opens on a screen, and that needs a terminal. For its record: {again}")
        return Exit.REFUSED
    from baycompanion.screens.run import run_job

    return run_job(shop, job.folder, who)


def _what_is_left(job: JobRead, chosen: Chosen) -> str:
    """Return what can still be done with a job that has ended, each by its command."""
    name = job.folder.name
    left = {"record": "its record", "handover": "the sheet for the owner", "sheet": "its steps"}
    left |= {"timeline": "its timeline"}
    typed = (f"{what}: {typed_again(f'{word} {name}', chosen)}" for word, what in left.items())
    return "\n".join([f"{name} is {job.state.status}. What can be made of it:", *typed])
