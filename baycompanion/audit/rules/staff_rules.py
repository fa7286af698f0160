"""People against the staff file as it is now: retired, not on it, not released; and wrong PINs."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from baycompanion.audit.findings import Finding, Rule
from baycompanion.audit.rules.played import Played
from baycompanion.job.events.hands_kinds import PinRefused
from baycompanion.job.events.kinds import Answered, Overridden, Ticked
from baycompanion.store.staff.staff import Member
from baycompanion.text.counted import counted

NOT_ON_STAFF = Rule("not-on-staff", "minor", people=True)
UNRELEASED = Rule("not-released-for-procedure", "minor", people=True)
WRONG_PINS = Rule("wrong-pins-in-a-row", "serious", people=True)

IN_A_ROW = 3
"""So many wrong PINs in a row are told. Own choice: two are a slip of a finger, and one more."""

_NOW = "staff.yaml is read as it is now and does not say since when."


def wrong_pins(job: Played) -> Iterator[Finding]:
    """Yield for whom wrong PINs were given in a row while `job` was in hand."""
    people = dict.fromkeys(data.who for _, data in job.all_of(PinRefused))
    for who in people:
        tries = [(event.seq, data) for event, data in job.all_of(PinRefused) if data.who == who]
        most = max(data.tries for _, data in tries)
        if most >= IN_A_ROW:
            yield Finding(
                WRONG_PINS,
                f"Up to {most} wrong PINs in a row were given for {who}; from {IN_A_ROW} on it is "
                "told. Was the PIN forgotten, or did somebody else try?",
                job.name,
                events=tuple(seq for seq, _ in tries),
                about=who,
            )


@dataclass(frozen=True, slots=True)
class OwnWork:
    """What one person did in one job."""

    by: str
    events: tuple[int, ...]
    last_at: str
    """When they did the last of it."""


def work_of_each(job: Played) -> Iterator[OwnWork]:
    """Yield who answered something in `job` or opened a gate."""
    seen: dict[str, list[int]] = {}
    done = (*job.all_of(Answered), *job.all_of(Ticked), *job.all_of(Overridden))
    for seq, by in sorted((event.seq, event.by) for event, _ in done):
        seen.setdefault(by, []).append(seq)
    for by, events in seen.items():
        yield OwnWork(by, tuple(events), job.events[events[-1] - 1].at)


@dataclass(slots=True)
class _Worked:
    """In how many jobs somebody worked by one procedure, and the newest of them."""

    jobs: int = 0
    newest_at: str = ""
    job: str = ""
    events: tuple[int, ...] = ()


class People:
    """Who worked by which procedure: as many counts as there are people and procedures."""

    def __init__(self, members: Mapping[str, Member] | None) -> None:
        """Hold people against `members`; where there is no staff file, nothing is asked."""
        self._members = members
        self._worked: dict[tuple[str, str], _Worked] = {}

    def take(self, job: str, procedure: str, work: Iterable[OwnWork]) -> None:
        """Count who did something in the job called `job`, by which procedure."""
        for own in work:
            worked = self._worked.setdefault((own.by, procedure), _Worked())
            worked.jobs += 1
            if own.last_at >= worked.newest_at:
                worked.newest_at, worked.job, worked.events = own.last_at, job, own.events

    def findings(self) -> Iterator[Finding]:
        """Yield a finding for each person, and for each procedure they are not released for."""
        if self._members is None:
            return
        for by in sorted({by for by, _ in self._worked}):
            member = self._members.get(by)
            if member is None or not member.active:
                yield self._gone(by, "does not stand" if member is None else "is retired")
        for (by, procedure), worked in sorted(self._worked.items()):
            member = self._members.get(by)
            learns = member is not None and member.role == "trainee"  # beside a mentor
            if member is None or not member.active or learns:
                continue
            if not member.is_released_for(procedure):
                told = (
                    f"{by} worked in {counted(worked.jobs, 'job')} by {procedure}, the newest of "
                    f"them this one, and is not released for it. {_NOW} Were they released then, "
                    "and should they be?"
                )
                about = f"{by} by {procedure}"
                yield Finding(UNRELEASED, told, worked.job, events=worked.events, about=about)

    def _gone(self, by: str, how: str) -> Finding:
        own = [worked for (who, _), worked in self._worked.items() if who == by]
        newest = max(own, key=lambda worked: worked.newest_at)
        told = (
            f"{by} worked in {counted(sum(each.jobs for each in own), 'job')}, the newest of them "
            f"this one on {newest.newest_at[:10]}, and {how} in the staff file. {_NOW} Was it "
            f"really {by}, and did they still work here?"
        )
        return Finding(NOT_ON_STAFF, told, newest.job, events=newest.events, about=by)
