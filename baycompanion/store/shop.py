"""The shop folder: what it holds, and who is who in it."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from baycompanion.job.deciding.draft import Person
from baycompanion.store.durable import write_whole
from baycompanion.store.settings import FADE_AFTER, SETTINGS, own_figures, read_settings
from baycompanion.store.settings import FIRST_TEXT as FIRST_SETTINGS
from baycompanion.store.shop_place import VARIABLE
from baycompanion.store.staff.staff import FIRST_TEXT as FIRST_STAFF
from baycompanion.store.staff.staff import NAME as STAFF
from baycompanion.store.staff.staff import Member, read_staff
from baycompanion.store.trouble import StoreTrouble, because
from baycompanion.text.clean import clean_line
from baycompanion.text.problem import BadFile, nearest, quoted
from baycompanion.trade.figures import Figures

if TYPE_CHECKING:  # a list of jobs holds nothing against them, and has no PIN to try
    from baycompanion.job.deciding.shop_lists import ShopLists

WRONG_FOR_VEHICLE = "this gate does not fit this vehicle"
"""The override reason that goes back to whoever wrote the procedure; no shop can leave it out."""


@dataclass(frozen=True, slots=True)
class Shop:
    """One shop folder, with its settings and staff as they were read."""

    folder: Path
    name: str
    reasons: tuple[str, ...]
    """Reasons for an override, the one about the vehicle first."""
    watched: Path | None
    """The folder in which new pictures appear."""
    members: Mapping[str, Member]
    """Everybody in the staff file by id, those who are retired too."""
    caps: tuple[str, ...]
    """The splice caps on the shelf, each as the sum `splice` takes it: `grey 1500-6500`."""
    figures: Figures
    """What the shop gives to sums by itself: its caps, and the region of its radios."""
    lock_after: int = 10
    """Minutes without a key after which a job locks, where its technician has a PIN."""
    release_months: int = 12
    """Months that a release lasts where no day is named. Own choice: a year."""
    warranty: tuple[str, ...] = ()
    """What the shop promises, as it stands on every hand-over sheet."""
    fade_after: int = FADE_AFTER
    """How many times right in a row shorten a trainee's step, 0 for never."""

    @property
    def staff(self) -> Mapping[str, Person]:
        """Those who work here, by id."""
        return {member.id: member.person for member in self.members.values() if member.active}

    @property
    def believes_a_supervisor(self) -> bool:
        """Whether some supervisor who works here has no PIN, so that their id alone is enough."""
        return any(
            member.active and member.role == "supervisor" and member.pin is None
            for member in self.members.values()
        )

    @property
    def lists(self) -> "ShopLists":
        """The lists that a job is held against."""
        from baycompanion.job.deciding.shop_lists import ShopLists

        releases = {member.id: member.releases for member in self.members.values()}
        return ShopLists(self.staff, self.reasons, releases)

    @property
    def jobs(self) -> Path:
        """The folder that holds a folder for each job."""
        return self.folder / "jobs"

    @property
    def connectors(self) -> Path:
        """The folder of the shop's connector files."""
        return self.folder / "connectors"

    @property
    def procedures(self) -> Path:
        """The folder of the shop's own procedures."""
        return self.folder / "procedures"

    def person(self, name: str) -> Person:
        """Return the member of the staff whose id is `name`, whatever its case.

        Raises:
            StoreTrouble: There is nobody of that id, or they are retired.
        """
        member = self._member(name)
        if not member.active:
            raise StoreTrouble(
                f"{member.id} is retired, says {self.folder / STAFF}. {nearest('', self.staff)}"
            )
        return member.person

    def known(self, name: str) -> Person:
        """Return whoever has or had the id `name`: somebody retired may still have a job open.

        Raises:
            StoreTrouble: There was never anybody of that id.
        """
        return self._member(name).person

    def fade_after_for(self, name: str) -> int:
        """Return how many times right in a row shorten a step for the member `name`, 0 for never.

        Raises:
            StoreTrouble: There was never anybody of that id.
        """
        own = self._member(name).fade_after
        return self.fade_after if own is None else own

    def prove(self, name: str, pin: str, now: datetime) -> Person:
        """Return the member of the staff whose id is `name`, if `pin` is theirs.

        Whoever has no PIN in the staff file is believed by id alone. The file is read anew: who
        retired or has a new PIN since a terminal was switched on is known at all of them.

        Raises:
            WrongPin: It is not their PIN, or a wait after wrong ones is not over (`TooSoon`).
            StoreTrouble: There is nobody of that id, they are retired, or a file cannot be read.
        """
        shop = self.with_staff_of_now()
        person = shop.person(name)
        kept = shop.members[person.id].pin
        if kept is not None and not pin.strip():
            raise StoreTrouble(f"{person.id} has a PIN. Type it, too.")
        if kept is not None:
            self._try(person.id, pin.strip(), kept, now)
        return replace(person, signed="pin" if kept is not None else None)

    def with_staff_of_now(self) -> "Shop":
        """Return the shop with its staff file read anew: another terminal may have changed it.

        Raises:
            StoreTrouble: The file cannot be read, or does not say what it should.
        """
        try:
            return replace(self, members=read_staff(self.folder / STAFF))
        except BadFile as bad:
            raise StoreTrouble(str(bad.problems[0])) from None

    def _try(self, who: str, pin: str, kept: str, now: datetime) -> None:
        """Hold `pin` against the line `kept`; a wrong one stands in the log of the staff."""
        from baycompanion.store.staff.pin_tries import TooSoon, WrongPin, try_pin
        from baycompanion.store.staff.staff_log import NAME, PinRefused, log_change

        try:
            try_pin(self.folder, who, pin, kept, now)
        except TooSoon:  # not looked at, so neither right nor wrong
            raise
        except WrongPin as wrong:
            refused = PinRefused(who=who, tries=wrong.tries)
            log_change(self.folder / NAME, refused, who, now)
            raise

    def _member(self, name: str) -> Member:
        for member in self.members.values():
            if member.id.casefold() == name.strip().casefold():
                return member
        said = quoted(clean_line(name))
        raise StoreTrouble(f"{said} is not on the staff of this shop. {nearest(name, self.staff)}")


def open_shop(folder: Path) -> Shop:
    """Return the shop in `folder`, which is made with first files if it is not there.

    Raises:
        StoreTrouble: The folder or a file in it cannot be made or read.
        BadFile: shop.yaml or staff.yaml does not say what it should.
    """
    _make(folder)
    settings = read_settings(folder)
    reasons: dict[str, str] = {}  # each once, as it is written first
    for reason in (WRONG_FOR_VEHICLE, *settings.reasons):
        reasons.setdefault(reason.casefold(), reason)
    return Shop(
        folder=folder,
        name=settings.name,
        reasons=tuple(reasons.values()),
        watched=folder / settings.photos if settings.photos else None,
        members=read_staff(folder / STAFF),
        caps=settings.caps,
        figures=own_figures(settings),
        lock_after=settings.lock_after,
        release_months=settings.release_months,
        warranty=settings.warranty,
        fade_after=settings.fade_after,
    )


def holds_shop(folder: Path) -> bool:
    """Return whether something of a shop lies in `folder`, or it says itself why it cannot."""
    try:
        parts = [folder / name for name in (SETTINGS, STAFF, "jobs")]
        return (folder.exists() and not folder.is_dir()) or any(part.exists() for part in parts)
    except OSError:  # closed to us, or no name that a folder can have
        return True


def _why_not(error: OSError) -> str:
    """Return what keeps a folder from being made; that something is there says too little."""
    if not isinstance(error, FileExistsError):
        return because(error)
    there = Path(error.filename)
    return f"{there} is a {'link that leads nowhere' if there.is_symlink() else 'file'}"


def _make(folder: Path) -> None:
    """Make the folder and the files it begins with, where they are missing."""
    try:
        for part in (folder, folder / "jobs", folder / "procedures"):
            part.mkdir(parents=True, exist_ok=True)
        for name, text in ((SETTINGS, FIRST_SETTINGS), (STAFF, FIRST_STAFF)):
            if not (folder / name).exists():
                write_whole(folder / name, text.encode())
    except (OSError, ValueError) as error:  # a NUL in the name is a ValueError
        why = _why_not(error) if isinstance(error, OSError) else "it is no file name"
        raise StoreTrouble(
            f"The shop folder {folder} cannot be made: {why}. "
            f"Choose another with --shop or {VARIABLE}."
        ) from None
