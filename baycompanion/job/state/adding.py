"""A state while events are added to it: changed in place, for nobody else has it yet.

To make a new state for each thing that an event changes was half of opening a long job. Here one
copy serves an event, or all events of a journal, and so does one of each mapping in it.
"""

from typing import Any

from baycompanion.job.state.replacing import replace
from baycompanion.job.state.state import State


class Adding:
    """Holds a copy of a state, and takes what changes in it."""

    __slots__ = ("_fields", "_own", "state")

    def __init__(self, state: State) -> None:
        """Begin with a copy of `state`."""
        self.state = replace(state)
        """What it has come to so far; whoever keeps a value of it has that of now."""
        self._fields = vars(self.state)
        self._own: set[str] = set()
        """The mappings that are copies already, and the rows that are lists for now."""

    def put(self, **changes: Any) -> None:
        """Change some fields of the state.

        Raises:
            KeyError: It has no field of a name among `changes`.
        """
        known = len(self._fields)
        self._fields.update(changes)
        if len(self._fields) != known:
            raise KeyError(*list(self._fields)[known:])
        self._own.difference_update(changes)

    def put_in(self, field: str, key: str, value: Any) -> None:
        """Put `value` at `key` of the mapping `field`."""
        if field not in self._own:
            self._fields[field] = dict(self._fields[field])
            self._own.add(field)
        self._fields[field][key] = value

    def put_last(self, field: str, value: Any) -> None:
        """Put `value` behind the others in `field`."""
        if field not in self._own:
            self._fields[field] = list(self._fields[field])
            self._own.add(field)
        self._fields[field].append(value)

    def track(self, step: str, **changes: Any) -> None:
        """Change what has happened on `step`."""
        self.put_in("steps", step, replace(self.state.track(step), **changes))

    def done(self) -> State:
        """Return the state; nothing is added to it any more."""
        for field in self._own:
            if isinstance(self._fields[field], list):
                self._fields[field] = tuple(self._fields[field])
        return self.state
