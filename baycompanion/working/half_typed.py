"""What stands half typed at a step, as it is kept beside the job: one entry, and a list so far."""

import json
from collections.abc import Mapping
from typing import NamedTuple


class HalfTyped(NamedTuple):
    """What was typed at a step and not yet handed in."""

    entry: str = ""
    """What stands in the field."""
    listed: tuple[str, ...] = ()
    """The entries of a list so far."""

    def to_keep(self) -> dict[str, str]:
        """Return it as it is kept; empty when nothing is typed."""
        if not self.entry and not self.listed:
            return {}
        return {"entry": self.entry, "entries": json.dumps(self.listed)}


def half_typed(kept: Mapping[str, str]) -> HalfTyped:
    """Return what was kept; where that was damaged, nothing."""
    try:
        listed = tuple(map(str, json.loads(kept.get("entries", "[]"))))
    except (ValueError, TypeError, RecursionError):
        listed = ()
    return HalfTyped(kept.get("entry", ""), listed)
