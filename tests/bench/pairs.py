"""Two ways measured in turn, pair by pair, so that whatever else the machine does falls on both.

Of each pair the ratio is kept, and told by its median and its quartiles. Which of the two comes
first changes from pair to pair. Everything else here that measures a bare program beside ours
does it through this.
"""

import gc
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from statistics import median, quantiles


def say(text: str) -> None:
    """Print one line at once."""
    print(text, flush=True)  # noqa: T201


@dataclass(frozen=True, slots=True)
class Took:
    """Seconds that something took, by the clock and of the processor."""

    clock: float
    processor: float


def timed(act: Callable[[], object]) -> Took:
    """Return what `act` took in this process."""
    clock, processor = time.perf_counter(), time.process_time()
    act()
    return Took(time.perf_counter() - clock, time.process_time() - processor)


@dataclass(frozen=True, slots=True)
class Pairs:
    """What ours and the bare way took, pair by pair."""

    ours: Sequence[Took]
    bare: Sequence[Took]

    def told(self, what: str, wanted: str) -> None:
        """Print milliseconds and ratios; `wanted` is what the ratio should be."""
        say(f"{what}: {len(self.ours)} pairs, wanted {wanted}")
        for name in ("clock", "processor"):
            ours = [getattr(took, name) for took in self.ours]
            bare = [getattr(took, name) for took in self.bare]
            say(f"  by the {name:<9} {spread(ours)}; bare {spread(bare)}; {ratio(ours, bare)}")


def spread(seconds: Sequence[float]) -> str:
    """Return median and quartiles, in milliseconds."""
    low, middle, high = _quartiles(seconds)
    return f"{middle * 1000:.2f} ms ({low * 1000:.2f} to {high * 1000:.2f})"


def ratio(ours: Sequence[float], bare: Sequence[float]) -> str:
    """Return the median ratio of the pairs and its quartiles."""
    low, middle, high = _quartiles([a / b for a, b in zip(ours, bare, strict=True) if b > 0])
    return f"ratio {middle:.2f} ({low:.2f} to {high:.2f})"


def _quartiles(values: Sequence[float]) -> tuple[float, float, float]:
    if len(values) < 2:
        return (values[0],) * 3 if values else (float("nan"),) * 3
    low, middle, high = quantiles(values, n=4, method="inclusive")
    return low, middle, high


def in_pairs(ours: Callable[[], Took], bare: Callable[[], Took], pairs: int) -> Pairs:
    """Measure both so many times, in turn; each is done once before, and not counted."""
    ours(), bare()
    took: tuple[list[Took], list[Took]] = ([], [])
    for number in range(pairs):
        for which in (0, 1) if number % 2 else (1, 0):
            gc.collect()
            took[which].append((ours, bare)[which]())
    return Pairs(*took)


def least(act: Callable[[], object], times: int) -> float:
    """Return the median of the processor's seconds that `act` takes."""
    return median(timed(act).processor for _ in range(times))
