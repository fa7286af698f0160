"""A share seen in some jobs, and between which limits the share of all such jobs may lie."""

from dataclasses import dataclass
from math import sqrt
from statistics import NormalDist


@dataclass(frozen=True)
class Share:
    """`count` of `of`, with the lower and upper limit of the share behind it, each 0 to 1."""

    count: int
    of: int
    lower: float
    upper: float

    @property
    def seen(self) -> float:
        """The share that was seen, 0 to 1."""
        return self.count / self.of


def wilson(count: int, of: int, confidence: float = 0.95) -> Share:
    """Return the share `count` of `of` with its score interval, without continuity correction.

    Source: Wilson, Probable Inference, the Law of Succession, and Statistical Inference, Journal
    of the American Statistical Association 22 (1927), 209-212; recommended by Newcombe, Two-sided
    confidence intervals for the single proportion: comparison of seven methods, Statistics in
    Medicine 17 (1998), 857-872 (method 3).

    Args:
        count: How often it happened, 0 to `of`.
        of: How often it could have happened, at least 1.
        confidence: How often such an interval holds the true share, above 0 and below 1.

    Raises:
        ValueError: An argument is out of its range.
    """
    if not 0 <= count <= of or of < 1:
        raise ValueError(f"{count} of {of} is no share")
    if not 0 < confidence < 1:
        raise ValueError(f"The confidence is {confidence}, and must lie between 0 and 1")
    z = NormalDist().inv_cdf((1 + confidence) / 2)
    middle = count + z * z / 2
    reach = z * sqrt(count * (of - count) / of + z * z / 4)
    lower = (middle - reach) / (of + z * z) if count > 0 else 0.0
    upper = (middle + reach) / (of + z * z) if count < of else 1.0
    return Share(count, of, lower, upper)
