"""Jobs that were played into a shop before, laid into one like it: each would come out the same.

What a script does depends on the script and on what the shop holds, to the byte. So where both are
as they were, the files that came of it are written instead of played for once more.
"""

from collections.abc import Callable, Hashable
from dataclasses import replace
from pathlib import Path

from baycompanion.play.run import Played
from baycompanion.store.shop import Shop

_Files = frozenset[tuple[str, bytes]]
_PLAYED: dict[tuple[Hashable, _Files], tuple[_Files, list[Played]]] = {}


def played_once(shop: Shop, plan: Hashable, play: Callable[[], list[Played]]) -> list[Played]:
    """Return what `play` plays into `shop`; `plan` says all that it does, but for the shop."""
    before = _held(shop.folder)
    if (plan, before) not in _PLAYED:
        played = play()
        _PLAYED[plan, before] = (_held(shop.folder), played)
        return played
    files, played = _PLAYED[plan, before]
    for name, content in files - before:
        path = shop.folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
    return [replace(each, folder=shop.jobs / each.folder.name) for each in played]


def _held(folder: Path) -> _Files:
    files = (path for path in folder.rglob("*") if path.is_file())
    return frozenset((str(path.relative_to(folder)), path.read_bytes()) for path in files)
