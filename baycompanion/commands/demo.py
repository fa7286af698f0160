"""`demo`: a shop of its own to try everything in."""

import shutil
import tempfile
from datetime import datetime, timedelta
from pathlib import Path

from baycompanion.commands.opening import in_terminal, refuse_both
from baycompanion.commands.play import tell_played
from baycompanion.exits import Exit
from baycompanion.mishaps import Chosen
from baycompanion.out import data, talk
from baycompanion.play.learning import play_learning
from baycompanion.play.run import Played, play
from baycompanion.play.script import ScriptRead, read_script
from baycompanion.store.reading import read_text
from baycompanion.store.shelf import shipped
from baycompanion.store.shop import Shop, open_shop
from baycompanion.store.trouble import StoreTrouble, because
from baycompanion.store.typed_path import typed_path

GOOD_DAY = "good-day.yaml"
COMEBACK = "comeback.yaml"
"""Comes back from the day for a claim, and so is played after it."""
EARLIER = {
    "claim-day.yaml": 4,
    "draw-hunt.yaml": 3,
    "bad-day.yaml": 2,
    GOOD_DAY: 1,
    "dash-camera.yaml": 1,
    COMEBACK: 1,
}
"""The demo's finished jobs, each with how many days ago its keys came in."""

HALF_WAY = "half-way.yaml"
LEARNING = "learning/trainee.yaml"
"""What the demo's trainee has learnt."""

JUST_NOW = 60
"""Seconds since the last action of the job under way: short enough to count as still at work."""


def show_demo(
    chosen: Chosen, folder: str | None, headless: bool, as_json: bool, now: datetime
) -> int:
    """Make the demo shop and open the board on it, or play a whole job and print its outcome."""
    refuse_both(chosen, headless=headless, json=as_json)
    shop = _make_shop(folder)
    if headless or as_json or not (chosen.plain or in_terminal()):
        return _play_one(shop, as_json, now)
    talk(f"Making a demo shop in {shop.folder} …")
    fill(shop, now)
    code = _open_board(shop, chosen.by_lines)
    talk(f"The demo shop stays in {shop.folder}. To open it again, type:")
    data(f"baycompanion --shop {shop.folder}{' --plain' if chosen.plain else ''}")
    return code


def _play_one(shop: Shop, as_json: bool, now: datetime) -> int:
    """Play a whole job, and print what came of it."""
    played = _play_earlier(shop, GOOD_DAY, now)
    tell_played(played, as_json)
    if played.stop is not None:
        talk(str(played.stop))
    return Exit.DONE if played.stop is None else Exit.REFUSED


def _open_board(shop: Shop, by_lines: bool) -> int:
    """Open the board, as it was asked for."""
    if by_lines:
        from baycompanion.plain.run import talk_board

        return talk_board(shop)
    from baycompanion.screens.run import run_board

    return run_board(lambda: shop)


def fill(shop: Shop, now: datetime) -> None:
    """Play the demo into `shop`: jobs closed before `now`, one half-way, and what was learnt."""
    for name in EARLIER:
        _play_earlier(shop, name, now)
    path = shipped("demo") / LEARNING
    play_learning(read_text(path), str(path), shop, now)
    half_way = _read(HALF_WAY)
    _play(half_way, shop, now - timedelta(seconds=half_way.lasts + JUST_NOW))


def _play_earlier(shop: Shop, name: str, now: datetime) -> Played:
    """Play a demo script some days before `now`, at the time of day that it gives."""
    read = _read(name)
    day = (now - timedelta(days=EARLIER[name])).date()
    given = read.script.start or now
    return _play(read, shop, datetime.combine(day, given.timetz()))


def _play(read: ScriptRead, shop: Shop, start: datetime) -> Played:
    return play(read, shipped("demo"), shop, start)


def _read(name: str) -> ScriptRead:
    path = shipped("demo") / name
    return read_script(read_text(path), str(path))


def _make_shop(folder: str | None) -> Shop:
    """Make the demo shop in `folder`, which must be new or empty, or in a new folder.

    Raises:
        StoreTrouble: There is something in it, or it cannot be made.
    """
    root = typed_path(folder or tempfile.gettempdir())
    try:
        if not folder:
            root = Path(tempfile.mkdtemp(prefix="baycompanion-demo-"))
        elif root.exists() and any(root.iterdir()):
            raise StoreTrouble(f"{root} is not empty. Name a folder that is new or empty.")
        shutil.copytree(shipped("demo") / "shop", root, dirs_exist_ok=True)
    except OSError as error:
        raise StoreTrouble(f"The demo shop cannot be made in {root}: {because(error)}.") from None
    return open_shop(root)
