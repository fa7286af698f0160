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
"""What is typed on the cards of steps, each until its step is answered."""
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
    _write(path, {**of, "fields": dict(fields)} if fields else {})


def keep_typed_at(path: Path, step: str, fields: Mapping[str, str]) -> None:
    """Keep at `path` what stands in `fields` for `step`, beside what is typed at other steps.

    Without any fields what was kept for `step` is forgotten.
    """
    steps = {**_typed_steps(path), step: dict(fields)}
    steps = {named: typed for named, typed in steps.items() if typed}
    _write(path, {"steps": steps} if steps else {})


def forget_typed(path: Path) -> None:
    """Forget all that was kept at `path`."""
    _write(path, {})


def typed_of(path: Path, of: Mapping[str, str]) -> dict[str, str]:
    """Return what was kept at `path`, empty where nothing was, or it is of another thing."""
    kept = _read(path)
    if any(kept.get(name) != value for name, value in of.items()):
        return {}
    return _fields(kept.get("fields"))


def typed_at(path: Path, step: str) -> dict[str, str]:
    """Return what was kept at `path` for `step`, empty where nothing was."""
    return _typed_steps(path).get(step, {})


def _typed_steps(path: Path) -> dict[str, dict[str, str]]:
    """Return what was kept at `path` by step; older files hold what was typed at one alone."""
    kept = _read(path)
    steps = kept["steps"] if "steps" in kept else {str(kept.get("step")): kept.get("fields")}
    if not isinstance(steps, dict):
        return {}
    return {clean(str(step)): _fields(fields) for step, fields in steps.items()}


def _fields(kept: object) -> dict[str, str]:
    if not isinstance(kept, dict):
        return {}
    return {clean(str(name)): clean(str(value)) for name, value in kept.items()}


def _read(path: Path) -> dict[str, object]:
    """Return the object that stands at `path`; empty where none does."""
    try:
        kept = json.loads(path.read_bytes())
    except (OSError, ValueError, RecursionError):
        return {}
    return kept if isinstance(kept, dict) else {}


def _write(path: Path, kept: Mapping[str, object]) -> None:
    """Write `kept` at `path`; where it is empty, leave no file there."""
    with contextlib.suppress(OSError, StoreTrouble):
        if kept:
            write_whole(path, json.dumps(kept).encode())
        else:
            path.unlink(missing_ok=True)
