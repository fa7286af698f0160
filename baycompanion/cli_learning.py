"""The command line of learning: `drill`."""

import click

from baycompanion.mishaps import Chosen
from baycompanion.options import plain_option, shop_option


@click.command()
@click.argument("procedure", metavar="PROCEDURE", required=False)
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
