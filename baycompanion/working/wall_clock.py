"""The clock on the wall, by which whoever works at a screen or in lines of text goes."""

from datetime import datetime


def local_now() -> datetime:
    """Return the moment it is, in the zone of this machine: times and days are the shop's own."""
    return datetime.now().astimezone()
