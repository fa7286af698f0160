"""`trainees`: how trainees stand, on a screen, line by line, or printed for a supervisor."""

from baycompanion.commands.asking import ask_line
from baycompanion.commands.opening import found_shop, in_terminal, refuse_both
from baycompanion.exits import Exit
from baycompanion.mishaps import Chosen
from baycompanion.out import data, data_json


def show_trainees(
    chosen: Chosen, who: str | None, procedure: str | None, by: str | None, as_json: bool
) -> int:
    """Show how the trainee `who`, or every one, stands with `procedure`, or with each."""
    refuse_both(chosen, json=as_json)
    shop = found_shop(chosen)
    if chosen.by_lines and not as_json:
        from baycompanion.plain.run import talk_trainees

        return talk_trainees(shop, who, procedure, by)
    if in_terminal() and not as_json:
        from baycompanion.screens.run import run_trainees

        return run_trainees(shop, who, procedure, by)
    from baycompanion.views.trainees import rows, told
    from baycompanion.working.releasing import Releasing
    from baycompanion.working.wall_clock import local_now

    releasing = Releasing(shop, local_now)
    name = releasing.named(by or ask_line("Id of a supervisor", unseen=False))
    pin = ""
    if shop.members[name].pin is not None:
        pin = ask_line(f"PIN of {name}", unseen=True)
    releasing.look(name, pin)
    standings = releasing.standings(who, procedure)
    if as_json:
        data_json([each.as_dict() for each in standings])
        return Exit.DONE
    for row in rows(standings):
        for piece in told(row):
            data(piece.words)
        if row.of is not None:
            data("")
    return Exit.DONE
