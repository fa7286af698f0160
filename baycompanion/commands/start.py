"""`start`: keys in, and a new job."""

from collections.abc import Mapping
from datetime import datetime
from pathlib import Path

import click

from baycompanion.commands.opening import (
    in_terminal,
    named_or_only,
    opened,
    refuse_both,
    typed_again,
)
from baycompanion.commands.signing import sign
from baycompanion.exits import Exit
from baycompanion.job.deciding.opening import KeysIn
from baycompanion.job.events.carried import Vehicle
from baycompanion.mishaps import Chosen
from baycompanion.out import data, data_json, talk
from baycompanion.procedure.fields import LONGEST_LINE
from baycompanion.store.job.folder import make_job
from baycompanion.store.shelf import find_procedure, read_procedure
from baycompanion.store.staff.taking import take_keys
from baycompanion.text.clean import clean_line
from baycompanion.views.vehicle_in import vehicle_warning
from baycompanion.working.earlier import earlier_at, known_from
from baycompanion.working.parts_order import order_at


def start_job(
    chosen: Chosen, typed: Mapping[str, str | None], as_json: bool, when: datetime
) -> int:
    """Make a job from what was typed, and open it: line by line, or in a terminal on the screen."""
    refuse_both(chosen, json=as_json)
    entries = {name: _entry(name, typed[name] or "") for name in _ENTRIES}
    shop = opened(chosen)
    loaded = read_procedure(find_procedure(typed["procedure"] or "", shop.procedures))
    who = named_or_only(shop, typed["by"], "takes the keys")
    follows = loaded.procedure.procedure, loaded.procedure.revision
    named = (typed["mentor"] or "").strip()
    mentor = take_keys(shop, who, follows, named, when.date(), "Name one with --mentor.")
    who = sign(shop, who, when)
    vehicle = Vehicle(description=entries["vehicle"], vin=entries["vin"], plate=entries["plate"])
    order = order_at(_named("order", typed["order"]))
    earlier = earlier_at(shop, _named("earlier", typed["earlier"]), vehicle)
    vehicle = known_from(earlier, vehicle)
    folder = make_job(
        shop.jobs,
        loaded,
        KeysIn(
            entries["work_order"],
            vehicle,
            who,
            when,
            order=order,
            figures=shop.figures,
            mentor=mentor,
            earlier=earlier,
        ),
    )
    if chosen.by_lines and not as_json:
        from baycompanion.plain.run import talk_job

        return talk_job(shop, folder, who)
    if in_terminal() and not as_json:
        from baycompanion.screens.run import run_job

        return run_job(shop, folder, who)
    _tell(folder, loaded.procedure.title, vehicle_warning(vehicle, earlier), chosen, as_json)
    return Exit.DONE


_ENTRIES = ("work_order", "vehicle", "vin", "plate")


def _entry(name: str, text: str) -> str:
    """Return what was typed, cleaned, or refuse it."""
    line = clean_line(text)
    option = f"--{name.replace('_', '-')}"
    if not line and name in ("work_order", "vehicle"):
        raise click.UsageError(f"{option} is empty. Type it in quotation marks.")
    if len(line) > LONGEST_LINE:
        raise click.UsageError(f"{option} is longer than {LONGEST_LINE} characters. Shorten it.")
    return line


def _named(name: str, text: str | None) -> str:
    """Return what an option names, nothing where it was left out; named by nothing, it is wrong."""
    if text is not None and not text.strip():
        raise click.UsageError(f"--{name} is empty. Name one behind it, or leave it out.")
    return text or ""


def _tell(folder: Path, title: str, warning: str, chosen: Chosen, as_json: bool) -> None:
    """Say which job was made, and how it goes on."""
    if as_json:
        data_json({"job": folder.name, "folder": str(folder)})
    else:
        data(folder.name)
    if warning:
        talk(warning)
    talk(f"The job is made: {title}. In a terminal, open it with:")
    talk(f"  {typed_again(f'resume {folder.name}', chosen)}")
