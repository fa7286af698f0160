"""How a trainee stands with a procedure: what a supervisor looks at before they sign, no score."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from statistics import median
from typing import Any

from baycompanion.job.deciding.releases import Release
from baycompanion.job.record.past_job import PastJob
from baycompanion.learning.drill.schedule import DrillStanding
from baycompanion.learning.practice.summary import PracticeSummary
from baycompanion.learning.watched import Worked
from baycompanion.spread.quantiles import quantile
from baycompanion.spread.silence import Silence, too_few

FEWEST_OTHERS = 8
"""Jobs of others from which on times are compared. Own choice: a quartile then has two jobs on its
one side, so that no single job makes it."""


@dataclass(frozen=True, slots=True)
class PracticeStanding:
    """What came of practice."""

    jobs: int
    ended: int
    """Those of them that were walked to their end; only of these anything is counted."""
    planted: int
    caught: int
    slipped: tuple[str, ...]
    """The planted faults that slipped through, by name, those of the newest practice first."""


@dataclass(frozen=True, slots=True)
class SupervisedStanding:
    """What real jobs tell: closed ones in which most of the work was theirs."""

    jobs: tuple[str, ...]
    """Those beside a mentor or witnessed, by name, the newest first."""
    by_revision: Mapping[int, int]
    """How many of them followed which revision, the newest revision first."""
    alone: int
    """Jobs that nobody watched."""
    faults: int
    """Faults of the work, in the watched ones."""
    overridden: tuple[str, ...]
    """Gates that were overridden in them, once for each job."""


@dataclass(frozen=True, slots=True)
class PhaseAgainst:
    """The time of one phase against that of others, in seconds."""

    phase: str
    own: float
    """The middle of their own jobs."""
    lower: float
    middle: float
    upper: float
    """The quartiles of the others' jobs."""


@dataclass(frozen=True, slots=True)
class Times:
    """The times of each phase, by one revision."""

    revision: int
    own: int
    """Their own jobs by it that were watched."""
    others: int
    """Closed jobs by it in which they had no hand."""
    phases: tuple[PhaseAgainst, ...]
    """Empty where others have too few."""
    silence: Silence | None = None
    """Why nothing is compared."""


@dataclass(frozen=True, slots=True)
class Standing:
    """How one trainee stands with one procedure."""

    who: str
    procedure: str
    title: str
    revision: int | None
    """The revision on the shelf; None where it cannot be read."""
    drill: DrillStanding | None
    """None where nothing was answered yet, or the answers cannot be read."""
    practice: PracticeStanding
    supervised: SupervisedStanding
    times: Times | None
    """None where no watched job tells of any."""
    release: Release | None
    not_in_force: str
    """Why no release is in force, in words; empty where one is."""
    unread: tuple[str, ...] = ()
    """What could not be read, in sentences."""

    @property
    def begun(self) -> bool:
        """Whether there is anything to look at."""
        jobs = self.supervised.jobs or self.supervised.alone
        return bool(self.drill or self.practice.jobs or jobs or self.release or self.unread)

    def as_dict(self) -> dict[str, Any]:
        """Return what programs read."""
        whole = asdict(self)
        whole["release"] = self.release and self.release.model_dump(mode="json")
        whole["in_force"] = not self.not_in_force
        return whole


def practice_standing(practice: Sequence[PracticeSummary], procedure: str) -> PracticeStanding:
    """Return what came of the practice of `procedure`; `practice` has the newest first."""
    own = [each for each in practice if each.procedure == procedure]
    ended = [each for each in own if each.ended_at is not None]
    planted = [outcome for each in ended for outcome in each.planted]
    slipped = [outcome.name for outcome in planted if outcome.caught_at is None]
    return PracticeStanding(
        jobs=len(own),
        ended=len(ended),
        planted=len(planted),
        caught=len(planted) - len(slipped),
        slipped=tuple(dict.fromkeys(slipped)),
    )


def supervised_standing(jobs: Sequence[Worked], procedure: str) -> SupervisedStanding:
    """Return what `jobs`, the newest first, tell of work by `procedure`."""
    own = [each for each in jobs if each.procedure == procedure and each.closed and each.did_it]
    watched = [each for each in own if each.supervised]
    revisions = sorted({each.revision for each in watched}, reverse=True)
    return SupervisedStanding(
        jobs=tuple(each.job for each in watched),
        by_revision={each: sum(job.revision == each for job in watched) for each in revisions},
        alone=len(own) - len(watched),
        faults=sum(each.faults for each in watched),
        overridden=tuple(gate for each in watched for gate in each.overridden),
    )


def times_of(
    who: str, procedure: str, supervised: SupervisedStanding, past: Iterable[PastJob]
) -> Times | None:
    """Return the time of each phase in the watched jobs by their newest revision, against others'.

    Only whole times count: of closed jobs, none of them below 0. With fewer than `FEWEST_OTHERS`
    jobs of others nothing is compared.
    """
    if not supervised.by_revision:
        return None
    revision = next(iter(supervised.by_revision))
    same = [
        each
        for each in past
        if each.whole and (each.procedure.id, each.procedure.revision) == (procedure, revision)
    ]
    own = [each.worked for each in same if each.job in supervised.jobs]
    others = [each.worked for each in same if who not in each.people]
    silence = too_few(len(others), FEWEST_OTHERS)
    phases = () if silence or not own else tuple(_against(own, others))
    return Times(revision, len(own), len(others), phases, silence)


def _against(
    own: Sequence[Mapping[str, int]], others: Sequence[Mapping[str, int]]
) -> Iterable[PhaseAgainst]:
    """Yield each phase that they and enough of the others came to, in its order."""
    for phase in dict.fromkeys(phase for each in own for phase in each):
        there = [each[phase] for each in others if phase in each]
        if len(there) < FEWEST_OTHERS:
            continue
        yield PhaseAgainst(
            phase=phase,
            own=median(each[phase] for each in own if phase in each),
            lower=quantile(there, 0.25),
            middle=quantile(there, 0.5),
            upper=quantile(there, 0.75),
        )
