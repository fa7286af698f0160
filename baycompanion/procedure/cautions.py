"""What is shown before a step to keep people and things whole: cautions and torque."""

from typing import TYPE_CHECKING, Literal, TypeAlias

from pydantic import ConfigDict, model_validator

from baycompanion.procedure.fields import Line, Number
from baycompanion.text.to_model import Written, begun_by, wrong

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
    """What can do harm, in one sentence."""


class Warning(Cautioning):  # noqa: A001 - the trade's and the standard's own word
    """If not avoided, death or serious injury could follow."""

    warning: Line
    """What can do harm, in one sentence."""


class Caution(Cautioning):
    """If not avoided, minor or moderate injury could follow."""

    caution: Line
    """What can do harm, in one sentence."""


class Notice(Cautioning):
    """Damage to things, no injury."""

    notice: Line
    """What can do damage, in one sentence."""


CAUTIONS = (Danger, Warning, Caution, Notice)
if TYPE_CHECKING:
    AnyCaution: TypeAlias = Danger | Warning | Caution | Notice
else:
    AnyCaution = begun_by("caution", CAUTIONS)


class Torque(Written):
    """How tight a fastener goes, shown at the moment of tightening."""

    model_config = ConfigDict(
        json_schema_extra={"dependentRequired": {"value": ["unit"], "unit": ["value"]}}
    )

    fastener: Line
    """Which fastener, like M5 side-bracket screw."""
    into: Line
    """What it is driven into, like steel bracket or plastic boss."""
    tool: Line = "hand driver only"
    """What it is tightened with."""
    value: Number | None = None
    """The torque; left out where the rule is a feel, like hand-tight."""
    unit: Literal["N m", "lbf in", "lbf ft"] | None = None
    """The unit of the value."""
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
