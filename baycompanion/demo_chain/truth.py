"""What was planted in a chain of demo shops, as `planted.json` says it beside them."""

import json
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass, field
from datetime import datetime
from pathlib import Path

from baycompanion.job.events.moment import write_moment
from baycompanion.store.durable import write_whole

NAME = "planted.json"
FORMAT = 1


@dataclass(frozen=True, slots=True)
class Planted:
    """One finding that an audit should come to."""

    shop: str
    """The name of its folder."""
    rule: str
    """The id of the rule."""
    job: str = ""
    """The name of the folder of the job; nothing where the whole shop is meant."""
    about: str = ""
    """The person, the gate or the step, where the whole shop is meant."""
    events: tuple[int, ...] = ()
    """The events that show it, where they are known."""
    follows_from: str = ""
    """The rule of the plant that brings this with it; nothing where it is planted itself."""
    faint: bool = False
    """Whether so little shows it that an honest test may well say nothing."""


@dataclass(slots=True)
class Truth:
    """All that was planted, and what found no room."""

    planted: list[Planted] = field(default_factory=list)
    not_planted: dict[str, str] = field(default_factory=dict)
    """Rules that nothing was planted for, each with the reason."""

    def settle(self, rules: Iterable[str], why: str) -> None:
        """Say `why` of those `rules` that were planted nowhere."""
        there = {each.rule for each in self.planted if not each.follows_from}
        for rule in rules:
            if rule not in there:
                self.not_planted.setdefault(rule, why)

    def write(self, folder: Path, seed: int, shops: Sequence[str], until: datetime) -> None:
        """Write the truth into `folder`; `until` is the moment at which the chain is audited.

        Raises:
            StoreTrouble: It cannot be written.
        """
        whole = {
            "format": FORMAT,
            "seed": seed,
            "until": write_moment(until),
            "shops": list(shops),
            "planted": [asdict(each) for each in self.planted],
            "not_planted": [
                {"rule": rule, "why": why} for rule, why in sorted(self.not_planted.items())
            ],
        }
        text = json.dumps(whole, indent=2, ensure_ascii=False) + "\n"
        write_whole(folder / NAME, text.encode())
