"""What can happen in practice alone: what was guessed, run into, and looked at."""

from baycompanion.job.events.data import Data


class NextSaid(Data):
    """Whoever practises said what comes next, before it was shown."""

    kind = "next-said"
    due: str
    """The step that comes next by the procedure."""
    said: str
    right: bool
    """Whether it is that step, or one that could be done as well by all that holds it."""


class RanInto(Data):
    """A step was named or taken up that a shut gate would have held."""

    kind = "ran-into"
    gate: str
    step: str
    missing: list[str]
    """What the gate still waited for, in words."""


class Unprotected(Data):
    """A step was named or taken up without the standing condition that protects it."""

    kind = "unprotected"
    standing: str
    step: str


class Looked(Data):
    """Whoever practises looked, measured or tried at the made-up vehicle."""

    kind = "looked"
    step: str
