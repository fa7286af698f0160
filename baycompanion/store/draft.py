"""What stands half typed in a job, kept beside it until it is handed in.

It is a favour: where it cannot be kept, nothing is said, and what was damaged is nothing.
"""

import contextlib
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
