"""Whole days played as scripts, each into a new shop with the people of the demo."""

from pathlib import Path

from played_once import played_once

from baycompanion.play.run import Played, play
from baycompanion.play.script import read_script
from baycompanion.store.shelf import shipped
from baycompanion.store.shop import Shop, open_shop

DEMO = shipped("demo")
BEFORE = {"D-2231": "claim-day", "D-2217": "good-day"}
"""The day of the demo to play first, by the work order of the earlier job that a script names."""


def demo_shop(folder: Path) -> Shop:
    """Make a shop in `folder` that nothing was done in yet."""
    folder.mkdir(exist_ok=True)
    for file in ("shop.yaml", "staff.yaml"):
        (folder / file).write_bytes((DEMO / "shop" / file).read_bytes())
    return open_shop(folder)


def play_day(path: Path, folder: Path) -> Played:
    """Play the script at `path` into a new shop, after the day that its vehicle comes back from."""
    return play_text(path.read_text(encoding="utf-8"), path.name, demo_shop(folder))


def play_text(text: str, file: str, shop: Shop) -> Played:
    """Play a script from its text into `shop`, after the day that its vehicle comes back from."""
    read = read_script(text, file)
    start = read.script.start
    assert start is not None
    if read.script.earlier is not None:
        before = DEMO / f"{BEFORE[read.script.earlier]}.yaml"
        assert play_text(before.read_text(encoding="utf-8"), before.name, shop).stop is None
    [played] = played_once(shop, ("day", text), lambda: [play(read, DEMO, shop, start)])
    return played
