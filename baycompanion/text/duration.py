"""Lengths of time as people write them: `20 min`, `1 h 30 min`, `90 s`, `3 d 5 h`."""

import re

from baycompanion.text.problem import quoted

_PART = re.compile(r"\s*([0-9]{1,6})\s*(d|h|min|s)(?=\s|[0-9]|$)")
_SECONDS = {"d": 24 * 3600, "h": 3600, "min": 60, "s": 1}
IN_DAYS = 2 * 24 * 3600
"""Beyond this many seconds a length of time is told in days and hours (2 days)."""
LONGEST = 30 * 24 * 3600
"""The longest length of time accepted, in seconds (30 days)."""


def parse_duration(text: str) -> int:
    """Return the whole seconds in `text`: days, hours, minutes and seconds in that order.

    Raises:
        ValueError: The text is not a length of time, or is longer than 30 days; the message is
            one sentence for the person who wrote it.
    """
    position, total, units = 0, 0, []
    while match := _PART.match(text, position):
        units.append(match[2])
        total += int(match[1]) * _SECONDS[match[2]]
        position = match.end()
    in_order = units == sorted(set(units), key=list(_SECONDS).index)
    if not units or not in_order or text[position:].strip():
        raise ValueError(
            f"{quoted(text)} is no length of time. Write it like 20 min, 1 h 30 min or 90 s"
        )
    if total > LONGEST:
        raise ValueError(f"{quoted(text)} is longer than 30 days. Write a shorter time")
    return total


def write_duration(seconds: int) -> str:
    """Return `seconds` (0 or more) as a person would say it, and as `parse_duration` reads it.

    Longer than two days, it is said in days and hours: `2 d 3 h`, not `51 h`.
    """
    if seconds == 0:
        return "0 s"
    named, rest = [], seconds
    for unit, size in _SECONDS.items():
        if unit == "d" and seconds <= IN_DAYS:
            continue
        many, rest = divmod(rest, size)
        named += [f"{many} {unit}"] if many else []
    return " ".join(named)


def rough_duration(seconds: int) -> str:
    """Return `seconds` for a clock that is glanced at: `12 min`, `1 h 05 min`, `268 d 13 h`."""
    hours, minutes = divmod(seconds // 60, 60)
    if seconds > IN_DAYS:
        return f"{hours // 24} d {hours % 24} h"
    return f"{hours} h {minutes:02} min" if hours else f"{minutes} min"


def measured_duration(seconds: float) -> str:
    """Return a length of time that was measured: below ten minutes with its seconds."""
    whole = round(seconds)
    return write_duration(whole) if whole < 600 else rough_duration(whole)


def countdown(seconds: int) -> str:
    """Return `seconds` as `mm:ss`, from one hour up as `h:mm:ss`, beyond two days with the days."""
    minutes, rest = divmod(max(seconds, 0), 60)
    hours, minutes = divmod(minutes, 60)
    if seconds > IN_DAYS:
        return f"{hours // 24} d {hours % 24}:{minutes:02}:{rest:02}"
    return f"{hours}:{minutes:02}:{rest:02}" if hours else f"{minutes:02}:{rest:02}"
