"""What a release rests on: a real job that was watched; asked before a supervisor signs."""

from calendar import monthrange
from datetime import date
from pathlib import Path

from baycompanion.job.deciding.draft import Person
from baycompanion.job.deciding.releases import Release
from baycompanion.learning.watched import Watched, Worked, worked
from baycompanion.store.job.finding import find_job
from baycompanion.store.job.folder import read_job
from baycompanion.store.settings import MOST_MONTHS
from baycompanion.store.shelf import find_procedure, read_procedure
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.clean import clean_line
from baycompanion.text.problem import BadFile


def release_by(
    shop: Shop, who: Person, procedure: str, job: str, until: date | None, by: str, today: date
) -> tuple[Release, Worked]:
    """Return the release of `who` for the revision on the shelf, and the job that it rests on.

    Args:
        shop: The shop.
        who: The trainee.
        procedure: The id of the procedure.
        job: The name of the job that was watched, the beginning of it, or its work order.
        until: The last day; None for as long as the shop lets a release last.
        by: The staff id of the supervisor who signs.
        today: The day of the signature.

    Raises:
        StoreTrouble: The job does not bear a release, the day is none, or a file cannot be read.
        BadFile: The procedure has errors.
    """
    loaded = read_procedure(find_procedure(procedure, shop.procedures)).procedure
    seen = _worked_in(find_job(shop.jobs, clean_line(job)), who.id)
    why_not = why_not_watched(seen, who.id, loaded.procedure, loaded.revision)
    if why_not:
        raise StoreTrouble(why_not)
    last = until or months_after(today, shop.release_months)
    if last < today:
        raise StoreTrouble(f"{last} is over already. Name a day that is still to come.")
    if last > months_after(today, MOST_MONTHS):
        raise StoreTrouble(
            f"{last} is more than {MOST_MONTHS} months ahead. Name an earlier day: what was "
            "watched so long ago vouches for nothing."
        )
    release = Release(
        procedure=loaded.procedure, revision=loaded.revision, by=by, job=seen.job, until=last
    )
    return release, seen


def _worked_in(folder: Path, who: str) -> Worked:
    try:
        job = read_job(folder)
    except BadFile as bad:
        raise StoreTrouble(str(bad).splitlines()[0]) from None
    return worked(job.procedure, job.state, job.events, who)


def why_not_watched(seen: Worked, who: str, procedure: str, revision: int) -> str:
    """Return why `seen` bears no release of `who` for that revision; empty where it does."""
    if seen.procedure != procedure:
        return f"{seen.job} follows {seen.procedure}, and not {procedure}. Name another job."
    if not seen.closed:
        return f"{seen.job} was not closed. A release rests on a whole job; name another one."
    if seen.revision != revision:
        return (
            f"{seen.job} followed revision {seen.revision} of {procedure}, and the shelf holds "
            f"revision {revision}. Somebody has to be watched by that one."
        )
    if seen.moved:
        return (
            f"{seen.job} began by an older revision of {procedure} than it ended by. Somebody has "
            f"to be watched at the whole of revision {revision}."
        )
    if not seen.did_it:
        return (
            f"{who} gave {seen.own} of {seen.answers} answers in {seen.job}. A release rests on a "
            "job in which most of the work was theirs; name another one."
        )
    if not seen.supervised:
        return (
            f"Nobody stands in {seen.job} as mentor of {who} or as second person, so nobody is "
            "known to have watched. Name another job."
        )
    return ""


def watched_by(seen: Worked, by: str, words: str, how: str = "") -> Watched:
    """Return why `by` may say that they watched the job `seen`; `how` words are given, where asked.

    Raises:
        StoreTrouble: They stand nowhere in it, and say nothing.
    """
    stood_as, said = seen.stood_as(by), clean_line(words)
    if stood_as is None and not said:
        raise StoreTrouble(
            f"{by} stands in {seen.job} neither as mentor nor as second person. Whoever signs has "
            f"watched the work on the vehicle: say in your own words what you watched{how}."
        )
    return Watched(stood_as, said)


def months_after(day: date, months: int) -> date:
    """Return the same day so many months later, or the last one of a month that is shorter."""
    year, month = divmod(day.month - 1 + months, 12)
    year, month = day.year + year, month + 1
    return date(year, month, min(day.day, monthrange(year, month)[1]))
