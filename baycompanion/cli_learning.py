"""The command line of learning: `drill`, `practice`, and `trainees` for whoever teaches."""

import click

from baycompanion.mishaps import Chosen
from baycompanion.options import json_option, plain_option, shop_option


@click.command()
@click.argument("procedure", required=False)
@click.option("--by", metavar="STAFF-ID", help="Who is drilled; not needed in a shop of one.")
@click.option("--phase", metavar="PHASE", help="Only questions about this phase.")
@click.option(
    "--count", type=click.IntRange(1, 1000), metavar="N", help="So many questions at most."
)
@click.option("--all", "all_cards", is_flag=True, help="Ask what is not due, too.")
@plain_option
@shop_option
def drill(
    shop: Chosen,
    procedure: str | None,
    by: str | None,
    phase: str | None,
    count: int | None,
    all_cards: bool,
) -> int:
    """Ask short questions about PROCEDURE: what comes next, which tool, which limit, which order.

    What is due today comes first, then a few new questions. Each comes back at growing gaps when it
    is answered right, and soon when it is not; a newer revision brings back what it changed. The
    answers are kept for each person in the folder learning of the shop. Without PROCEDURE, it is
    about all that this person has begun with; without --by as well, a list to choose from opens.
    With --plain it is read line by line anywhere.
    """
    from baycompanion.commands.drill import drill_somebody

    return drill_somebody(shop, procedure, by, phase, count, all_cards)


@click.command()
@click.argument("procedure", required=False)
@click.option("--by", metavar="STAFF-ID", help="Who practises; not needed in a shop of one.")
@click.option("--faults", type=click.IntRange(0, 20), metavar="N", help="Faults planted; 2 else.")
@click.option(
    "--seed",
    type=click.IntRange(0, 999_999_999),
    metavar="K",
    help="The same number gives the same vehicle with the same faults.",
)
@click.option(
    "--phase", metavar="P", help="Practise this phase alone; what lies before it is done for you."
)
@click.option("--list", "listed", is_flag=True, help="Tell what came of every practice instead.")
@json_option("the list")
@plain_option
@shop_option
def practice(
    shop: Chosen,
    procedure: str | None,
    by: str | None,
    faults: int | None,
    seed: int | None,
    phase: str | None,
    listed: bool,
    as_json: bool,
) -> int:
    """Practise PROCEDURE on a made-up vehicle. It counts for nothing, and makes no job record.

    What comes next is asked before it is shown, a wrong order is allowed and explained at the gate
    that it would have run into, waits may run out at once, and the checks find planted faults, or
    miss them. At the end stands what was caught and what slipped through. One that was left is
    offered to be gone on with. Without PROCEDURE, a form asks for it. No PIN is asked.
    """
    if listed or as_json:
        if not listed:
            raise click.UsageError("--json belongs to --list.")
        if (procedure, faults, seed, phase) != (None, None, None, None):
            raise click.UsageError("--list takes --by, --json and --shop, and nothing else.")
        from baycompanion.commands.practice import tell_practice

        return tell_practice(shop, by, as_json)
    from baycompanion.commands.practice import practise

    typed = {
        "procedure": procedure,
        "by": by,
        "faults": None if faults is None else str(faults),
        "seed": None if seed is None else str(seed),
        "phase": phase,
    }
    return practise(shop, typed)


@click.command()
@click.argument("staff_id", metavar="[ID]", required=False)
@click.option("--procedure", metavar="PROCEDURE", help="Only this one.")
@click.option("--by", metavar="STAFF-ID", help="The supervisor who looks; else the id is asked.")
@json_option("how they stand")
@plain_option
@shop_option
def trainees(
    shop: Chosen,
    staff_id: str | None,
    procedure: str | None,
    by: str | None,
    as_json: bool,
) -> int:
    """Show a supervisor how the trainee ID, or every one, stands with each procedure.

    That is the drill, practice with its planted faults, the jobs beside a mentor with their times
    against those of others, and the release: by whom, for which revision, until when. A supervisor
    gives their id and PIN first. On the screen and with --plain a release is signed and taken back,
    too; for scripts there is baycompanion staff sign-off.
    """
    from baycompanion.commands.trainees import show_trainees

    return show_trainees(shop, staff_id, procedure, by, as_json)
