"""The folders of practice: making one, opening one, listing those of one person.

They lie below `learning/<staff id>/practice` in the shop folder, never among its jobs.
"""

from datetime import datetime
from pathlib import Path

from baycompanion.job.deciding.draft import Person
from baycompanion.job.deciding.opening import KeysIn, open_job
from baycompanion.job.deciding.practising import MENTOR
from baycompanion.job.deciding.shop_lists import ShopLists
from baycompanion.job.events.carried import Practice
from baycompanion.job.events.chain import canonical
from baycompanion.learning.practice.made_past import make_past
from baycompanion.learning.practice.made_up import make_vehicle
from baycompanion.learning.practice.summary import PracticeSummary, summarise
from baycompanion.procedure.load import Loaded, hash_of
from baycompanion.store.durable import flush_folder, write_whole
from baycompanion.store.job import journal
from baycompanion.store.job.folder import (
    PINNED,
    JobRead,
    new_folder,
    read_any,
    refuse_errors,
)
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.shop import Shop, open_shop
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.problem import BadFile

LEARNING = "learning"
PRACTICE = "practice"
_FIRST_LINE = "# This is practice on a made-up vehicle, and no job.\n"


def practice_folder(shop: Path, who: str) -> Path:
    """Return the folder in which the practice of the staff id `who` lies, made or not."""
    return shop / LEARNING / who / PRACTICE


def make_practice(
    shop: Shop,
    loaded: Loaded,
    who: Person,
    when: datetime,
    seed: int,
    faults: int,
    phase: str | None = None,
) -> Path:
    """Make the folder of a new practice of `who`, pin its procedure, and write its first event.

    Args:
        shop: Gives its caps and the region of its radios, as to any job.
        loaded: The procedure that is practised.
        who: Whoever practises.
        when: Now.
        seed: What the vehicle is drawn from.
        faults: How many faults are planted, 0 or more.
        phase: The one phase that is practised by itself; the whole job without it.

    Raises:
        BadFile: The procedure has errors.
        StoreTrouble: The folder cannot be made or written.
    """
    refuse_errors(loaded)
    pinned = _FIRST_LINE + loaded.pinned_text
    below = practice_folder(shop.folder, who.id)
    folder = new_folder(below, f"{when:%Y%m%d}-{loaded.procedure.procedure}")
    write_whole(folder / PINNED, pinned.encode())
    made = make_vehicle(loaded.procedure, seed, faults)
    first = open_job(
        loaded.procedure,
        hash_of(pinned),
        folder.name,
        KeysIn(
            made.work_order,
            made.vehicle,
            who,
            when,
            figures=shop.figures,
            mentor=MENTOR.id,
            practice=Practice(seed=seed, faults=faults, phase=phase),
            earlier=make_past(loaded.procedure, made, when),
        ),
    )
    write_whole(folder / journal.NAME, canonical(first.as_dict()) + b"\n")
    flush_folder(below)
    return folder


def open_practice(folder: Path, who: Person, when: datetime) -> OpenJob:
    """Open the practice in `folder` for `who`; its staff are they and the made-up mentor.

    Raises:
        StoreTrouble: It is a real job, somebody else has it open, or a file cannot be read.
        BadFile: The pinned procedure or a file of the shop cannot be read any more.
    """
    shop = open_shop(_shop_of(folder))
    lists = ShopLists({who.id: who, MENTOR.id: MENTOR}, shop.reasons)
    return OpenJob(folder, lists, who, when, read_practice)


def _shop_of(folder: Path) -> Path:
    """Return the shop folder that practice lies in."""
    above = folder.absolute().parents
    if len(above) < 4 or (above[0].name, above[2].name) != (PRACTICE, LEARNING):
        raise StoreTrouble(f"{folder} does not lie below the {LEARNING} folder of a shop.")
    return above[3]


def read_practice(folder: Path) -> JobRead:
    """Return the practice in `folder`.

    Raises:
        StoreTrouble: It is a real job, or a file of it cannot be read.
        BadFile: The pinned procedure cannot be read any more.
    """
    read = read_any(folder)
    if read.state.opened.practice is None:
        raise StoreTrouble(f"{folder} is a real job, and no practice. Move it among the jobs.")
    return read


def list_practice(shop_folder: Path, who: str) -> tuple[PracticeSummary, ...]:
    """Return what came of each practice of the staff id `who`, the newest first.

    It is worked out from the journals. What cannot be read is left out.
    """
    found = []
    for folder in practice_folders(shop_folder, who):
        try:
            read = read_practice(folder)
        except (StoreTrouble, BadFile):
            continue
        found.append(summarise(read.procedure, read.events))
    return tuple(sorted(found, key=lambda each: each.begun_at, reverse=True))


def practice_folders(shop_folder: Path, who: str) -> tuple[Path, ...]:
    """Return the folders of the practice of `who`, in the order of their names."""
    try:
        below = sorted(practice_folder(shop_folder, who).iterdir())
    except OSError:
        return ()
    return tuple(folder for folder in below if (folder / journal.NAME).is_file())
