"""What can be found wrong at a step, for practice to plant in a made-up vehicle."""

from typing import Literal

from baycompanion.procedure.fields import Id, Line, Number
from baycompanion.text.to_model import Written


class Plantable(Written):
    """Something wrong that a step would find."""

    fault: Id
    """Its name, the same at every step of the procedure where it shows."""
    name: Line
    """What it is, as it is told once the practice is over."""
    seen: Line | None = None
    """What is found there, plainly and without a verdict; left out, it is said in general words."""
    reading: Number | None = None
    """Of a measure: what the instrument shows, in the unit of the step. It lies outside the limits;
    where there are none, the sum that takes it comes out bad."""
    line: Id | None = None
    """Of a condition sheet or a count: the line that it shows on."""
    cause: Literal["vehicle", "work"] = "work"
    """Whether it was there before, or the work causes it."""
