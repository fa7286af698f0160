"""The staff file: who works in this shop, in which role, with which PIN, released for what."""

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from baycompanion.job.deciding.draft import Person
from baycompanion.job.deciding.releases import Release, release_for
from baycompanion.procedure.fields import Id, Line, Some
from baycompanion.store.reading import read_text
from baycompanion.store.staff.pins import is_kept_pin
from baycompanion.text.problem import BadFile, Problem
from baycompanion.text.to_model import Written, place_of, to_model, wrong
from baycompanion.text.yaml_nodes import Node, read_yaml

NAME = "staff.yaml"

FIRST_TEXT = """\
# The people of this shop: an id for each, no names. Roles: technician, trainee, supervisor.
# Replace these two with your own, here or with "baycompanion staff".
#
# Besides id and role, each may have
#   initials: JD
#   pin: …                  a hash; "baycompanion staff pin ID" asks for the PIN and writes it
#   released-for:           the procedures they may do; without this line, every one
#     - receiver-swap
#   fade-after: 5           a trainee's step is shortened after so many times right in a row
#   releases:               of a trainee: what they may do without a mentor, until which day;
#                           "baycompanion staff sign-off" writes it, and says so in the staff log
#   active: no              retired: the entry stays, so that old jobs can be read
staff:
  - id: T1
    role: technician
  - id: S1
    role: supervisor
"""
"""What stands in the staff file of a new shop."""


MOST_TIMES = 99
"""The largest number of times right in a row that may be asked for before a step is shortened."""


def _check_staff_id(text: str) -> str:
    if len(text) > 20 or not text.replace("-", "").isalnum() or not text.isascii():
        raise wrong(
            f"“{text[:30]}” is no staff id", "Write letters, digits and hyphens, 20 at most"
        )
    return text


def _check_pin(line: str) -> str:
    """Refuse what was not written by `hash_pin`; it may be a PIN, so it is not repeated."""
    if not is_kept_pin(line):
        instead = "Delete the line and type baycompanion staff pin, with the id"
        raise wrong("What stands here is not what is kept of a PIN", instead)
    return line


StaffId = Annotated[str, AfterValidator(_check_staff_id)]


class Member(Written):
    """One entry of the staff file."""

    id: StaffId
    role: Literal["technician", "trainee", "supervisor"]
    initials: Line | None = None
    pin: Annotated[str, AfterValidator(_check_pin)] | None = Field(default=None, repr=False)
    """What `hash_pin` made of the PIN; without one, the id alone is enough."""
    released_for: tuple[Id, ...] | None = None
    """The procedures that this person may do; None stands for every one."""
    fade_after: Annotated[int, Field(ge=0, le=MOST_TIMES)] | None = None
    """How many times right in a row shorten a step for this trainee, 0 for never; None stands for
    what the shop says."""
    releases: tuple[Release, ...] = ()
    """What a trainee may do without a mentor: one for each procedure."""
    active: bool = True
    """Whether this person still works here."""

    @property
    def person(self) -> Person:
        """The member as jobs know them."""
        return Person(self.id, self.role)

    def is_released_for(self, procedure: str) -> bool:
        """Return whether this person may do the procedure of that id."""
        return self.released_for is None or procedure in self.released_for

    def release(self, procedure: str) -> Release | None:
        """Return the release for the procedure of that id, in force or not."""
        return release_for(self.releases, procedure)


class Staff(Written):
    """The staff file."""

    staff: Annotated[tuple[Member, ...], Some]


def read_staff(path: Path) -> Mapping[str, Member]:
    """Return everybody in the staff file at `path` by id, the retired too, in their order.

    Raises:
        StoreTrouble: It cannot be read.
        BadFile: It does not say what it should.
    """
    return staff_in(read_text(path), str(path))


def staff_in(text: str, file: str) -> Mapping[str, Member]:
    """Return everybody in the `text` of a staff file; `file` names it in places.

    Raises:
        BadFile: It does not say what it should.
    """
    node = read_yaml(text, file)
    members = to_model(Staff, node).staff
    if problems := [*_alike(members, node), *_twice(members, node), *_nobody(members, node)]:
        raise BadFile(problems)
    return {member.id: member for member in members}


def _alike(members: tuple[Member, ...], node: Node) -> Iterator[Problem]:
    """Yield a problem for each id that stands twice, in whatever case."""
    known: set[str] = set()
    for number, member in enumerate(members):
        if member.id.casefold() in known:
            place = place_of(node, ("staff", number, "id"))
            yield Problem(place, f"“{member.id}” stands twice", "Give each an own id")
        known.add(member.id.casefold())


def _twice(members: tuple[Member, ...], node: Node) -> Iterator[Problem]:
    """Yield a problem for each release for a procedure that the same person has one for already."""
    for number, member in enumerate(members):
        known: set[str] = set()
        for place, release in enumerate(member.releases):
            if release.procedure in known:
                told = f"{member.id} has two releases for {release.procedure}"
                at = place_of(node, ("staff", number, "releases", place, "procedure"))
                yield Problem(at, told, "Keep the one that the staff log gives last")
            known.add(release.procedure)


def _nobody(members: tuple[Member, ...], node: Node) -> Iterator[Problem]:
    """Yield a problem where nobody works here any more."""
    if not any(member.active for member in members):
        place = place_of(node, ("staff",))
        yield Problem(place, "Nobody here is active", "Write active: yes for one of them")
