"""`practice`: a walk with a made-up vehicle, and what came of those before."""

from collections.abc import Iterable

import click

from baycompanion.commands.opening import found_shop, in_terminal, opened, refuse_both, typed_again
from baycompanion.exits import Exit
from baycompanion.mishaps import Chosen
from baycompanion.out import data, data_json, talk
from baycompanion.store.practice import list_practice
from baycompanion.store.shop import Shop
from baycompanion.views.forms.practice_forms import FAULTS, ONE_PHASE, WHOLE
from baycompanion.working.practice.list import told_practice
from baycompanion.working.practice.start import check_asked


def practise(chosen: Chosen, typed: dict[str, str | None]) -> int:
    """Begin or go on with a practice: on the screen, or line by line."""
    shop = opened(chosen)
    asked = {name: value for name, value in typed.items() if value is not None}
    if "by" in asked:
        asked["by"] = shop.person(asked["by"]).id
    elif len(shop.staff) == 1:
        asked["by"] = next(iter(shop.staff))
    in_full = "procedure" in asked
    if in_full and "by" not in asked:
        raise click.UsageError(f"Say who practises: --by and one of {', '.join(shop.staff)}.")
    if "phase" in asked and not in_full:
        raise click.UsageError("--phase is a phase of PROCEDURE. Name that, too.")
    if in_full:
        asked = {"faults": FAULTS, "what": ONE_PHASE if "phase" in asked else WHOLE, **asked}
        check_asked(shop, asked)  # before a screen opens for nothing
    if chosen.by_lines:
        from baycompanion.plain.run import talk_practice

        return talk_practice(shop, asked, in_full)
    if not in_terminal():
        words = f"practice {asked.get('procedure', '')} --plain"
        talk(f"Practice needs a terminal. Line by line, type: {typed_again(words, chosen)}")
        return Exit.REFUSED
    from baycompanion.screens.run import run_practice

    return run_practice(shop, asked, in_full)


def tell_practice(chosen: Chosen, by: str | None, as_json: bool) -> int:
    """Print what came of every practice of `by`, or of everybody on the staff."""
    refuse_both(chosen, json=as_json)
    shop = found_shop(chosen)
    kept = [each for who in _people(shop, by) for each in list_practice(shop.folder, who)]
    if as_json:
        data_json([each.model_dump(mode="json") for each in kept])
        return Exit.DONE
    for each in kept:
        for line in told_practice(shop, each):
            data(line)
    if not kept:
        talk("Nobody has practised yet." if by is None else f"{by} has not practised yet.")
    return Exit.DONE


def _people(shop: Shop, by: str | None) -> Iterable[str]:
    return (shop.known(by).id,) if by is not None else tuple(shop.members)
