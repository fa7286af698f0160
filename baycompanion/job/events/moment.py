"""Moments as the journal writes them: RFC 3339, UTC, to the millisecond."""

from datetime import UTC, datetime, timedelta
from functools import lru_cache

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


def write_moment(when: datetime) -> str:
    """Return `when`, which carries a zone, as `2026-03-02T08:30:00.000Z`."""
    return when.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def day_of(when: datetime) -> str:
    """Return the day of `when`, which carries a zone, in UTC, like `2026-03-02`."""
    return write_moment(when)[:10]


def read_moment(text: str) -> datetime:
    """Return the moment in `text`.

    Raises:
        ValueError: The text is no RFC 3339 moment, or carries no zone.
    """
    when = datetime.fromisoformat(text)
    if when.tzinfo is None:
        raise ValueError(f"“{text}” has no zone. Write it like 2026-03-02T08:30:00Z")
    return when


@lru_cache(maxsize=1024)  # each event is asked some four times, by one after another
def milliseconds(text: str) -> int:
    """Return the moment in `text` as whole milliseconds since 1970, UTC."""
    return whole_milliseconds(read_moment(text))


def whole_milliseconds(when: datetime) -> int:
    """Return `when` in milliseconds since 1970, UTC, cut off as the journal cuts it off."""
    return (when - _EPOCH) // timedelta(milliseconds=1)


def moment_of(milliseconds_since: int) -> datetime:
    """Return the moment so many milliseconds after the beginning of 1970, UTC.

    Raises:
        OverflowError: It lies beyond the year 9999.
    """
    return _EPOCH + timedelta(milliseconds=milliseconds_since)


def later(when: datetime, seconds: float) -> datetime:
    """Return the moment so many seconds after `when`, in its zone.

    In a zone whose clocks change, adding to the time of day would miss the hour in between.
    """
    return (when.astimezone(UTC) + timedelta(seconds=seconds)).astimezone(when.tzinfo)
