"""One job as the rules read it that ask about the work: its procedure, its events, their state."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeVar

from baycompanion.job.data import Data
from baycompanion.job.event import Event
from baycompanion.job.state import State
from baycompanion.procedure.model import Procedure

Kind = TypeVar("Kind", bound=Data)


@dataclass(frozen=True, slots=True)
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

    def all_of(self, kind: type[Kind]) -> Iterator[tuple[Event, Kind]]:
        """Yield the events of one kind, each with what it carries."""
        for event in self.events:
            if isinstance(event.data, kind):
                yield event, event.data
