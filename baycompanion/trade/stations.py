"""Stations as they are noted: one spelling for each, and what is said of one off the grid."""

import re
from decimal import Decimal

from baycompanion.trade.catalogue import work
from baycompanion.trade.model import plain
from baycompanion.trade.radio import UNIT

_NOTED = re.compile(
    r"(?:(?P<band>fm|am|mw)[\s:.]*)?(?P<number>[0-9]{1,6}(?:[.,][0-9]{1,3})?)"
    r"(?:\s*(?P<unit>mhz|khz)\b)?(?:\s*(?P<behind>fm|am|mw)\b)?(?:[\s,;:–-]+(?P<rest>.*))?",
    re.IGNORECASE | re.DOTALL,
)
_FM_FROM, _FM_TO, _AM_TO = 60, 120, 2000
"""MHz of FM, and the kHz up to which a bare number is one of AM."""


def tidy_station(entry: str) -> str:
    """Return `entry` as `FM 94.7` or `AM 810`, with what else was noted of the station after it.

    Without its band, a number is FM from 60 to 120 (MHz), and AM above it up to 2000 (kHz). An
    entry without a frequency, like the name of a digital station, stays as it is.
    """
    read = _read(entry)
    if read is None:
        return entry
    band, number, rest = read
    return f"{band} {plain(number)} {rest}".rstrip()


def same_station(one: str, other: str) -> bool:
    """Return whether two entries are one station: by frequency, where both have one."""
    first, second = _read(one), _read(other)
    if first is not None and second is not None:
        return first[:2] == second[:2]
    return " ".join(one.casefold().split()) == " ".join(other.casefold().split())


def off_grid(entry: str, region: str) -> str:
    """Return what is wrong with the frequency in `entry`, in a sentence; empty if nothing is.

    Without a region nothing can be said. The grids are those of the sum `station`.
    """
    read = _read(entry)
    if read is None or not region:
        return ""
    band, number, _ = read
    worked = work("station", {"band": band, "frequency": plain(number), "region": region})
    if worked.verdict == "good":
        return ""
    unit = UNIT[band.casefold()].symbol
    nearest = f"the nearest is {worked.results['nearest']} {unit}"
    return f"{band} {plain(number)} is off the grid of {region}: {nearest}."


def _read(entry: str) -> tuple[str, Decimal, str] | None:
    """Return the band, its frequency in MHz or kHz, and the rest; None where there is none."""
    noted = _NOTED.fullmatch(entry.strip())
    if noted is None:
        return None
    number = Decimal(noted["number"].replace(",", "."))
    unit, band = (noted["unit"] or "").casefold(), noted["band"] or ""
    band = _written(band) or _band_of(number, unit)
    if unit == "mhz" and band == "AM":
        number *= 1000
    if unit == "khz" and band == "FM":
        number /= 1000
    lowest, highest = (_FM_FROM, _FM_TO) if band == "FM" else (100, _AM_TO)
    if not band or not lowest <= number <= highest:
        return None
    said, rest = noted["behind"] or "", (noted["rest"] or "").strip()
    again = not noted["band"] and _written(said) == band  # the band stands behind its frequency
    return band, number, rest if again else f"{said} {rest}".strip()


def _written(band: str) -> str:
    """Return a band in the one spelling that is kept; medium wave is AM."""
    return "AM" if band.upper() == "MW" else band.upper()


def _band_of(number: Decimal, unit: str) -> str:
    """Return the band that a number without one belongs to, empty where it is neither's."""
    if unit == "mhz":
        return "FM" if number >= _FM_FROM else "AM"
    if unit == "khz":
        return "FM" if number > _AM_TO else "AM"
    if number < _FM_FROM or number > _AM_TO:
        return ""
    return "FM" if number <= _FM_TO else "AM"
