"""What a gate waits for: one small sentence each, begun by the word that says how it is met."""

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Annotated, Literal, TypeAlias

from baycompanion.procedure.fields import Id, Some
from baycompanion.text.to_model import Written, begun_by, first_key


class Done(Written):
    """The step was finished without a deviation."""

    done: Id


class Passed(Written):
    """The check (or the witness) passed; not fitted and could not test do not count."""

    passed: Id


class Inside(Written):
    """The last reading of the measurement lies inside its limits."""

    inside: Id


class Recorded(Written):
    """The entry was made."""

    recorded: Id


class Over(Written):
    """The wait has run out."""

    over: Id


class Matching(Written):
    """The count, the list or the condition sheet agrees with the one it is held against."""

    matching: Id


class Witnessed(Written):
    """A second person, not the one who did it, has passed the item."""

    witnessed: Id


class Good(Written):
    """The sum came out with a good verdict."""

    good: Id


class NoOpenFault(Written):
    """No fault is open: none of the work, or none at all."""

    no_open_fault: Literal["work", "any"]


class OnBench(Written):
    """The tools and parts that this phase needs are ticked as here."""

    on_bench: Id


class AllOf(Written):
    """Every one of these is met."""

    all: "Annotated[tuple[Condition, ...], Some]"


class AnyOf(Written):
    """At least one of these is met."""

    any: "Annotated[tuple[Condition, ...], Some]"


KINDS = (
    Done,
    Passed,
    Inside,
    Recorded,
    Over,
    Matching,
    Witnessed,
    Good,
    NoOpenFault,
    OnBench,
    AllOf,
    AnyOf,
)
if TYPE_CHECKING:
    Condition: TypeAlias = (
        Done
        | Passed
        | Inside
        | Recorded
        | Over
        | Matching
        | Witnessed
        | Good
        | NoOpenFault
        | OnBench
        | AllOf
        | AnyOf
    )
else:
    Condition = begun_by("condition", KINDS)

AllOf.model_rebuild()
AnyOf.model_rebuild()


def step_named(condition: Condition) -> str | None:
    """Return the id of the step that `condition` rests on, if it rests on one."""
    if isinstance(condition, AllOf | AnyOf | NoOpenFault | OnBench):
        return None
    return str(getattr(condition, first_key(type(condition))))


def leaves(conditions: Iterable[Condition]) -> Iterator[Condition]:
    """Yield the conditions that hold no others, however deep they nest."""
    for condition in conditions:
        if isinstance(condition, AllOf):
            yield from leaves(condition.all)
        elif isinstance(condition, AnyOf):
            yield from leaves(condition.any)
        else:
            yield condition
