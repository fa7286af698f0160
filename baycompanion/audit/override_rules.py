"""Each override: by whom, why, how often by this person, and how often at this gate."""

from collections import Counter
from collections.abc import Iterator

from baycompanion.audit.findings import Finding, Rule
from baycompanion.audit.gate_counts import GateCounts
from baycompanion.audit.played import Played
from baycompanion.job.events import Overridden

OVERRIDDEN = Rule("gate-overridden", "serious")


class Overrides:
    """The overrides of all jobs: as many as there will be findings, and counts of people."""

    def __init__(self) -> None:
        """Begin with none."""
        self._all: list[tuple[str, tuple[str, int], int, str, Overridden]] = []
        self._jobs: Counter[str] = Counter()
        self._jobs_with: Counter[str] = Counter()

    def take(self, job: Played) -> None:
        """Take the overrides of `job`."""
        own = [
            (job.name, job.follows, event.seq, event.by, data)
            for event, data in job.all_of(Overridden)
        ]
        self._all += own
        self._jobs.update(job.people)
        self._jobs_with.update({by for _, _, _, by, _ in own})

    def findings(self, gates: GateCounts) -> Iterator[Finding]:
        """Yield a finding for each override; `gates` are those of the same jobs."""
        for job, follows, seq, by, data in self._all:
            gate = gates.of(*follows, data.gate)
            yield Finding(
                OVERRIDDEN,
                f"{by} as {data.role} opened the gate {gate.names}, without what it waits for. "
                f"The reason: “{data.reason}”. {_sentence(data.words)} Instead: "
                f"{_sentence(data.instead)} "
                f"This gate was opened so in {gate.overridden} of the {gate.reached} jobs that "
                f"reached it, and {by} opened one so in {self._jobs_with[by]} of "
                f"{self._jobs[by]} jobs. Does the gate fit this work, and did what stood in its "
                "place hold?",
                job,
                events=(seq,),
                about=gate.names,
            )


def _sentence(words: str) -> str:
    """Return what somebody typed with one stop at its end."""
    return f"{words.rstrip('. ')}."
