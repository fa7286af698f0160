"""The area of a circle, for wires and for screws."""

from decimal import Decimal

QUARTER_PI = Decimal("0.785398163397448309615660846")
"""π ÷ 4, to 27 digits."""


def circle_area(diameter: Decimal) -> Decimal:
    """Return the area of a circle in the square of the unit that its diameter is in."""
    return QUARTER_PI * diameter * diameter
