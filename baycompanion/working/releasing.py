"""Signing a trainee off and taking it back: the supervisor's word, asked before anything else."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime

from baycompanion.job.deciding.draft import Person
from baycompanion.job.deciding.releases import Release
from baycompanion.learning.standing_of import Standing
from baycompanion.learning.watched import Watched
from baycompanion.store.shelf import find_procedure
from baycompanion.store.shop import Shop
from baycompanion.store.staff.changes import (
    refuse_no_release,
    sign_off,
    supervisors,
    take_back,
)
from baycompanion.store.staff.releases import months_after, release_by, watched_by
from baycompanion.store.staff.standings import GivenUp, never, read_standings
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.problem import nearest


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a supervisor wants to sign."""

    who: str
    procedure: str
    job: str
    until: date | None = None
    """The last day; None for as long as the shop lets a release last."""
    words: str = ""
    """What they watched, where they stand nowhere in the job."""
    how: str = ""
    """How these words are given, where no form asks for them."""


@dataclass
class Releasing:
    """The releases of one shop; its staff file is read anew for each deed."""

    shop: Shop
    now: Callable[[], datetime]

    def named(self, by: str) -> str:
        """Return the id of the supervisor called `by`, who may look at what is known of people.

        Raises:
            StoreTrouble: It is nobody, retired, or no supervisor.
        """
        shop = self.shop.with_staff_of_now()
        person = shop.person(by)
        if person.role != "supervisor":  # before a PIN is looked at
            raise StoreTrouble(f"{person.id} is a {person.role}; this is for supervisors alone.")
        return person.id

    @property
    def without_pin(self) -> bool:
        """Whether some supervisor may look by id alone.

        Where the staff file cannot be read, nobody is held up before they are told so.
        """
        try:
            return self.shop.with_staff_of_now().believes_a_supervisor
        except StoreTrouble:
            return True

    def look(self, by: str, pin: str) -> str:
        """Return the id of the supervisor who may look; whoever has no PIN is believed by id.

        Raises:
            StoreTrouble: They may not, or it is not their PIN.
        """
        return self.shop.prove(self.named(by), pin, self.now()).id

    def standings(
        self, who: str | None = None, procedure: str | None = None, given_up: GivenUp = never
    ) -> list[Standing]:
        """Return how trainees stand: all of them, or the one of the id `who`; as `read_standings`.

        Raises:
            StoreTrouble: There is no such trainee or procedure, or a file cannot be read.
        """
        shop = self.shop.with_staff_of_now()
        name = self._trainee(shop, who).id if who is not None else None
        if procedure is not None:
            procedure = find_procedure(procedure, shop.procedures).stem
        return list(read_standings(shop, self.now(), name, procedure, given_up))

    def last_day(self) -> date:
        """Return the last day of a release that is signed today, where nobody names another."""
        return months_after(self.now().date(), self.shop.release_months)

    def able(self, by: str) -> str:
        """Return the id of the supervisor called `by`, who can change the staff.

        Raises:
            StoreTrouble: They have no PIN, so that their word is nobody's.
        """
        name, able = self.named(by), supervisors(self.shop.with_staff_of_now().members)
        if name not in able:
            told = nearest("", able) if able else f"First: baycompanion staff pin {name}."
            raise StoreTrouble(f"{name} has no PIN, and can sign nobody off. {told}")
        return name

    def ready(self, wanted: Wanted, by: str) -> tuple[Release, Watched]:
        """Return what `by` would sign; what is refused anyway is refused before a PIN is asked.

        Raises:
            StoreTrouble: The job bears no release, or nobody of that id is a trainee here.
            BadFile: The procedure has errors.
        """
        shop, by = self.shop.with_staff_of_now(), self.able(by)
        who = self._trainee(shop, wanted.who)
        day = self.now().date()
        release, seen = release_by(shop, who, wanted.procedure, wanted.job, wanted.until, by, day)
        return release, watched_by(seen, by, wanted.words, wanted.how)

    def sign(self, wanted: Wanted, by: str, pin: str) -> Release:
        """Sign somebody off, and return their release.

        Raises:
            StoreTrouble: As `ready`; or it is not the PIN of `by`.
            BadFile: The procedure has errors, or the staff file does not say what it should.
        """
        release, watched = self.ready(wanted, by)
        self.shop.prove(release.by, pin, self.now())
        who = self.shop.with_staff_of_now().person(wanted.who).id
        sign_off(self.shop.folder, who, release, watched, release.by, self.now())
        return release

    def take_back(self, who: str, procedure: str, by: str, pin: str) -> None:
        """Take the release for `procedure` back from `who`.

        Raises:
            StoreTrouble: There is none, or `by` may not, or it is not their PIN.
            BadFile: The staff file does not say what it should.
        """
        by, name = self.able(by), self.ready_to_take_back(who, procedure)
        self.shop.prove(by, pin, self.now())
        take_back(self.shop.folder, name, procedure, by, self.now())

    def ready_to_take_back(self, who: str, procedure: str) -> str:
        """Return the id of `who`, who has a release for `procedure`.

        Raises:
            StoreTrouble: There is nobody of that id, or no such release.
        """
        shop = self.shop.with_staff_of_now()
        name = shop.person(who).id
        refuse_no_release(shop.members[name], procedure)
        return name

    @staticmethod
    def _trainee(shop: Shop, name: str) -> Person:
        who = shop.person(name)
        if who.role != "trainee":
            raise StoreTrouble(
                f"{who.id} is a {who.role}, and needs no sign-off: it lets a trainee work without "
                f"a mentor. For others there is baycompanion staff release {who.id}."
            )
        return who
