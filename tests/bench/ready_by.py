"""How often the time that 9 in 10 should keep was kept: a backtest that prints its figures.

    python tests/bench/ready_by.py [--jobs 400] [--seed 1]
    python tests/bench/ready_by.py --shop FOLDER --procedure ID
    python tests/bench/ready_by.py --chain FOLDER

Without a shop, the history is **invented**, and is made like this from the seed. Every job goes
through six phases of 10, 30, 25, 45, 20 and 15 min. A job has a pace, log-normal with sigma 0.20,
which stretches all its phases alike: whoever is slow in one is slow in the next. Each phase of each
job is stretched by a log-normal of its own, sigma 0.30. In 8 of 100 jobs a fault is hunted, which
adds 20 to 120 min to one phase. Nothing changes over time. With --shop, the jobs are those that the
shop has closed, in the order in which they ended, and their times are what they were. With --chain,
every shop of a demo chain is asked by its own jobs alone, and the answers are counted together.

Each job but the first ten is held out in turn, and asked about every 15 min of its work. Only the
jobs before it stand behind the answer, at most the newest 200. Its true end is what it then still
took. So a long job is asked about more often than a short one, as happens at a counter; the figure
at the start counts every job once.
"""

import argparse
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from random import Random

from baycompanion.demo_chain.plan import PROCEDURE
from baycompanion.job.record.past_job import PastJob as EndedJob
from baycompanion.spread.ready_by import FEWEST, LIKELY, SAFE, PastJob, Remaining, remaining
from baycompanion.store.job.past_times import MOST_KEPT, past_jobs

PHASES = (10, 30, 25, 45, 20, 15)
"""Minutes of the invented phases in the middle of their spread."""

EVERY = 15 * 60
"""Seconds of work between two questions."""

Times = tuple[int, ...]
"""The seconds worked in each phase of one job."""


def invented(jobs: int, seed: int) -> list[Times]:
    """Return the invented history that is described above."""
    chance = Random(seed)

    def job() -> Times:
        pace = chance.lognormvariate(0, 0.20)
        times = [60 * each * pace * chance.lognormvariate(0, 0.30) for each in PHASES]
        if chance.random() < 0.08:
            times[chance.randrange(len(times))] += 60 * chance.uniform(20, 120)
        return tuple(round(each) for each in times)

    return [job() for _ in range(jobs)]


def of_shop(folder: Path, procedure: str) -> list[Times]:
    """Return the times of a shop's closed jobs that went through the same phases as the newest."""
    read = [each for each in past_jobs(folder / "jobs") if isinstance(each, EndedJob)]
    closed = [each for each in read if each.whole and each.procedure.id == procedure]
    closed.sort(key=lambda each: each.ended_at or "")
    return [
        tuple(job.worked.values()) for job in closed if list(job.worked) == list(closed[-1].worked)
    ]


@dataclass
class Score:
    """What came of the questions: how many, and how many of the true ends lay inside."""

    asked: int = 0
    likely: int = 0
    safe_said: int = 0
    safe: int = 0
    behind: list[int] = field(default_factory=list)
    """The number of jobs behind each answer."""

    def count(self, said: Remaining, truth: int) -> None:
        """Hold one answer against the time that it really still took."""
        self.asked += 1
        self.behind.append(said.jobs)
        self.likely += truth <= said.likely
        if said.safe is not None:
            self.safe_said += 1
            self.safe += truth <= said.safe

    def add(self, other: "Score") -> None:
        """Count the answers of `other` too."""
        self.asked += other.asked
        self.likely += other.likely
        self.safe_said += other.safe_said
        self.safe += other.safe
        self.behind += other.behind

    def __str__(self) -> str:
        if not self.asked:
            return "never answered"
        behind = sorted(self.behind)[len(self.behind) // 2]
        safe = f"{_share(self.safe, self.safe_said)} inside the 9 in 10" if self.safe_said else "-"
        likely = f"{_share(self.likely, self.asked)} inside the likely"
        return f"{safe}, {likely}; {self.asked} answers, {behind} jobs behind the middle one"


def _share(part: int, whole: int) -> str:
    return f"{100 * part / whole:5.1f} %"


def questions(times: Times) -> Iterator[tuple[int, int, int]]:
    """Yield where a job is after every stretch of work: its phase, the time in it, what is left."""
    total = sum(times)
    for worked in range(0, total, EVERY):
        before = phase = 0
        while before + times[phase] <= worked:
            before += times[phase]
            phase += 1
        yield phase, worked - before, total - worked


def backtest(history: Sequence[Times]) -> tuple[dict[str, Score], Counter[str]]:
    """Return the scores by where the question was asked, and how often nothing was said."""
    scores: dict[str, Score] = {}
    silent: Counter[str] = Counter()
    for number in range(FEWEST, len(history)):
        before = history[max(0, number - MOST_KEPT) : number]
        for phase, spent, left in questions(history[number]):
            past = [PastJob(times[phase], sum(times[phase + 1 :])) for times in before]
            said = remaining(past, spent)
            start = phase == 0 and spent == 0
            places = [
                "all questions",
                *(["at the start"] if start else []),
                f"in phase {phase + 1}",
            ]
            for place in places:
                if isinstance(said, Remaining):
                    scores.setdefault(place, Score()).count(said, left)
                else:
                    silent[place] += 1
    return scores, silent


def main() -> None:
    """Print the backtest."""
    told = argparse.ArgumentParser(description="Backtest the time at which jobs are ready.")
    told.add_argument("--jobs", type=int, default=400)
    told.add_argument("--seed", type=int, default=1)
    told.add_argument("--shop", type=Path)
    told.add_argument("--chain", type=Path, help="a chain made by demo --chain")
    told.add_argument("--procedure", default="receiver-swap")
    asked = told.parse_args()
    histories, what = chosen(asked)
    jobs = sum(map(len, histories))
    held_out = sum(max(0, len(history) - FEWEST) for history in histories)
    print(f"{jobs} {what}; {held_out} held out, each against those before it.")  # noqa: T201
    print(f"Wanted: {100 * SAFE:.0f} % or more inside the 9 in 10, {100 * LIKELY:.0f} % or more")  # noqa: T201
    print("inside the likely, over jobs that are asked about at the same point.")  # noqa: T201
    scores: dict[str, Score] = {}
    silent: Counter[str] = Counter()
    for history in histories:
        own, quiet_there = backtest(history)
        silent.update(quiet_there)
        for place, score in own.items():
            scores.setdefault(place, Score()).add(score)
    for place in sorted(scores.keys() | silent.keys(), key=lambda each: (each[:2] != "al", each)):
        quiet = f"; {silent[place]} times nothing" if silent[place] else ""
        print(f"  {place:<14} {scores.get(place, Score())}{quiet}")  # noqa: T201


def chosen(asked: argparse.Namespace) -> tuple[list[list[Times]], str]:
    """Return the histories that were asked for, each of one shop, and what they are in words."""
    if asked.chain:
        shops = sorted(path for path in asked.chain.iterdir() if path.is_dir())
        histories = [of_shop(shop, PROCEDURE) for shop in shops]
        return histories, f"closed jobs in {len(shops)} shops of {asked.chain}"
    if asked.shop:
        return [of_shop(asked.shop, asked.procedure)], f"closed jobs in {asked.shop}"
    return [invented(asked.jobs, asked.seed)], f"invented jobs, seed {asked.seed}"


if __name__ == "__main__":
    main()
