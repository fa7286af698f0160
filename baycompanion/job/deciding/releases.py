"""A trainee's release: they may do one revision of a procedure without a mentor, until a day."""

from collections.abc import Iterable
from datetime import date
from typing import Annotated

from pydantic import Field

from baycompanion.procedure.fields import Day, Id, Line
from baycompanion.text.to_model import Written


class Release(Written):
    """One release, as it stands in the staff file."""

    procedure: Id
    revision: Annotated[int, Field(ge=1, le=999_999)]
    by: Line
    """The staff id of the supervisor who signed it."""
    job: Line
    """The job that was watched, by the name of its folder."""
    until: Day
    """Its last day."""


def release_for(releases: Iterable[Release], procedure: str) -> Release | None:
    """Return the release for `procedure`, in force or not; None where there is none."""
    return next((each for each in releases if each.procedure == procedure), None)


def why_not_in_force(releases: Iterable[Release], procedure: str, revision: int, day: date) -> str:
    """Return why none of `releases` is in force for the revision on `day`; empty where one is.

    A release for another revision vouches for another order of work, an older one too.
    """
    release = release_for(releases, procedure)
    if release is None:
        return f"There is no release for {procedure}."
    if release.revision != revision:
        return (
            f"The release for {procedure} is for revision {release.revision}, and this is "
            f"revision {revision}."
        )
    if release.until < day:
        return f"The release for {procedure} lapsed: its last day was {release.until}."
    return ""
