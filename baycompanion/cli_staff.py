"""The command line of `staff`: what can be typed after it."""

from datetime import UTC, datetime

import click

from baycompanion.mishaps import Chosen
from baycompanion.options import json_option, shop_option

_by = click.option(
    "--by",
    metavar="STAFF-ID",
    help="The supervisor on whose word this is done. Without it, the id is asked for.",
)


@click.group("staff", no_args_is_help=False)
@shop_option
def staff(shop: Chosen) -> None:
    """Say who works in this shop: add somebody, give a PIN, release for procedures, fade, retire.

    The first run makes the shop's first supervisor. From then on, a change asks for the id and
    the PIN of a supervisor first. PINs are typed unseen, or read from a pipe, a line for each.
    The file staff.yaml may be written by hand as well: its remarks stay.
    """


@staff.command()
@click.argument("staff_id", metavar="ID")
@click.option(
    "--role",
    required=True,
    type=click.Choice(["technician", "trainee", "supervisor"]),
    help="What they are here.",
)
@click.option("--initials", metavar="XX", help="How they sign on paper.")
@_by
@shop_option
def add(shop: Chosen, staff_id: str, role: str, initials: str | None, by: str | None) -> int:
    """Add somebody under the new ID, and ask for a PIN twice.

    An ID is of letters, digits and hyphens, and no name. A PIN has 4 to 12 digits; only a hash
    of it is kept.
    """
    from baycompanion.commands.staff import add_somebody

    return add_somebody(shop, staff_id, role, initials, by, datetime.now(UTC))


@staff.command("list")
@json_option("the list")
@shop_option
def list_(shop: Chosen, as_json: bool) -> int:
    """List everybody, those who are retired too.

    Of each: id, role, initials, whether there is a PIN, active or not, released for what.
    """
    from baycompanion.commands.staff import list_everybody

    return list_everybody(shop, as_json)


@staff.command()
@click.argument("staff_id", metavar="ID")
@click.argument("procedures", metavar="PROCEDURE...", nargs=-1)
@click.option("--all", "every", is_flag=True, help="For every procedure, those to come too.")
@_by
@shop_option
def release(
    shop: Chosen, staff_id: str, procedures: tuple[str, ...], every: bool, by: str | None
) -> int:
    """Release ID for these procedures and no other.

    A PROCEDURE... is a name, like receiver-swap. Name all of them each time: those left out are
    taken back.
    """
    from baycompanion.commands.staff import release_for

    return release_for(shop, staff_id, procedures, every, by, datetime.now(UTC))


@staff.command()
@click.argument("staff_id", metavar="ID")
@click.argument("times", metavar="TIMES")
@_by
@shop_option
def fade(shop: Chosen, staff_id: str, times: str, by: str | None) -> int:
    """Show the trainee ID a step in fewer words after TIMES right in a row.

    TIMES is 1 to 99, 0 for never, or shop for what shop.yaml says. After twice as many, only the
    step's sentence is shown. Cautions, gates, limits and tools are always shown whole.
    """
    from baycompanion.commands.staff import fade_guidance

    return fade_guidance(shop, staff_id, times, by, datetime.now(UTC))


@staff.command()
@click.argument("staff_id", metavar="ID")
@_by
@shop_option
def retire(shop: Chosen, staff_id: str, by: str | None) -> int:
    """Let ID work here no more.

    The entry stays in the file, so that old jobs can be read. The last supervisor with a PIN
    cannot be retired.
    """
    from baycompanion.commands.staff import retire_somebody

    return retire_somebody(shop, staff_id, by, datetime.now(UTC))


@staff.command()
@click.argument("staff_id", metavar="ID")
@click.option(
    "--by",
    metavar="STAFF-ID",
    help="The supervisor on whose word this is done, or ID with the PIN there is so far. "
    "Without it, the id is asked for.",
)
@shop_option
def pin(shop: Chosen, staff_id: str, by: str | None) -> int:
    """Give ID a new PIN, and ask for it twice.

    Wrong tries are forgotten with it.
    """
    from baycompanion.commands.staff import new_pin

    return new_pin(shop, staff_id, by, datetime.now(UTC))
