"""One job as the rules read it that ask about the work: its procedure, its events, their state."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar, cast

from baycompanion.job.events.data import Data
from baycompanion.job.events.event import Event
from baycompanion.job.state.state import State
from baycompanion.procedure.model import Procedure

Kind = TypeVar("Kind", bound=Data)


@dataclass(frozen=True)
class Played:
    """A job whose chain holds, with the procedure that it follows by now."""

    name: str
    """The name of its folder."""
    procedure: Procedure
    events: tuple[Event, ...]
    state: State

    @property
    def closed(self) -> bool:
        """Whether the keys went back."""
        return self.state.status == "closed"

    @property
    def follows(self) -> tuple[str, int]:
        """The id and the revision of its procedure."""
        return self.state.opened.procedure, self.state.opened.revision

    @property
    def people(self) -> frozenset[str]:
        """Everybody with an event in it."""
        return frozenset(event.by for event in self.events)

    @cached_property
    def _by_kind(self) -> dict[type[Data], list[tuple[Event, Data]]]:
        """All events by their kind: every rule asks for some, and is to look at no other."""
        found: dict[type[Data], list[tuple[Event, Data]]] = {}
        for event in self.events:
            found.setdefault(type(event.data), []).append((event, event.data))
        return found

    def all_of(self, kind: type[Kind]) -> Sequence[tuple[Event, Kind]]:
        """Return the events of one kind, each with what it carries."""
        return cast(Sequence[tuple[Event, Kind]], self._by_kind.get(kind, ()))
