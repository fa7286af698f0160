"""`dataclasses.replace` for frozen values without slots, at a twentieth of its cost.

Some six values are replaced for each event that is folded, and folding was a third of an audit and
of opening a job. The one of the library asks every field by its name and begins the new value as
from outside; here all fields are taken over at once.
"""

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
        fields = vars(value) | changes
        if len(fields) != len(vars(value)):
            raise KeyError(*(fields.keys() - vars(value).keys()))
        new = object.__new__(type(value))
        object.__setattr__(new, "__dict__", fields)  # as it is frozen
        return new
