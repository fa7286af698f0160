"""Reading how trainees stand: answers, practice, jobs and releases, of a whole shop at once."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import islice

from baycompanion.job.deciding.releases import why_not_in_force
from baycompanion.job.events.event import Event
from baycompanion.job.record.past_job import PastJob
from baycompanion.learning.drill.deck import Deck, make_deck
from baycompanion.learning.drill.recalls import Recalled
from baycompanion.learning.drill.schedule import DrillStanding, drill_standing
from baycompanion.learning.practice.summary import PracticeSummary
from baycompanion.learning.standing_of import (
    Standing,
    practice_standing,
    supervised_standing,
    times_of,
)
from baycompanion.learning.watched import Worked, worked
from baycompanion.procedure.model import Procedure
from baycompanion.store.job.folder import read_job
from baycompanion.store.job.past_times import MOST_LOOKED_AT, past_jobs
from baycompanion.store.practice import list_practice
from baycompanion.store.recalls import read_recalls
from baycompanion.store.shelf import list_procedures, read_procedure
from baycompanion.store.shop import Shop
from baycompanion.store.staff.staff import Member
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.problem import BadFile

GivenUp = Callable[[], bool]


def never() -> bool:
    """Return that nobody has given up."""
    return False


@dataclass(frozen=True, slots=True)
class _Known:
    """What is known of one trainee, whatever the procedure."""

    recalls: Sequence[Event]
    practice: Sequence[PracticeSummary]
    jobs: Sequence[Worked]
    """The newest first."""
    unread: tuple[str, ...]


def read_standings(
    shop: Shop,
    now: datetime,
    who: str | None = None,
    procedure: str | None = None,
    given_up: GivenUp = never,
) -> Iterator[Standing]:
    """Yield how each trainee stands with each procedure on the shelf, by the order of both.

    The heads of the newest records say who had a hand in which job; only those jobs are read whole.
    What cannot be read is said in the standing, and hinders nothing else.

    Args:
        shop: The shop; its staff file is read anew.
        now: The moment at which releases and cards are looked at.
        who: The id of the one trainee that is asked about; None for every one.
        procedure: The one procedure that is asked about; None for every one.
        given_up: Asked before each job and each standing.

    Raises:
        StoreTrouble: The staff file or the folder of jobs cannot be read.
    """
    shop = shop.with_staff_of_now()
    trainees = [each for each in shop.members.values() if each.active and each.role == "trainee"]
    past = list(_past(shop, given_up))
    shelf = _Shelf(shop)
    for member in trainees:
        if who is not None and member.id != who:
            continue
        known = _known_of(shop, member.id, past, given_up)
        for name in list_procedures(shop.procedures):
            if given_up():
                return
            if procedure in (None, name):
                yield _standing(shelf, member, known, past, name, now)


def _past(shop: Shop, given_up: GivenUp) -> Iterator[PastJob]:
    for past in islice(past_jobs(shop.jobs), MOST_LOOKED_AT):
        if given_up():
            return
        if isinstance(past, PastJob):
            yield past


def _known_of(shop: Shop, who: str, past: Sequence[PastJob], given_up: GivenUp) -> _Known:
    unread: list[str] = []
    recalls: Sequence[Event] = ()
    try:
        recalls = read_recalls(shop.folder, who)
    except StoreTrouble as trouble:
        unread.append(str(trouble))
    jobs = []
    for each in past:
        if given_up():
            break
        if who not in each.people:
            continue
        try:
            job = read_job(shop.jobs / each.job)
        except (StoreTrouble, BadFile) as trouble:
            unread.append(str(trouble).splitlines()[0])
            continue
        jobs.append(worked(job.procedure, job.state, job.events, who))
    return _Known(recalls, list_practice(shop.folder, who), jobs, tuple(unread))


class _Shelf:
    """The procedures on the shelf, each read once, and its questions made once they are needed."""

    def __init__(self, shop: Shop) -> None:
        self._paths = list_procedures(shop.procedures)
        self._read: dict[str, Procedure | str] = {}
        self._decks: dict[str, Deck] = {}

    def read(self, name: str) -> Procedure | str:
        """Return the procedure, or why it cannot be read."""
        if name not in self._read:
            try:
                self._read[name] = read_procedure(self._paths[name]).procedure
            except (StoreTrouble, BadFile) as trouble:
                self._read[name] = str(trouble).splitlines()[0]
        return self._read[name]

    def drill(self, procedure: Procedure, recalls: Sequence[Event], now: datetime) -> DrillStanding:
        """Return how whoever gave `recalls` stands with the questions of `procedure`."""
        name = procedure.procedure
        if name not in self._decks:
            self._decks[name] = make_deck(procedure)
        return drill_standing(self._decks[name], recalls, now)


def _standing(
    shelf: _Shelf,
    member: Member,
    known: _Known,
    past: Sequence[PastJob],
    name: str,
    now: datetime,
) -> Standing:
    read = shelf.read(name)
    procedure = read if isinstance(read, Procedure) else None
    supervised = supervised_standing(known.jobs, name)
    not_in_force = str(read)
    drill = None
    if procedure is not None:
        revision, day = procedure.revision, now.date()
        not_in_force = why_not_in_force(member.releases, name, revision, day)
        if any(_is_about(event, name) for event in known.recalls):
            drill = shelf.drill(procedure, known.recalls, now)
    return Standing(
        who=member.id,
        procedure=name,
        title=procedure.title if procedure is not None else name,
        revision=procedure.revision if procedure is not None else None,
        drill=drill,
        practice=practice_standing(known.practice, name),
        supervised=supervised,
        times=times_of(member.id, name, supervised, past),
        release=member.release(name),
        not_in_force=not_in_force,
        unread=known.unread,
    )


def _is_about(event: Event, procedure: str) -> bool:
    return isinstance(event.data, Recalled) and event.data.procedure == procedure
