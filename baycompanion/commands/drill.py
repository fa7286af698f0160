"""`drill`: questions made from a procedure, on a screen or line by line."""

import click

from baycompanion.commands.opening import in_terminal, named_or_only, opened, typed_again
from baycompanion.commands.signing import sign
from baycompanion.exits import Exit
from baycompanion.mishaps import Chosen
from baycompanion.out import data, talk


def drill_somebody(
    chosen: Chosen,
    procedure: str | None,
    by: str | None,
    phase: str | None,
    count: int | None,
    all_cards: bool,
) -> int:
    """Ask what is due, or what was asked for; return the exit code."""
    if phase is not None and procedure is None:
        raise click.UsageError("--phase is one of a procedure. Name the procedure, too.")
    if not chosen.plain and not in_terminal():
        again = typed_again(f"drill --plain {procedure or ''}".rstrip(), chosen)
        talk(f"The drill needs a terminal. Line by line, it goes anywhere: {again}")
        return Exit.REFUSED
    shop = opened(chosen)
    if by is None and procedure is None and not chosen.by_lines:
        from baycompanion.screens.run import run_learning

        return run_learning(shop)
    from baycompanion.views.drill import outcome_lines
    from baycompanion.working.drilling import Wish, sit_down
    from baycompanion.working.wall_clock import local_now

    who = named_or_only(shop, by, "is drilled")
    sitting = sit_down(shop, who, procedure, Wish(phase, count, all_cards), local_now)
    if sitting.question is None:
        for line in outcome_lines(sitting.outcome(), local_now()):
            data(line)
        return Exit.DONE
    if chosen.by_lines:
        from baycompanion.plain.run import talk_drill

        return talk_drill(sitting)
    sitting.who = sign(shop, who, local_now())
    from baycompanion.screens.run import run_drill

    return run_drill(sitting)
