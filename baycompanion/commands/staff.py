"""`staff`: who works in this shop, changed on the word of a supervisor."""

import sys
from collections.abc import Mapping
from datetime import datetime
from typing import Any

import click
from pydantic import ValidationError

from baycompanion.commands.opening import opened
from baycompanion.commands.tables import print_table
from baycompanion.exits import Exit
from baycompanion.mishaps import Chosen
from baycompanion.out import data, data_json, talk
from baycompanion.store.pins import hash_pin, why_no_pin
from baycompanion.store.shelf import list_procedures
from baycompanion.store.shop import Shop
from baycompanion.store.staff import MOST_TIMES, Member
from baycompanion.store.staff_changes import (
    add_member,
    give_pin,
    release,
    retire,
    set_guidance,
    supervisors,
)
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.clean import clean_line
from baycompanion.text.counted import counted
from baycompanion.text.problem import nearest, quoted


def list_everybody(chosen: Chosen, as_json: bool) -> int:
    """Print everybody in the staff file, those who are retired too."""
    rows = [_row(member) for member in opened(chosen).members.values()]
    if as_json:
        data_json(rows)
    else:
        print_table([_HEADINGS, *map(_cells, rows)])
    return Exit.DONE


def add_somebody(
    chosen: Chosen, staff_id: str, role: str, initials: str | None, by: str | None, now: datetime
) -> int:
    """Add somebody to the staff, with a PIN."""
    shop = opened(chosen)
    new = _checked(staff_id, role, initials)
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
    shop = opened(chosen)
    who = shop.person(staff_id).id
    shelf = list_procedures(shop.procedures)
    for name in procedures:
        if name not in shelf:
            said = quoted(clean_line(name))
            raise StoreTrouble(f"There is no procedure {said}. {nearest(name, shelf)}")
    named = None if every else tuple(dict.fromkeys(procedures))
    release(shop.folder, who, named, _word_of(shop, by, now), now)
    data(f"{who} is released for {', '.join(named) if named else 'every procedure'}.")
    return Exit.DONE


def fade_guidance(chosen: Chosen, staff_id: str, times: str, by: str | None, now: datetime) -> int:
    """Let a trainee's steps be shown short after so many times right in a row."""
    after = _times(times)
    shop = opened(chosen)
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


def retire_somebody(chosen: Chosen, staff_id: str, by: str | None, now: datetime) -> int:
    """Let somebody work here no more."""
    shop = opened(chosen)
    who = shop.person(staff_id).id
    retire(shop.folder, who, _word_of(shop, by, now), now)
    data(f"{who} is retired.")
    return Exit.DONE


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


def _checked(staff_id: str, role: str, initials: str | None) -> Member:
    """Return the new member, or refuse what was typed of them.

    Raises:
        UsageError: It cannot stand in a staff file.
    """
    try:
        return Member.model_validate({"id": staff_id, "role": role, "initials": initials})
    except ValidationError as error:
        what, instead = error.errors()[0]["ctx"]["error"].args[0]
        raise click.UsageError(f"{what}. {instead}.") from None


def _word_of(shop: Shop, by: str | None, now: datetime) -> str:
    """Return the id of the supervisor who says so, proven by PIN.

    Raises:
        StoreTrouble: There is none with a PIN yet, it is another one, or the PIN is wrong.
    """
    able = supervisors(shop.members)
    if not able:
        raise StoreTrouble(_no_supervisor(shop))
    who = shop.person(_ask("Id of a supervisor", unseen=False) if by is None else by).id
    if who not in able:
        raise StoreTrouble(
            f"{who} is no supervisor with a PIN, and cannot change the staff. {nearest('', able)}"
        )
    return _proven(shop, who, now)


def _proven(shop: Shop, who: str, now: datetime) -> str:
    return shop.prove(who, _ask(f"PIN of {who}", unseen=True), now).id


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
        pin = _ask(f"New PIN of {who}", unseen=True)
        why = why_no_pin(pin)
        if why is None and _ask("The same once more", unseen=True) != pin:
            why = "These two are not the same."
        if why is None:
            return hash_pin(pin)
        if not sys.stdin.isatty():
            raise click.UsageError(why)
        talk(why)


def _ask(what: str, *, unseen: bool) -> str:
    """Return a line that was typed, or that a pipe holds.

    Raises:
        UsageError: The pipe has come to its end, or holds no text.
    """
    if sys.stdin.isatty():
        return str(click.prompt(what, hide_input=unseen, err=True)).strip()
    try:
        line = sys.stdin.readline()
    except UnicodeDecodeError:
        raise click.UsageError(f"{what}: what was given is no text.") from None
    if not line:
        raise click.UsageError(f"{what}: nothing more was given. Pipe a line for each question.")
    return line.strip()


_HEADINGS = ("Id", "Role", "Initials", "PIN", "Standing", "Short after", "Released for")


def _row(member: Member) -> Mapping[str, Any]:
    """Return somebody as the list gives them to programs."""
    return {
        "id": member.id,
        "role": member.role,
        "initials": member.initials,
        "pin": member.pin is not None,
        "released_for": member.released_for,
        "active": member.active,
        "fade_after": member.fade_after,
    }


def _cells(row: Mapping[str, Any]) -> tuple[str, ...]:
    """Return somebody as the list shows them to people."""
    released = row["released_for"]
    return (
        row["id"],
        row["role"],
        row["initials"] or "",
        "yes" if row["pin"] else "no",
        "active" if row["active"] else "retired",
        "" if row["fade_after"] is None else str(row["fade_after"]),
        "every procedure" if released is None else ", ".join(released) or "none",
    )
