"""`demo --chain`: a chain of shops in which it is known what an audit should find."""

import click

from baycompanion.demo_chain.chain import Asked, make_chain
from baycompanion.demo_chain.truth import NAME
from baycompanion.exits import Exit
from baycompanion.out import data, talk
from baycompanion.store.trouble import StoreTrouble
from baycompanion.store.typed_path import typed_path

JOBS = 60
"""Closed jobs of each shop where no number is given: enough for every rule."""


def show_chain(
    folder: str | None, shops: int, jobs: int | None, seed: int | None, honest: bool
) -> int:
    """Make a chain in `folder`, and say where it lies and how it is audited.

    Raises:
        UsageError: No folder is named, or the numbers make no chain.
        StoreTrouble: The folder is not empty or cannot be written.
    """
    if not folder:
        raise click.UsageError("Name a new folder for the chain with --folder")
    try:
        asked = Asked(shops, JOBS if jobs is None else jobs, 1 if seed is None else seed, honest)
    except StoreTrouble as trouble:
        raise click.UsageError(str(trouble)) from None
    truth = make_chain(typed_path(folder), asked, lambda name: talk(f"Playing {name} …"))
    planted = sum(not each.follows_from for each in truth.planted)
    talk(f"{shops * asked.jobs} closed jobs, {planted} plants; {NAME} in it says which and where.")
    talk("To audit the chain, type:")
    data(f"baycompanion audit {folder.rstrip('/')}/*/")
    return Exit.DONE
