"""Who stands beside whoever has the job: a trainee never works alone."""

from collections.abc import Mapping

from baycompanion.job.deciding.draft import Person
from baycompanion.text.clean import clean_line
from baycompanion.text.problem import quoted

NAME_ONE = "Name one."
"""What to do where a mentor is missing; whoever asks in another way says how."""


def why_no_mentor(
    staff: Mapping[str, Person],
    who: str,
    mentor: str,
    not_released: str,
    name_one: str = NAME_ONE,
) -> str:
    """Return why `mentor` cannot stand beside `who`; empty if all is well.

    A trainee learns beside somebody who can do it; nobody is their own mentor. Where nobody is
    named, `not_released` says why a trainee may not work alone; where it is empty, they may. How
    somebody is named, `name_one` tells.
    """
    if not mentor:
        alone = staff[who].role != "trainee" or not not_released
        told = f"{who} is a trainee, and works beside a mentor. {name_one} {not_released}"
        return "" if alone else told
    folded = mentor.casefold()
    beside = next((each for each in staff.values() if each.id.casefold() == folded), None)
    if beside is None:
        said = quoted(clean_line(mentor))
        return f"{said} is not on the staff. Known are: {', '.join(staff)}."
    if beside.role == "trainee" or beside.id == who:
        return f"{beside.id} cannot be the mentor of {who}. Name a technician or a supervisor."
    return ""


def in_hands(technician: str, mentor: str | None) -> str:
    """Return in whose hands a job is, in words."""
    return f"{technician} with {mentor}" if mentor else technician
