"""What several commands begin with: the shop, a job in it, and whether there is a terminal."""

import shlex
import sys
from collections.abc import Sequence
from os.path import realpath
from pathlib import Path
from typing import TYPE_CHECKING

import click

from baycompanion.mishaps import Chosen
from baycompanion.store.trouble import StoreTrouble

if TYPE_CHECKING:  # the frame of the board is painted before the store is loaded
    from baycompanion.job.deciding.draft import Person
    from baycompanion.store.job.folder import JobRead
    from baycompanion.store.shop import Shop


def shop_folder(chosen: Chosen) -> Path:
    """Return the shop folder that counts for this command line, made or not.

    Raises:
        StoreTrouble: It begins with the home folder of somebody unknown.
    """
    from baycompanion.store.shop_place import where_is_shop

    try:
        return where_is_shop(chosen.shop)
    except RuntimeError:
        raise StoreTrouble(f"There is no home folder behind {chosen.shop}. Type it out.") from None


def shop_paths(chosen: Chosen, folders: Sequence[str]) -> list[Path]:
    """Return the folders that were typed, or that of --shop where none was.

    Each is there once, however often and by whatever way it was named: it would count twice.
    """
    from baycompanion.store.typed_path import typed_path

    paths = [typed_path(name) for name in folders] or [shop_folder(chosen)]
    once: dict[str, Path] = {}
    for path in paths:
        once.setdefault(realpath(path), path)
    return list(once.values())


def opened(chosen: Chosen) -> "Shop":
    """Return the shop of this command line, made if it is not there.

    Raises:
        StoreTrouble: Its folder or a file in it cannot be made or read.
        BadFile: shop.yaml or staff.yaml does not say what it should.
    """
    from baycompanion.store.shop import open_shop

    folder = shop_folder(chosen)
    shop = open_shop(folder)
    chosen.folder = folder
    return shop


def found_shop(chosen: Chosen) -> "Shop":
    """Return the shop of this command line, of which nothing is made: a slip in its name is told.

    Raises:
        StoreTrouble: There is none in that folder, or a file in it cannot be read.
        BadFile: shop.yaml or staff.yaml does not say what it should.
    """
    from baycompanion.store.shop import holds_shop

    folder = shop_folder(chosen)
    if not holds_shop(folder):
        raise StoreTrouble(
            f"There is no shop in {folder}. Name its folder with --shop, or open the board, which "
            f"makes a new one: {typed_again('', chosen)}."
        )
    return opened(chosen)


def read_one(shop: "Shop", name: str) -> "JobRead":
    """Return the one job whose name, beginning of a name, or work order is `name`.

    Raises:
        StoreTrouble: None fits, several do, or it cannot be read.
    """
    from baycompanion.store.job.finding import find_job
    from baycompanion.store.job.folder import read_job

    return read_job(find_job(shop.jobs, name))


def named_or_only(shop: "Shop", by: str | None, does: str) -> "Person":
    """Return who `does` it, as words say: the one named, or the only one there is.

    Raises:
        StoreTrouble: Nobody has that id.
        UsageError: Nobody is named, and there are several.
    """
    if by is not None:
        return shop.person(by)
    if len(shop.staff) == 1:
        return next(iter(shop.staff.values()))
    raise click.UsageError(f"Say who {does}: --by and one of {', '.join(shop.staff)}.")


def in_terminal() -> bool:
    """Return whether there is a screen to show something on, and a person to answer."""
    return sys.stdin.isatty() and sys.stdout.isatty()


def typed_again(words: str, chosen: Chosen) -> str:
    """Return the command line `words` as it has to be typed to reach the same shop."""
    folder = f" --shop {shlex.quote(chosen.shop)}" if chosen.shop else ""
    return f"baycompanion {words}{folder}".replace("  ", " ").rstrip()


def refuse_both(chosen: Chosen, **others: bool) -> None:
    """Refuse --plain together with an option of these names that asks for something else.

    Raises:
        UsageError: Both were typed.
    """
    for name, wanted in others.items():
        if chosen.plain and wanted:
            raise click.UsageError(f"--plain and --{name} do not go together. Leave one out.")
