"""The log of what somebody answered when drilled: one for each person, in the shop folder."""

import json
from collections.abc import Collection, Mapping
from datetime import datetime
from pathlib import Path
from typing import NamedTuple

from baycompanion.job.deciding.draft import Person
from baycompanion.job.events.data import Data
from baycompanion.job.events.event import Event
from baycompanion.job.events.moment import read_moment
from baycompanion.learning.drill.recalls import KINDS, PutAside, Recalled, RecallsBegun, is_due
from baycompanion.store.chained_log import append_to_log, read_log
from baycompanion.store.reading import read_bytes
from baycompanion.store.trouble import StoreTrouble, because

FOLDER = "learning"
"""The folder of the shop that holds a folder for each person who learns."""

NAME = "recalls.jsonl"

CHANGED = (
    "Put a whole copy of the file back, or move it elsewhere: the drills of this person then begin "
    "anew. Practice goes on without it."
)
"""What to do where a line of it was changed; no audit reads what somebody answered in a drill."""


def recalls_path(shop: Path, who: str) -> Path:
    """Return where the answers of `who`, an id as the staff file spells it, lie in `shop`.

    A folder that differs in case alone is theirs too: somebody spelt the id anew in the staff file.
    """
    folder = shop / FOLDER
    alike = (each for each in _folders(folder) if each.name.casefold() == who.casefold())
    return next(alike, folder / who) / NAME


def _folders(folder: Path) -> list[Path]:
    try:
        return sorted(each for each in folder.iterdir() if each.is_dir())
    except FileNotFoundError:
        return []
    except OSError as error:
        raise StoreTrouble(f"{folder} cannot be read: {because(error)}.") from None


def read_recalls(shop: Path, who: str) -> tuple[Event, ...]:
    """Return every answer of `who` in the shop folder, the newest last; each carries a `Recalled`.

    Raises:
        StoreTrouble: The log cannot be read, a whole line in it was changed, or is somebody else's;
            with the line.
    """
    path = recalls_path(shop, who)
    events = read_log(path, KINDS, CHANGED).events
    for number, event in enumerate(events, start=1):
        if event.by.casefold() != who.casefold():
            raise StoreTrouble(
                f"{path}:{number}: This is an answer of {event.by}, and the folder is that of "
                f"{who}. Put the file back where it belongs."
            )
    return tuple(event for event in events if isinstance(event.data, Recalled))


def keep_recall(shop: Path, who: Person, recalled: Recalled, now: datetime) -> None:
    """Keep what `who` answered; durable on return.

    Raises:
        StoreTrouble: The log cannot be read or written.
    """
    _append(shop, who, recalled.model_copy(update={"signed": who.signed}), now)


def put_aside(shop: Path, who: Person, cards: Collection[str], now: datetime) -> None:
    """Keep that `cards`, which `who` answered, are in no procedure any more.

    Raises:
        StoreTrouble: The log cannot be read or written.
    """
    counted = sorted(set(cards) & _newest(recalls_path(shop, who.id)).keys())
    if counted:
        _append(shop, who, PutAside(cards=counted), now)


def _append(shop: Path, who: Person, data: Data, now: datetime) -> None:
    path = recalls_path(shop, who.id)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise StoreTrouble(f"{path.parent} cannot be made: {because(error)}.") from None
    append_to_log(path, KINDS, [data], who.id, now, begins=RecallsBegun(), changed=CHANGED)


def due_counts(shop: Path, now: datetime) -> Mapping[str, int]:
    """Return how many cards are due `now` for each person who has any, by the name of their folder.

    This is for lists: it believes the log, and asks no scheduler and no procedure. What a new
    revision changed is due too, and only known once the procedure is read.
    """
    counts = {}
    for folder in _folders(shop / FOLDER):
        due = _due_in(folder / NAME, now)
        if due:
            counts[folder.name] = due
    return counts


def _due_in(path: Path, now: datetime) -> int:
    """Count what is due: a question that several procedures ask is one."""
    by_face = {each.face: each for each in _newest(path).values()}
    return sum(is_due(each.due, each.at, now) for each in by_face.values())


class _Asked(NamedTuple):
    """When a card was asked last, with which face, and when it comes back."""

    at: datetime
    face: str
    due: datetime


def _newest(path: Path) -> dict[str, _Asked]:
    """Return the last answer to each card that was not put aside since, the newest last.

    A damaged line is passed over: whoever is drilled is told of it, with its number.
    """
    newest: dict[str, _Asked] = {}
    for line in read_bytes(path).split(b"\n") if path.exists() else ():
        if b"{" not in line:
            continue
        try:
            raw = json.loads(line)
            data = raw["data"]
            if raw["kind"] == Recalled.kind:
                asked = _Asked(read_moment(raw["at"]), str(data["face"]), read_moment(data["due"]))
                newest.pop(data["card"], None)  # to stand last
                newest[data["card"]] = asked
            elif raw["kind"] == PutAside.kind:
                for card in data["cards"]:
                    newest.pop(card, None)
        except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
            continue
    return newest
