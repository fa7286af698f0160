"""The command line of `staff`: what can be typed after it."""

from datetime import UTC, datetime

import click

from baycompanion.mishaps import Chosen
from baycompanion.options import json_option, shop_option
from baycompanion.working.wall_clock import local_now

_by = click.option(
    "--by",
    metavar="STAFF-ID",
    help="The supervisor on whose word this is done. Without it, the id is asked for.",
)


@click.group("staff", no_args_is_help=False)
@shop_option
def staff(shop: Chosen) -> None:
    """Say who works here: add somebody, give a PIN, release, sign off, fade guidance, retire.

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

    Of each: id, role, initials, whether there is a PIN, active or not, released for what, and what
    a trainee may do without a mentor.
    """
    from baycompanion.commands.staff_list import list_everybody

    return list_everybody(shop, as_json, local_now().date())


@staff.command()
@click.argument("staff_id", metavar="ID")
@click.argument("procedures", metavar="[PROCEDURE]...", nargs=-1)
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


@staff.command("sign-off")
@click.argument("staff_id", metavar="ID")
@click.argument("procedure", metavar="PROCEDURE")
@click.option("--job", required=True, metavar="JOB", help="The job that was watched.")
@click.option(
    "--until", metavar="DAY", help="The last day, like 2026-09-30; without it, as shop.yaml says."
)
@click.option(
    "--watched",
    metavar="WORDS",
    help="What you watched; needed where you stand in the job as nothing.",
)
@_by
@shop_option
def sign_off(
    shop: Chosen,
    staff_id: str,
    procedure: str,
    job: str,
    until: str | None,
    watched: str | None,
    by: str | None,
) -> int:
    """Let the trainee ID do PROCEDURE without a mentor, because somebody watched them do it.

    It counts for the revision on the shelf, until a day. JOB is a closed job by that revision in
    which most of the work was theirs, beside a mentor or looked at by a second person. Whoever
    signs is one of these, or says what they watched. No score of practice or drill gives a release,
    and none forbids one; baycompanion trainees shows them.
    """
    from baycompanion.commands.staff import sign_somebody_off

    return sign_somebody_off(shop, staff_id, procedure, job, until, watched or "", by, local_now())


@staff.command("take-back")
@click.argument("staff_id", metavar="ID")
@click.argument("procedure", metavar="PROCEDURE")
@_by
@shop_option
def take_back(shop: Chosen, staff_id: str, procedure: str, by: str | None) -> int:
    """Take the sign-off for PROCEDURE back: the trainee ID works beside a mentor again."""
    from baycompanion.commands.staff import take_sign_off_back

    return take_sign_off_back(shop, staff_id, procedure, by, local_now())


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
