"""The kinds of step, each begun by its verb, and what any step may carry."""

from typing import TYPE_CHECKING, Annotated, Any, Literal, TypeAlias

from pydantic import BeforeValidator, Field, model_validator

from baycompanion.procedure.fields import Id, Line, Number, Some, Span
from baycompanion.text.to_model import Written, begun_by, either, first_key, wrong

Signal = Literal["danger", "warning", "caution", "notice"]


class Cautioning(Written):
    """What danger, warning, caution and notice share; the three parts are all required."""

    consequence: Line
    """What the hazard does."""
    avoid: Line
    """How to avoid it, in command form."""

    @property
    def signal(self) -> Signal:
        """The signal word: how bad it gets when it is not avoided."""
        return type(self).__name__.lower()  # type: ignore[return-value]

    @property
    def hazard(self) -> str:
        """What can do harm."""
        return str(getattr(self, self.signal))


class Danger(Cautioning):
    """If not avoided, death or serious injury will follow."""

    danger: Line


class Warning(Cautioning):  # noqa: A001 - the trade's and the standard's own word
    """If not avoided, death or serious injury could follow."""

    warning: Line


class Caution(Cautioning):
    """If not avoided, minor or moderate injury could follow."""

    caution: Line


class Notice(Cautioning):
    """Damage to things, no injury."""

    notice: Line


CAUTIONS = (Danger, Warning, Caution, Notice)
if TYPE_CHECKING:
    AnyCaution: TypeAlias = Danger | Warning | Caution | Notice
else:
    AnyCaution = begun_by("caution", CAUTIONS)


class Torque(Written):
    """How tight a fastener goes, shown at the moment of tightening."""

    fastener: Line
    """Which fastener, like M5 side-bracket screw."""
    into: Line
    """What it is driven into, like steel bracket or plastic boss."""
    tool: Line = "hand driver only"
    """What it is tightened with."""
    value: Number | None = None
    """The torque; left out where the rule is a feel, like hand-tight."""
    unit: Literal["N m", "lbf in", "lbf ft"] | None = None
    plus_minus: Number | None = None
    """Allowed either side of the value, in the same unit."""
    pattern: Line | None = None
    """The order of tightening."""
    source: Line
    """Where the figure or the rule comes from."""

    @model_validator(mode="after")
    def _value_has_unit(self) -> "Torque":
        if (self.value is None) != (self.unit is None):
            raise wrong("A torque needs both its value and its unit", "Write value: and unit:")
        return self


def _one_or_more(value: Any) -> Any:
    """Let one name stand where a list of names may stand."""
    return [value] if isinstance(value, str) else value


Ids = Annotated[
    tuple[Id, ...],
    BeforeValidator(
        _one_or_more, json_schema_input_type=Id | Annotated[list[Id], Field(min_length=1)]
    ),
    Some,
]
"""One name, or a list of at least one."""


class Applying(Written):
    """Something that belongs to the job only under some answers to its choices."""

    when: dict[Id, Ids] = Field(default_factory=dict)
    """Applies only if each of these choices has this answer (or one of these)."""
    unless: dict[Id, Ids] = Field(default_factory=dict)
    """Does not apply if any of these choices has this answer (or one of these)."""


class Item(Applying):
    """One line of a list that is answered line by line."""

    item: Id
    name: Line
    group: Line = ""
    """A heading; all lines of one group can be answered together."""


class StepBase(Applying):
    """What a step of any verb may carry."""

    id: Id
    cautions: tuple[AnyCaution, ...] = ()
    tools: tuple[Id, ...] = ()
    torque: tuple[Torque, ...] = ()
    details: tuple[Line, ...] = ()
    """How to do it, a sentence or two a line."""
    why: Line | None = None
    """Why it is done, and why here; shown to a trainee, or on demand."""
    target: Span | None = None
    shortest: Span | None = None
    """The shortest time in which this can really be done."""
    photo: Literal["wanted", "required"] | None = None
    back_to: Id | None = None
    """The step to go back to when this one comes out badly."""

    @property
    def verb(self) -> str:
        """The word that begins the step."""
        return first_key(type(self))

    @property
    def text(self) -> str:
        """What the step tells a person to do."""
        return str(getattr(self, self.verb))


if TYPE_CHECKING:
    Each: TypeAlias = Literal["tools", "parts"] | tuple[Item, ...]
else:
    Each = either(tuple[Item, ...], Literal["tools", "parts"])


class Do(StepBase):
    """Something to do; finished when the person says it is done."""

    do: Line
    each: Each = ()
    """Lines to tick one by one: the tools, the parts, or a list of its own."""


class Check(StepBase):
    """Something to find out: passed, failed, not fitted, or could not test."""

    check: Line


class Measure(StepBase):
    """A number with a unit and limits; the limits give the verdict."""

    measure: Line
    unit: Line
    at_least: Number | None = None
    at_most: Number | None = None
    instrument: Id | None = None
    """The tool that it is read from."""
    source: Line | None = None
    """Where the limits come from."""

    @model_validator(mode="after")
    def _limits_in_order(self) -> "Measure":
        low, high = self.at_least, self.at_most
        if low is not None and high is not None and low > high:
            raise wrong(f"No reading is at least {low} and at most {high}", "Swap the limits")
        return self


class Record(StepBase):
    """Words, a number or a list to write down."""

    record: Line
    takes: Literal["words", "number", "list", "date"] = "words"
    unit: Line | None = None
    repeats: Id | None = None
    """The earlier entry that this one must agree with, in the same order."""
    private: bool = False
    """Only that it was noted is kept, never the words."""
    may_be_empty: bool = False
    """An empty list is an answer: none found."""


class SumInput(Written):
    """An earlier answer as the input of a sum."""

    answer: Id


if TYPE_CHECKING:
    InputValue: TypeAlias = Line | SumInput
else:
    InputValue = either(SumInput, Line)


class Sum(StepBase):
    """A calculation of the trade; its verdict can hold a gate."""

    sum: Line
    of: Id
    """The name of the sum."""
    inputs: dict[Line, InputValue]
    """For each input its value, or the step whose answer it is."""


class Count(StepBase):
    """Fasteners and clips counted out, or counted back against the count of an earlier step."""

    count: Line
    of: tuple[Item, ...] = ()
    matches: Id | None = None
    """The count that this one must agree with, line by line."""

    @model_validator(mode="after")
    def _counts_something(self) -> "Count":
        _one_of_two(bool(self.of), self.matches is not None, "of", "matches")
        return self


class Choose(StepBase):
    """A question about this vehicle that settles a choice."""

    choose: Line
    settles: Id


class Wait(StepBase):
    """A time that must run out."""

    wait: Line
    lasts: Span | None = None
    """How long; left out, it is asked for, with where it comes from."""
    since: Id | None = None
    """The step whose finish starts the clock; left out, the wait starts the clock itself."""
    source: Line | None = None
    """Where the length comes from."""


class Inspect(StepBase):
    """The condition sheet: before the work, or after it and compared with before."""

    inspect: Line
    of: tuple[Item, ...] = ()
    compares: Id | None = None
    """The earlier sheet whose lines are walked again."""

    @model_validator(mode="after")
    def _inspects_something(self) -> "Inspect":
        _one_of_two(bool(self.of), self.compares is not None, "of", "compares")
        return self


class Witness(StepBase):
    """Something that a second person verifies, never the one who did it."""

    witness: Line
    of: Ids
    """The steps whose work is verified."""


def _one_of_two(first: bool, second: bool, name: str, other: str) -> None:
    if first == second:
        raise wrong(
            f"This step needs either “{name}” or “{other}”", f"Write {name}: or {other}:, not both"
        )


VERBS = (Do, Check, Measure, Record, Sum, Count, Choose, Wait, Inspect, Witness)
if TYPE_CHECKING:
    Step: TypeAlias = (
        Do | Check | Measure | Record | Sum | Count | Choose | Wait | Inspect | Witness
    )
else:
    Step = begun_by("step", VERBS)
