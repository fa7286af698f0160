"""When a running job will be ready, from how long past jobs still took at the same point."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf

from baycompanion.spread.quantiles import rank_within
from baycompanion.spread.silence import Silence, too_few

FEWEST = 10
"""The fewest past jobs from which a time is given."""

FEWEST_OUTLASTING = 3
"""The fewest of them that must have been in the phase as long as the running job has by now."""

LIKELY, SAFE = 0.5, 0.9
"""The shares of jobs that are ready by the two times given: 1 in 2, and 9 in 10."""


@dataclass(frozen=True)
class PastJob:
    """How long a past job was in the phase that the running job is in, and in all that followed.

    Both are 0 or more, in one unit of time, the same for all jobs.
    """

    phase: float
    later: float


@dataclass(frozen=True)
class Remaining:
    """How much longer it takes: 1 job in 2 is ready within `likely`, 9 in 10 within `safe`.

    Both are in the unit of the past jobs, and 0 or more. They come from the `jobs` that were in
    the phase as long as the running one, out of the `past` jobs looked at. `safe` is None where
    these are too few (below 9) to promise so much.
    """

    likely: float
    safe: float | None
    jobs: int
    past: int


def remaining(past: Sequence[PastJob], spent: float) -> Remaining | Silence:
    """Return how much longer a job takes that has `spent` so long in its current phase.

    Only past jobs that were at least as long in this phase can say how long the rest of it takes.
    What each of them still took from there, the phase and all that followed, is one past value;
    the two times are the values that a further job stays within (`quantiles.rank_within`). If the
    running job is one more of the same kind, asked about at a time that does not depend on how it
    goes, at least 1 in 2 and 9 in 10 are ready by then, whatever the distribution. Whole jobs are
    taken, not one phase of this job and the next of that, since a job that is slow in one phase
    is often slow in the next.

    Args:
        past: Finished jobs that followed the same phases.
        spent: The time in the current phase so far, 0 or more; 0 for a phase not begun.

    Returns:
        The two times; or silence where there are fewer than `FEWEST` past jobs, or fewer than
        `FEWEST_OUTLASTING` that were in the phase so long.

    Raises:
        ValueError: A time is below 0, or no number.
    """
    _check(past, spent)
    rests = sorted(job.phase - spent + job.later for job in past if job.phase >= spent)
    silence = too_few(len(past), FEWEST) or too_few(len(rests), FEWEST_OUTLASTING)
    if silence:
        return silence
    likely = rests[rank_within(len(rests), LIKELY) - 1]
    safe_rank = rank_within(len(rests), SAFE)
    safe = rests[safe_rank - 1] if safe_rank <= len(rests) else None
    return Remaining(likely, safe, len(rests), len(past))


def _check(past: Sequence[PastJob], spent: float) -> None:
    if not 0 <= spent < inf:
        raise ValueError(f"The time spent is {spent}, and must be a number, 0 or more")
    for job in past:
        if not (0 <= job.phase < inf and 0 <= job.later < inf):
            raise ValueError(f"{job} holds a time that is no number, 0 or more")
