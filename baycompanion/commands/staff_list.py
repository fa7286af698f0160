"""`staff list`: everybody who works in this shop, and what each may do."""

from collections.abc import Mapping
from datetime import date
from typing import Any

from baycompanion.commands.opening import found_shop
from baycompanion.commands.tables import print_table
from baycompanion.exits import Exit
from baycompanion.mishaps import Chosen
from baycompanion.out import data_json
from baycompanion.store.shelf import find_procedure, read_procedure
from baycompanion.store.shop import Shop
from baycompanion.store.staff.staff import Member
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.problem import BadFile


def list_everybody(chosen: Chosen, as_json: bool, today: date) -> int:
    """Print everybody in the staff file, those who are retired too, and releases as of `today`."""
    shop = found_shop(chosen)
    rows = [_row(member) for member in shop.members.values()]
    if as_json:
        data_json(rows)
    else:
        any_signed = any(row["releases"] for row in rows)
        table = [(*_HEADINGS, _SIGNED_OFF), *(_cells(shop, row, today) for row in rows)]
        print_table(table if any_signed else [line[:-1] for line in table])
    return Exit.DONE


_HEADINGS = ("Id", "Role", "Initials", "PIN", "Standing", "Short after", "Released for")
_SIGNED_OFF = "Without a mentor"
"""The heading of what trainees are signed off for, where there are any."""


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
        "releases": [each.model_dump(mode="json") for each in member.releases],
    }


def _cells(shop: Shop, row: Mapping[str, Any], today: date) -> tuple[str, ...]:
    """Return somebody as the list shows them to people."""
    return (
        row["id"],
        row["role"],
        row["initials"] or "",
        "yes" if row["pin"] else "no",
        "active" if row["active"] else "retired",
        {None: "", 0: "never"}.get(row["fade_after"], str(row["fade_after"])),
        _released(row),
        ", ".join(_signed_off(shop, each, today) for each in row["releases"]),
    )


def _released(row: Mapping[str, Any]) -> str:
    """Return what somebody may do; of a trainee, who does all of it so, what is asked for it."""
    if row["role"] == "trainee":
        return "beside a mentor"
    released = row["released_for"]
    return "every procedure" if released is None else ", ".join(released) or "none"


def _signed_off(shop: Shop, release: Mapping[str, Any], today: date) -> str:
    """Return a release in words; one that is not in force says so."""
    until, revision = release["until"], release["revision"]
    stands = "lapsed, last day" if date.fromisoformat(until) < today else "until"
    told = f"{release['procedure']} revision {revision} {stands} {until}"
    shelf = _revision_on_shelf(shop, release["procedure"])
    return told if shelf in (revision, None) else f"{told} (not in force: the shelf has {shelf})"


def _revision_on_shelf(shop: Shop, name: str) -> int | None:
    """Return the revision of a procedure; None where it cannot be read, as trainees tells."""
    try:
        return read_procedure(find_procedure(name, shop.procedures)).procedure.revision
    except (StoreTrouble, BadFile):
        return None
