"""The kinds of step, each begun by its verb, and what any step may carry."""

from decimal import Decimal
from typing import TYPE_CHECKING, Annotated, Any, Literal, TypeAlias

from pydantic import BeforeValidator, ConfigDict, Field, JsonValue, model_validator

from baycompanion.procedure.cautions import AnyCaution, Torque
from baycompanion.procedure.fields import Id, Line, Number, Some, Span
from baycompanion.procedure.panels import Panel
from baycompanion.procedure.plantable import Plantable
from baycompanion.text.to_model import Written, begun_by, either, first_key, wrong


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


_NO_OTHER_KEYS: dict[str, JsonValue] = {"additionalProperties": False}


class Applying(Written):
    """Something that belongs to the job only under some answers to its choices."""

    when: dict[Id, Ids] = Field(default_factory=dict, json_schema_extra=_NO_OTHER_KEYS)
    """Applies only if each of these choices has this answer (or one of these)."""
    unless: dict[Id, Ids] = Field(default_factory=dict, json_schema_extra=_NO_OTHER_KEYS)
    """Does not apply if any of these choices has this answer (or one of these)."""


class Item(Applying):
    """One line of a list that is answered line by line."""

    item: Id
    """Its name in this list."""
    name: Line
    """What is ticked, counted or looked at."""
    group: Line = ""
    """A heading; all lines of one group can be answered together. In a count, the panel that the
    fasteners come off."""
    panel: Panel | None = None
    """For a list of marks, which panel of the drawing it is; left out, it is only in the list."""


class StepBase(Applying):
    """What a step of any verb may carry."""

    id: Id
    """Its name, which no phase and no other step may have."""
    cautions: tuple[AnyCaution, ...] = ()
    """What is shown before the step; danger and warning must be acknowledged."""
    tools: tuple[Id, ...] = ()
    """The tools it is done with, from the list of tools."""
    torque: tuple[Torque, ...] = ()
    """The fasteners it tightens."""
    details: tuple[Line, ...] = ()
    """How to do it, a sentence or two a line."""
    why: Line | None = None
    """Why it is done, and why here; shown to a trainee, or on demand."""
    target: Span | None = None
    """How long it should take."""
    shortest: Span | None = None
    """The shortest time in which this can really be done."""
    photo: Literal["wanted", "required"] | None = None
    """Whether a picture belongs to it."""
    back_to: Id | None = None
    """The step to go back to when this one comes out badly."""
    faults: tuple[Plantable, ...] = ()
    """What can be found wrong here, for practice alone."""

    @property
    def verb(self) -> str:
        """The word that begins the step."""
        return first_key(type(self))

    @property
    def text(self) -> str:
        """What the step tells a person to do."""
        return str(getattr(self, self.verb))


if TYPE_CHECKING:
    Each: TypeAlias = (
        Literal["tools", "parts", "joins", "left-over", "differences"] | tuple[Item, ...]
    )
else:
    Each = either(tuple[Item, ...], Literal["tools", "parts", "joins", "left-over", "differences"])


class Do(StepBase):
    """Something to do; finished when the person says it is done."""

    do: Line
    """What to do, in one sentence that commands."""
    each: Each = ()
    """Lines to tick one by one: the tools, the parts, a list of its own, or the joins or the
    left-over leads of the job's splice plan; without a plan these two are answered whole. Or the
    differences from the earlier job that the vehicle comes back from: each is said to come from its
    work or not, and becomes a fault of the work or of the vehicle."""
    borrows: Literal["tap", "splice", "ground"] | None = None
    """What it makes on a circuit of the vehicle; it is finished once the register has it."""


class Check(StepBase):
    """Something to find out: passed, failed, not fitted, or could not test."""

    check: Line
    """What to find out, as a question or a statement that is true or not."""


class Measure(StepBase):
    """A number with a unit and limits; the limits give the verdict."""

    measure: Line
    """What to measure, and where."""
    unit: Line
    """The unit of the reading, like V, A or N m."""
    at_least: Number | None = None
    """The lower limit, itself inside, in that unit."""
    at_most: Number | None = None
    """The upper limit, itself inside, in that unit."""
    instrument: Id | None = None
    """The tool that it is read from."""
    source: Line | None = None
    """Where the limits come from."""
    agree_within: Number | None = None
    """How far a second person's reading may lie from the first, in that unit; left out, as far as
    the limits reach."""

    def is_inside(self, number: Decimal) -> bool:
        """Return whether `number`, in the unit of the step, lies inside its limits, ends too."""
        return (self.at_least is None or number >= self.at_least) and (
            self.at_most is None or number <= self.at_most
        )

    @model_validator(mode="after")
    def _limits_in_order(self) -> "Measure":
        low, high = self.at_least, self.at_most
        if low is not None and high is not None and low > high:
            raise wrong(f"No reading is at least {low} and at most {high}", "Swap the limits")
        return self


class Record(StepBase):
    """Words, a number or a list to write down."""

    record: Line
    """What to write down."""
    takes: Literal["words", "number", "list", "stations", "date"] = "words"
    """What the entry is made of; stations are a list held against the radio grid of the region."""
    unit: Line | None = None
    """The unit of a number."""
    repeats: Id | None = None
    """The earlier entry that this one must agree with, in the same order."""
    private: bool = False
    """Only that it was noted is kept, never the words."""
    may_be_empty: bool = False
    """An empty list is an answer: none found."""
    serial_of: Id | None = None
    """The part whose serial number it is."""
    owner_word: Literal["agreed", "refused", "absent"] | None = None
    """That it is the owner's word on the condition sheet: agreed, refused, or was absent and told
    otherwise; it stands by itself in the job record."""


class SumInput(Written):
    """An earlier answer as the input of a sum."""

    answer: Id
    """The step whose answer it is."""


if TYPE_CHECKING:
    InputValue: TypeAlias = Line | SumInput
else:
    InputValue = either(SumInput, Line)


class Sum(StepBase):
    """A calculation of the trade; its verdict can hold a gate."""

    sum: Line
    """What to work out, in one sentence."""
    of: Id
    """The name of the sum."""
    inputs: dict[Line, InputValue]
    """For each input its value, or the step whose answer it is."""


def _either_key(name: str, other: str) -> ConfigDict:
    """Say in the JSON Schema what `_one_of_two` refuses."""
    alternatives: list[JsonValue] = [{"required": [name]}, {"required": [other]}]
    return ConfigDict(json_schema_extra={"oneOf": alternatives})


class Count(StepBase):
    """Fasteners and clips counted out, or counted back against the count of an earlier step."""

    model_config = _either_key("of", "matches")

    count: Line
    """What to count."""
    of: tuple[Item, ...] = ()
    """What is counted, line by line, in the order in which it comes off."""
    matches: Id | None = None
    """The count that this one must agree with, line by line, the last off first."""

    @model_validator(mode="after")
    def _counts_something(self) -> "Count":
        _one_of_two(bool(self.of), self.matches is not None, "of", "matches")
        return self


class Choose(StepBase):
    """A question about this vehicle that settles a choice, or several of them line by line."""

    choose: Line
    """The question."""
    settles: Ids
    """The choice that the answer settles; of a list of several, each is a line of the step."""

    @property
    def by_lines(self) -> bool:
        """Whether it settles several choices, each a line of its own."""
        return len(self.settles) > 1


class Wait(StepBase):
    """A time that must run out."""

    wait: Line
    """What is waited for."""
    lasts: Span | None = None
    """How long; left out, it is asked for, with where it comes from."""
    since: Id | None = None
    """The step whose finish starts the clock; left out, the wait starts the clock itself."""
    source: Line | None = None
    """Where the length comes from."""


class Inspect(StepBase):
    """The condition sheet: before the work, or after it and compared with before."""

    model_config = _either_key("of", "compares")

    inspect: Line
    """What to walk through."""
    of: tuple[Item, ...] = ()
    """What is looked at, line by line."""
    compares: Id | None = None
    """The earlier sheet whose lines are walked again."""
    looks_for: Literal["function", "marks"] = "function"
    """Whether each line is tried and works, or is looked at and unmarked."""

    @model_validator(mode="after")
    def _inspects_something(self) -> "Inspect":
        _one_of_two(bool(self.of), self.compares is not None, "of", "compares")
        return self


class Witness(StepBase):
    """Something that a second person verifies, never the one who did it."""

    witness: Line
    """What the second person verifies."""
    of: Ids
    """The steps whose work is verified; what was measured there is measured afresh, blind."""
    manner: Literal["independent", "concurrent"] = "independent"
    """Independent: later, alone. Concurrent: both find the item, agree, then one watches the act;
    for acts that do harm at once or cannot be seen afterwards."""
    role: Literal["technician", "supervisor"] = "technician"
    """The least role of whoever verifies; a trainee verifies nobody's work."""
    by_mentor: bool = False
    """Whether it is the mentor of a trainee who verifies; what others did it does not apply to."""
    provisional: Id | None = None
    """The check that may stand in for a second person where the shop has nobody else, until
    somebody else has looked; left out, nobody passes alone."""


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
