"""Lengths of time as people write them: `20 min`, `1 h 30 min`, `90 s`."""

import re

_PART = re.compile(r"\s*([0-9]{1,6})\s*(h|min|s)(?=\s|[0-9]|$)")
_SECONDS = {"h": 3600, "min": 60, "s": 1}
LONGEST = 30 * 24 * 3600
"""The longest length of time accepted, in seconds (30 days)."""


def parse_duration(text: str) -> int:
    """Return the whole seconds in `text`, which holds hours, minutes and seconds in that order.

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
        raise ValueError(f"“{text}” is no length of time. Write it like 20 min, 1 h 30 min or 90 s")
    if total > LONGEST:
        raise ValueError(f"“{text}” is longer than 30 days. Write a shorter time")
    return total


def write_duration(seconds: int) -> str:
    """Return `seconds` (0 or more) as a person would say it, and as `parse_duration` reads it."""
    if seconds < 60:
        return f"{seconds} s"
    minutes, rest = divmod(seconds, 60)
    hours, minutes = divmod(minutes, 60)
    parts = [f"{hours} h" if hours else "", f"{minutes} min" if minutes else ""]
    parts.append(f"{rest} s" if rest else "")
    return " ".join(part for part in parts if part)


def rough_duration(seconds: int) -> str:
    """Return `seconds` to the minute, for a clock that is glanced at: `1 h 05 min`, `12 min`."""
    minutes = seconds // 60
    return f"{minutes // 60} h {minutes % 60:02} min" if minutes >= 60 else f"{minutes} min"


def countdown(seconds: int) -> str:
    """Return `seconds` as `mm:ss`, or `h:mm:ss` from one hour up."""
    minutes, rest = divmod(max(seconds, 0), 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02}:{rest:02}" if hours else f"{minutes:02}:{rest:02}"
