"""`audit --phases`: how long each phase took, against its target and its own limits."""

from collections.abc import Sequence
from datetime import datetime
from itertools import groupby
from pathlib import Path

import click

from baycompanion.audit.choice import Choice
from baycompanion.audit.phases.chart import told_lines
from baycompanion.audit.phases.reading import PhasesRead, read_phases
from baycompanion.audit.phases.times import PhaseTold
from baycompanion.commands.audit import read_day
from baycompanion.commands.opening import shop_paths
from baycompanion.exits import Exit
from baycompanion.mishaps import Chosen
from baycompanion.out import data, data_json, talk
from baycompanion.store.page_file import write_page
from baycompanion.store.typed_path import typed_path
from baycompanion.text.counted import counted


def tell_phase_times(
    chosen: Chosen,
    folders: Sequence[str],
    as_json: bool,
    html: str | None,
    since: str | None,
    by: str | None,
    procedure: str | None,
    now: datetime,
) -> int:
    """Print the times of the phases in the closed jobs of the shops in `folders`; return 0 or 2.

    The times are those of the records; whether these are what they were, the audit itself says.
    `html` names the file of a page to print.

    Raises:
        StoreTrouble: That file cannot be written.
    """
    if as_json and html is not None:
        raise click.UsageError("--json prints, and --html writes a page. Give one of them.")
    choice = Choice(read_day(since), by or "", procedure or "")
    paths = shop_paths(chosen, folders)
    seen = read_phases(paths, choice)
    for trouble in seen.unread:
        talk(trouble)
    if as_json:
        phases = [phase.as_dict() for phase in seen.told]
        data_json({"jobs": seen.jobs, "phases": phases, "unread": seen.unread})
    elif html is not None:
        data(str(_write_page(seen, choice, typed_path(html), now)))
    else:
        _print(seen.told, many=len(paths) > 1)
    unread = f" Not read: {len(seen.unread)}." if seen.unread else ""
    none_fits = "" if seen.jobs or seen.unread or not choice.words else f" {choice.fits_none}"
    talk(f"Looked at: {counted(seen.jobs, 'closed job')}.{unread}{none_fits}")
    return Exit.UNUSABLE if seen.unread else Exit.DONE


def _write_page(seen: PhasesRead, choice: Choice, path: Path, now: datetime) -> Path:
    from baycompanion.audit.phases.page import phase_page  # templates, for a page alone

    if not path.name:
        raise click.UsageError(f"{path} is no file. Give --html the name of one.")
    write_page(path, phase_page(seen, choice, now).encode())
    return path


def _print(told: list[PhaseTold], many: bool) -> None:
    """Print every phase below its procedure, and below its shop where there are several."""
    for (shop, procedure, revision), phases in groupby(
        told, key=lambda each: (each.shop, each.procedure, each.revision)
    ):
        data(f"{f'{shop} · ' if many else ''}{procedure}, revision {revision}")
        for phase in phases:
            for line in told_lines(phase):
                data(f"  {line}")
            data("")
