"""What a gate waits for: one small sentence each, begun by the word that says how it is met."""

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Annotated, Literal, TypeAlias

from baycompanion.procedure.fields import Id, Some
from baycompanion.text.to_model import Written, begun_by, first_key


class Done(Written):
    """The step was finished without a deviation."""

    done: Id
    """The id of the step, of any verb."""


class Passed(Written):
    """The check (or the witness) passed; not fitted and could not test do not count."""

    passed: Id
    """The id of the check or the witness."""


class Inside(Written):
    """The last reading of the measurement lies inside its limits."""

    inside: Id
    """The id of the measure, which has limits."""


class Recorded(Written):
    """The entry was made."""

    recorded: Id
    """The id of the record."""


class Over(Written):
    """The wait has run out."""

    over: Id
    """The id of the wait."""


class Matching(Written):
    """The count, the list or the condition sheet agrees with the one it is held against."""

    matching: Id
    """The id of the count that matches, the record that repeats or the inspect that compares."""


class Witnessed(Written):
    """A second person, not the one who did it, has passed the item."""

    witnessed: Id
    """The id of the witness."""


class Good(Written):
    """The sum came out with a good verdict."""

    good: Id
    """The id of the sum."""


class NoOpenFault(Written):
    """No fault is open: none of the work, or none at all."""

    no_open_fault: Literal["work", "other", "any"]
    """`work` for faults caused on the job, `any` for those found on the vehicle too, `other` for
    those of the job that no comparison found which a gate of its own waits for (`matching`)."""


class OnBench(Written):
    """The tools and parts that this phase needs are ticked as here."""

    on_bench: Id
    """The id of the phase."""


class AllOf(Written):
    """Every one of these is met."""

    all: "Annotated[tuple[Condition, ...], Some]"
    """The conditions."""


class AnyOf(Written):
    """At least one of these is met."""

    any: "Annotated[tuple[Condition, ...], Some]"
    """The conditions."""


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
