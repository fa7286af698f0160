"""The clock on the wall, by which whoever works at a screen or in lines of text goes."""

import contextlib
from datetime import UTC, datetime, timedelta, tzinfo


class _Here(tzinfo):
    """The zone of this machine, which knows when its clocks are set forward and back.

    A moment before that is told as the clock showed it then. Each moment has a zone of its own:
    between two zones the library counts in UTC, within one it would count by the wall, and the
    night on which the clocks change would be an hour too long.
    """

    def utcoffset(self, dt: datetime | None) -> timedelta | None:
        """Return how far the clock on the wall is ahead of UTC when it shows `dt`."""
        if dt is None:
            return None
        shown = dt.replace(tzinfo=None)
        with contextlib.suppress(OverflowError, OSError, ValueError):  # years no system knows
            return shown.astimezone().utcoffset()
        return datetime.now().astimezone().utcoffset()

    def dst(self, dt: datetime | None) -> timedelta | None:
        """Return nothing: it is part of the offset."""
        return None

    def tzname(self, dt: datetime | None) -> str | None:
        """Return nothing: a person at the bench knows the zone."""
        return None

    def fromutc(self, dt: datetime) -> datetime:
        """Return what the clock on the wall shows at `dt`, which is in UTC."""
        moment = dt.replace(tzinfo=UTC)
        try:
            offset = moment.astimezone().utcoffset()
        except (OverflowError, OSError, ValueError):
            offset = self.utcoffset(dt)
        assert offset is not None
        shown = (dt.replace(tzinfo=None) + offset).replace(tzinfo=self)
        return shown if shown.utcoffset() == offset else shown.replace(fold=1)


def on_the_wall(moment: datetime) -> datetime:
    """Return `moment` as the clock on the wall of this machine shows it."""
    return moment.astimezone(_Here())


def local_now() -> datetime:
    """Return the moment it is, in the zone of this machine: times and days are the shop's own."""
    return on_the_wall(datetime.now(UTC))
