"""What is planted in each shop of a chain: the kinds of plant, their room, and the calendar."""

from collections import deque
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

from baycompanion.demo_chain.ledger_plants import LEDGER
from baycompanion.demo_chain.log_plants import LOGS
from baycompanion.demo_chain.people import shop_name
from baycompanion.demo_chain.tampering import TAMPERING
from baycompanion.demo_chain.working_plants import WORKING

PROCEDURE = "cabin-light"
FIRST_DAY = date(2026, 1, 5)
"""The Monday on which every shop begins."""
STARTS = (8 * 60, 10 * 60 + 20, 13 * 60 + 30, 15 * 60 + 40)
"""Minutes after midnight, UTC, at which the keys of a day's jobs come in."""

OTHERS = ("older-revision", "record-behind")
"""Plants that are neither one course of the work nor one change of the files."""
KINDS = (*WORKING, *TAMPERING, *OTHERS)
"""The rules that are planted job by job."""

WHOLE_SHOP = {
    "readings-repeat": 45,
    "readings-just-inside-limit": 40,
    "readings-all-nominal": 45,
    "gate-often-overridden": 20,
    "gate-overridden-more-and-more": 60,
}
"""Habits planted in a whole shop, by their rules, each with the fewest jobs that show it."""

STAFF_RULES = ("not-on-staff", "not-released-for-procedure")
RELEASE_RULES = ("release-not-in-log", "release-not-watched")
ALL_RULES = (*KINDS, *WHOLE_SHOP, *STAFF_RULES, *RELEASE_RULES, *LEDGER, *LOGS)
"""Every rule that something is planted for."""

NEVER_PLANTED = {
    "worked-after-release": "it takes a job of some days, and those of a chain last hours",
    "changed-behind-the-stamp": "it takes an audit before the change, and a thorough one after it",
    "came-back-for-our-work": "it takes a second job on the same vehicle, and a chain has none",
    "practice-among-jobs": "it is a folder that was copied in, and changes no job",
}
"""Rules of the audit that nothing is planted for, each with the reason."""

FEWEST = {"phase-unusually-fast": 30, "could-not-test-more-than-usual": 15, "older-revision": 4}
"""The fewest jobs of a shop in which a plant can be told from the others."""

STEADY = "12.60"
"""The reading of the battery that one person writes down again and again, by habit."""

NOMINAL = "13.00"
"""The middle of the limits of the supply, which no honest meter shows here."""

HABIT = {
    "readings-repeat": (0.95, 0.5),
    "readings-just-inside-limit": (0.5, 0.12),
    "readings-all-nominal": (0.97, 0.5),
    "gate-often-overridden": (0.5, 0.12),
    "gate-overridden-more-and-more": (0.7, 0.12),
}
"""The share of jobs that show a habit, and one of which little shows."""

GATE = "ground-proved"
ABOUT_GATES = ("gate-often-overridden", "gate-overridden-more-and-more")
"""Habits in which this gate is overridden."""

GROWING = ("gate-overridden-more-and-more",)
"""Habits that only the later half of the jobs show."""


@dataclass(slots=True)
class ShopPlan:
    """What is planted in one shop as a whole."""

    number: int
    """Counted from 0."""
    jobs: int
    seed: int
    every: int
    """One job in so many carries a plant."""
    kinds: deque[str]
    """The plants of single jobs, in the order in which they get their turn."""
    ledger: str = ""
    log: str = ""
    habit: str = ""
    faint: bool = False
    """Whether little shows the habit."""
    honest: bool = False

    @property
    def name(self) -> str:
        """The name of its folder."""
        return shop_name(self.number)

    @property
    def until(self) -> datetime:
        """A moment after all of its jobs: nothing happens later."""
        day = day_of(self.jobs // len(STARTS)) + timedelta(days=7)
        return datetime(day.year, day.month, day.day, 17, tzinfo=UTC)


def day_of(number: int) -> date:
    """Return the working day of that number, counted from 0."""
    return FIRST_DAY + timedelta(days=number + number // 5 * 2)
