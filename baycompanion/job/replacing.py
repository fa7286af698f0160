"""`dataclasses.replace` for frozen values with slots, at a third of its cost.

Some seven values are replaced for each event that is folded, and folding was a third of an audit.
The one of the library asks every field by its name and begins the new value as from outside.
"""

from functools import cache
from operator import attrgetter
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    from dataclasses import replace as replace  # a type checker knows which fields there are
else:
    Value = TypeVar("Value")

    def replace(value: Value, **changes: Any) -> Value:
        """Return `value` with some of its fields changed; it may have no code of its own for it.

        Raises:
            KeyError: It has no field of a name among `changes`.
        """
        get, setters, place = _fields(type(value))
        values = list(get(value))
        for name, changed in changes.items():
            values[place[name]] = changed
        new = object.__new__(type(value))
        for put, one in zip(setters, values, strict=True):
            put(new, one)
        return new


@cache
def _fields(kind: type) -> tuple[Any, tuple[Any, ...], dict[str, int]]:
    """Return what reads all fields of a kind, what sets each, and where each stands among them."""
    names = tuple(kind.__dataclass_fields__)  # type: ignore[attr-defined]
    setters = tuple(getattr(kind, name).__set__ for name in names)
    return attrgetter(*names), setters, {name: at for at, name in enumerate(names)}
