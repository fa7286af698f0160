"""What stands half typed, kept beside its job, or among the user's own data, until handed in.

It is a favour: where it cannot be kept, nothing is said, and what was damaged is nothing.
"""

import contextlib
import hashlib
import json
from collections.abc import Mapping
from pathlib import Path

from baycompanion.store.durable import write_whole
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.clean import clean

CARD = "draft.json"
"""What is typed on the card of a step."""
FORM = "draft-form.json"
"""What is typed in a form."""


def own_place(shop: Path | None, form: str) -> Path | None:
    """Return where what is typed in `form` is kept where it belongs to no job; None if nowhere.

    That is among the user's own data: from the shop folder another laptop would offer it, too.
    `shop` is the folder of the shop, if it is about one.
    """
    from platformdirs import user_state_path

    named = hashlib.sha256(f"{shop.absolute() if shop else ''}\0{form}".encode()).hexdigest()
    try:
        return (
            user_state_path("baycompanion", appauthor=False) / "half-typed" / f"{named[:32]}.json"
        )
    except RuntimeError:  # nobody knows where this user is at home
        return None


def keep_own(path: Path, fields: Mapping[str, str]) -> None:
    """Keep at `path`, an own place, what stands in `fields`; without any, forget it."""
    with contextlib.suppress(OSError):
        if fields:
            path.parent.mkdir(parents=True, exist_ok=True)
        keep_typed(path, {}, fields)


def keep_typed(path: Path, of: Mapping[str, str], fields: Mapping[str, str]) -> None:
    """Keep at `path` what stands in `fields`, and what it is typed `of`; without any, forget it."""
    with contextlib.suppress(OSError, StoreTrouble):
        if fields:
            write_whole(path, json.dumps({**of, "fields": dict(fields)}).encode())
        else:
            path.unlink(missing_ok=True)


def typed_of(path: Path, of: Mapping[str, str]) -> dict[str, str]:
    """Return what was kept at `path`, empty where nothing was, or it is of another thing."""
    try:
        kept = json.loads(path.read_bytes())
        if all(kept[name] == value for name, value in of.items()):
            return {clean(str(name)): clean(str(value)) for name, value in kept["fields"].items()}
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return {}
    return {}
