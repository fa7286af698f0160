"""`staff`: who works in this shop, changed on the word of a supervisor."""

import sys
from collections.abc import Iterator
from datetime import date, datetime

import click
from pydantic import ValidationError

from baycompanion.commands.asking import ask_line
from baycompanion.commands.opening import found_shop, opened
from baycompanion.exits import Exit
from baycompanion.mishaps import Chosen
from baycompanion.out import data, talk
from baycompanion.store.job.folder import JobListed, list_jobs, read_job
from baycompanion.store.shelf import list_procedures
from baycompanion.store.shop import Shop
from baycompanion.store.staff.changes import (
    add_member,
    give_pin,
    refuse_last,
    refuse_taken,
    release,
    retire,
    set_guidance,
    supervisors,
    take_back,
)
from baycompanion.store.staff.pins import hash_pin, why_no_pin
from baycompanion.store.staff.staff import MOST_TIMES, Member
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.clean import clean_line
from baycompanion.text.counted import counted
from baycompanion.text.problem import BadFile, nearest, quoted
from baycompanion.working.releasing import Releasing, Wanted


def add_somebody(
    chosen: Chosen, staff_id: str, role: str, initials: str | None, by: str | None, now: datetime
) -> int:
    """Add somebody to the staff, with a PIN."""
    shop = opened(chosen)
    new = _checked(staff_id, role, initials)
    refuse_taken(shop.folder, shop.members, new.id)
    first = not supervisors(shop.members)
    if first and role != "supervisor":
        raise StoreTrouble(_no_supervisor(shop))
    if first:
        talk(f"This shop has no supervisor with a PIN yet: {new.id} becomes the first.")
    word = new.id if first else _word_of(shop, by, now)
    kept = _ask_new_pin(new.id)
    add_member(shop.folder, new.model_copy(update={"pin": kept}), word, now)
    data(f"{new.id} is on the staff as {new.role}.")
    return Exit.DONE


def release_for(
    chosen: Chosen,
    staff_id: str,
    procedures: tuple[str, ...],
    every: bool,
    by: str | None,
    now: datetime,
) -> int:
    """Release somebody for the procedures named and no other, or for every one."""
    if every == bool(procedures):
        raise click.UsageError("Name the procedures, or type --all for every one.")
    shop = found_shop(chosen)
    person = shop.person(staff_id)
    who = person.id
    shelf = list_procedures(shop.procedures)
    for name in procedures:
        if name not in shelf:
            said = quoted(clean_line(name))
            raise StoreTrouble(f"There is no procedure {said}. {nearest(name, shelf)}")
    named = None if every else tuple(dict.fromkeys(procedures))
    release(shop.folder, who, named, _word_of(shop, by, now), now)
    data(f"{who} is released for {', '.join(named) if named else 'every procedure'}.")
    if person.role == "trainee":
        talk(
            f"{who} is a trainee, and works beside a mentor all the same, by any procedure. "
            "Without one, by what is signed off: "
            f"baycompanion staff sign-off {who} PROCEDURE --job JOB"
        )
    return Exit.DONE


def fade_guidance(chosen: Chosen, staff_id: str, times: str, by: str | None, now: datetime) -> int:
    """Let a trainee's steps be shown short after so many times right in a row."""
    after = _times(times)
    shop = found_shop(chosen)
    who = shop.person(staff_id)
    if who.role != "trainee":
        raise StoreTrouble(
            f"{who.id} is on the staff as {who.role}; only a trainee's steps are shown short."
        )
    set_guidance(shop.folder, who.id, after, _word_of(shop, by, now), now)
    data(_said_of_guidance(who.id, shop.fade_after if after is None else after))
    return Exit.DONE


def _times(typed: str) -> int | None:
    """Return how many times were typed, None for what the shop says.

    Raises:
        UsageError: It is no number from 0 to `MOST_TIMES`.
    """
    if typed == "shop":
        return None
    if not (typed.isascii() and typed.isdigit() and len(typed) < 4 and int(typed) <= MOST_TIMES):
        raise click.UsageError(
            f"{quoted(clean_line(typed))} is no number of times. Write 0 for never, 1 to "
            f"{MOST_TIMES}, or shop for what shop.yaml says."
        )
    return int(typed)


def _said_of_guidance(who: str, after: int) -> str:
    """Return in words what fades for `who`."""
    if after == 0:
        return f"{who} is always shown every step in full."
    return (
        f"Steps are shown to {who} in fewer words after {counted(after, 'time')} right in a row, "
        f"and as their sentence alone after {2 * after}."
    )


def sign_somebody_off(
    chosen: Chosen,
    staff_id: str,
    procedure: str,
    job: str,
    until: str | None,
    watched: str,
    by: str | None,
    now: datetime,
) -> int:
    """Let a trainee do a procedure without a mentor, on the word of who watched them."""
    shop = found_shop(chosen)
    if not supervisors(shop.members):
        raise StoreTrouble(_no_supervisor(shop))
    releasing = Releasing(shop, lambda: now)
    wanted = Wanted(staff_id, procedure, job, _day(until), watched, ', by --watched "…"')
    by = ask_line("Id of a supervisor", unseen=False) if by is None else by
    release, _ = releasing.ready(wanted, by)
    releasing.sign(wanted, release.by, ask_line(f"PIN of {release.by}", unseen=True))
    data(
        f"{shop.person(staff_id).id} may do {release.procedure} revision {release.revision} "
        f"without a mentor until {release.until}."
    )
    return Exit.DONE


def take_sign_off_back(
    chosen: Chosen, staff_id: str, procedure: str, by: str | None, now: datetime
) -> int:
    """Take a sign-off back from a trainee."""
    shop = found_shop(chosen)
    who = Releasing(shop, lambda: now).ready_to_take_back(staff_id, procedure)
    take_back(shop.folder, who, procedure, _word_of(shop, by, now), now)
    data(f"{who} does {clean_line(procedure)} beside a mentor again.")
    return Exit.DONE


def retire_somebody(chosen: Chosen, staff_id: str, by: str | None, now: datetime) -> int:
    """Let somebody work here no more."""
    shop = found_shop(chosen)
    who = shop.person(staff_id).id
    refuse_last(shop.members, who)
    retire(shop.folder, who, _word_of(shop, by, now), now)
    data(f"{who} is retired.")
    for told in _left_behind(shop, who):
        talk(told)
    return Exit.DONE


def _left_behind(shop: Shop, who: str) -> Iterator[str]:
    """Yield what becomes of each job under way that `who` has, or stands beside."""
    for listed in list_jobs(shop.jobs):
        if not isinstance(listed, JobListed) or listed.status != "under way":
            continue
        try:
            state = read_job(listed.folder).state
        except (StoreTrouble, BadFile):
            continue  # the list of jobs tells what is wrong with it
        vehicle = f"{listed.opened.work_order}, {listed.opened.vehicle.description}"
        if state.technician == who:
            yield f"{who} still has the job {listed.job} ({vehicle}). A supervisor takes it over."
        elif state.mentor == who:
            beside = f"{state.technician} in the job {listed.job} ({vehicle})"
            yield f"{who} still stands beside {beside}. Hand it over with another mentor."


def new_pin(chosen: Chosen, staff_id: str, by: str | None, now: datetime) -> int:
    """Give somebody a new PIN: on a supervisor's word, or on their own with the PIN they have."""
    shop = opened(chosen)
    who = shop.person(staff_id)
    if by is not None and shop.person(by) == who and shop.members[who.id].pin is not None:
        word = _proven(shop, who.id, now)
    elif not supervisors(shop.members) and who.role == "supervisor":
        talk(f"This shop has no supervisor with a PIN yet: {who.id} becomes the first.")
        word = who.id
    else:
        word = _word_of(shop, by, now)
    give_pin(shop.folder, who.id, _ask_new_pin(who.id), word, now)
    data(f"{who.id} has a new PIN.")
    return Exit.DONE


def _day(text: str | None) -> date | None:
    """Return the day that was typed.

    Raises:
        UsageError: It is none.
    """
    try:
        return None if text is None else date.fromisoformat(text.strip())
    except ValueError:
        told = f"{quoted(clean_line(text or ''))} is no day. Type it like 2026-09-30."
        raise click.UsageError(told) from None


def _checked(staff_id: str, role: str, initials: str | None) -> Member:
    """Return the new member, or refuse what was typed of them.

    Raises:
        UsageError: It cannot stand in a staff file.
    """
    try:
        return Member.model_validate({"id": staff_id, "role": role, "initials": initials})
    except ValidationError as error:
        raise click.UsageError(f"{error.errors()[0]['ctx']['error']}.") from None


def _word_of(shop: Shop, by: str | None, now: datetime) -> str:
    """Return the id of the supervisor who says so, proven by PIN.

    Raises:
        StoreTrouble: There is none with a PIN yet, it is another one, or the PIN is wrong.
    """
    able = supervisors(shop.members)
    if not able:
        raise StoreTrouble(_no_supervisor(shop))
    who = shop.person(ask_line("Id of a supervisor", unseen=False) if by is None else by).id
    if who not in able:
        raise StoreTrouble(
            f"{who} is no supervisor with a PIN, and cannot change the staff. {nearest('', able)}"
        )
    return _proven(shop, who, now)


def _proven(shop: Shop, who: str, now: datetime) -> str:
    return shop.prove(who, ask_line(f"PIN of {who}", unseen=True), now).id


def _no_supervisor(shop: Shop) -> str:
    """Return what makes the first supervisor of the shop."""
    there = [person.id for person in shop.staff.values() if person.role == "supervisor"]
    or_else = f", or baycompanion staff pin {there[0]}" if there else ""
    return (
        "This shop has no supervisor with a PIN yet. Make the first: "
        f"baycompanion staff add ID --role supervisor{or_else}."
    )


def _ask_new_pin(who: str) -> str:
    """Return what is to be kept of a new PIN, asked for twice; in a terminal until it is good.

    Raises:
        UsageError: What a pipe holds is no PIN, or not the same twice.
    """
    while True:
        pin = ask_line(f"New PIN of {who}", unseen=True)
        why = why_no_pin(pin)
        if why is None and ask_line("The same once more", unseen=True) != pin:
            why = "These two are not the same."
        if why is None:
            return hash_pin(pin)
        if not sys.stdin.isatty():
            raise click.UsageError(why)
        talk(why)
