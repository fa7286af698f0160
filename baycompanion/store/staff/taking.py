"""Who may take the keys: released for the procedure, and beside a mentor while they learn."""

from datetime import date

from baycompanion.job.deciding.draft import Person
from baycompanion.job.deciding.mentoring import NAME_ONE, why_no_mentor
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble

Follows = tuple[str, int]
"""The id and the revision of the procedure of a job."""


def take_keys(
    shop: Shop,
    who: Person,
    follows: Follows,
    mentor: str,
    day: date,
    name_one: str = NAME_ONE,
) -> str | None:
    """Return the id of the mentor beside `who`, None where there is none and none is needed.

    The staff file is read anew: a release counts, or counts no more, from the moment it was signed.

    Args:
        shop: The shop.
        who: Whoever takes the keys.
        follows: The procedure of the job, and its revision.
        mentor: The id of whoever stands beside; empty where nobody was named.
        day: Today, on which a release is in force or not.
        name_one: How a mentor is named, told to a trainee who needs one and named nobody.

    Raises:
        StoreTrouble: `who` may not take such a job, `mentor` is no mentor, or the staff file
            cannot be read.
    """
    shop = shop.with_staff_of_now()
    procedure, revision = follows
    who = shop.person(who.id)
    not_released = shop.lists.why_beside(who.id, procedure, revision, day)
    why_not = why_no_mentor(shop.staff, who.id, mentor, not_released, name_one)
    if why_not:
        raise StoreTrouble(why_not)
    if who.role != "trainee" and not shop.members[who.id].is_released_for(procedure):
        raise StoreTrouble(
            f"{who.id} is not released for {procedure}. "
            f"A supervisor can do that: baycompanion staff release {who.id} {procedure}"
        )
    return shop.person(mentor).id if mentor else None


def why_not_alone(shop: Shop, who: Person, follows: Follows, day: date) -> str:
    """Return why the trainee `who` may not work alone on `day`; empty where they may.

    Raises:
        StoreTrouble: The staff file cannot be read.
    """
    return shop.with_staff_of_now().lists.why_beside(who.id, *follows, day)
