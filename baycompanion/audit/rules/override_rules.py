"""Each override: by whom, why, how often by this person, and how often at this gate."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from baycompanion.audit.findings import Finding, Rule
from baycompanion.audit.rules.gate_counts import GateCounts
from baycompanion.audit.rules.played import Played
from baycompanion.job.events.kinds import Overridden
from baycompanion.text.sentence import sentence

OVERRIDDEN = Rule("gate-overridden", "serious")


@dataclass(frozen=True, slots=True)
class OneOverride:
    """One gate that was opened without what it waits for."""

    event: int
    by: str
    role: str
    gate: str
    reason: str
    words: str
    instead: str


def overrides_of(job: Played) -> Iterator[OneOverride]:
    """Yield the overrides of `job`."""
    for event, data in job.all_of(Overridden):
        said = (data.role, data.gate, data.reason, data.words, data.instead)
        yield OneOverride(event.seq, event.by, *said)


class Overrides:
    """The overrides of all jobs: as many as there will be findings, and counts of people."""

    def __init__(self) -> None:
        """Begin with none."""
        self._all: list[tuple[str, tuple[str, int], OneOverride]] = []
        self._jobs: Counter[str] = Counter()
        self._jobs_with: Counter[str] = Counter()

    def take(
        self, job: str, follows: tuple[str, int], people: Iterable[str], own: Sequence[OneOverride]
    ) -> None:
        """Take the overrides of the job called `job`, and who did something in it."""
        self._all += [(job, follows, each) for each in own]
        self._jobs.update(people)
        self._jobs_with.update({each.by for each in own})

    def findings(self, gates: GateCounts) -> Iterator[Finding]:
        """Yield a finding for each override; `gates` are those of the same jobs."""
        for job, follows, each in self._all:
            gate = gates.of(*follows, each.gate)
            yield Finding(
                OVERRIDDEN,
                f"{each.by} as {each.role} opened the gate {gate.names}, without what it waits "
                f"for. The reason: “{each.reason}”. {sentence(each.words)} Instead: "
                f"{sentence(each.instead)} "
                f"This gate was opened so in {gate.overridden} of the {gate.reached} jobs that "
                f"reached it, and {each.by} opened one so in {self._jobs_with[each.by]} of "
                f"{self._jobs[each.by]} jobs. Does the gate fit this work, and did what stood in "
                "its place hold?",
                job,
                events=(each.event,),
                about=gate.names,
            )
