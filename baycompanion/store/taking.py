"""Who may take the keys: released for the procedure, and beside a mentor while they learn."""

from baycompanion.job.draft import Person
from baycompanion.job.mentoring import why_no_mentor
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble


def take_keys(shop: Shop, who: Person, procedure: str, mentor: str) -> str | None:
    """Return the id of the mentor beside `who`, None where there is none and none is needed.

    Raises:
        StoreTrouble: `who` may not take a job by `procedure`, or `mentor` is no mentor.
    """
    why_not = why_no_mentor(shop.staff, who.id, mentor)
    if why_not:
        raise StoreTrouble(why_not)
    if who.role != "trainee" and not shop.members[who.id].is_released_for(procedure):
        raise StoreTrouble(
            f"{who.id} is not released for {procedure}. "
            f"A supervisor can do that: baycompanion staff release {who.id} {procedure}"
        )
    return shop.person(mentor).id if mentor else None
