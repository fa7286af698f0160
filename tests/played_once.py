"""Work that was done in a shop before, laid into one like it: it would come out the same.

What is done depends on the plan and on what the shop holds, to the byte. So where both are as they
were, the files that came of it are written instead of played for once more.
"""

from collections.abc import Callable, Hashable
from dataclasses import replace
from pathlib import Path
from typing import TypeVar, cast

from baycompanion.play.run import Played
from baycompanion.store.shop import Shop

T = TypeVar("T")

_Files = frozenset[tuple[str, bytes]]
_DONE: dict[tuple[Hashable, _Files], tuple[_Files, object]] = {}


def done_once(folder: Path, plan: Hashable, do: Callable[[], T]) -> T:
    """Return what `do` returns, and leave the files in `folder` that it leaves.

    `plan` says all that it does, but for what `folder` holds; nothing is deleted by it.
    """
    before = _held(folder)
    if (plan, before) not in _DONE:
        result = do()
        _DONE[plan, before] = (_held(folder), result)
        return result
    files, came_of_it = _DONE[plan, before]
    for name, content in files - before:
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
    return cast(T, came_of_it)


def played_once(shop: Shop, plan: Hashable, play: Callable[[], list[Played]]) -> list[Played]:
    """Return what `play` plays into `shop`; `plan` says all that it does, but for the shop."""
    played = done_once(shop.folder, plan, play)
    return [replace(each, folder=shop.jobs / each.folder.name) for each in played]


def _held(folder: Path) -> _Files:
    files = (path for path in folder.rglob("*") if path.is_file())
    return frozenset((str(path.relative_to(folder)), path.read_bytes()) for path in files)
