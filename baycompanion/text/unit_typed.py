"""A unit as it is typed where a keyboard lacks its sign: ohm for Ω, degC for °C, mm2 for mm²."""

import re
import unicodedata

_RINGS = str.maketrans("º˚", "°°")
_BETWEEN = re.compile(r"[\s.·⋅*^-]")
_OHM = re.compile(r"([kmM]?)(?:(?i:ohms?)|Ω|R)")
_DEGREE = re.compile(r"(?:°|(?i:degrees?|deg))(?=[CFcf]$)")
_MEGA = re.compile(r"M(?=(?i:v|a|w|f|ah|wh|ohm)$)")


def is_unit(typed: str, unit: str) -> bool:
    """Return whether `typed` is `unit`, in signs that any keyboard has or that a terminal shows.

    Capitals do not matter, but for M, which is a million where m is a thousandth (SI brochure).
    """
    return _plain(typed) == _plain(unit)


def _plain(unit: str) -> str:
    """Return `unit` in letters that every keyboard has, without what stands between them."""
    # Compatible signs are one: those of ohm and micro have two each, and ² is a raised 2.
    alike = unicodedata.normalize("NFKC", unit.translate(_RINGS)).replace("μ", "u")
    bare = _DEGREE.sub("", _BETWEEN.sub("", alike))
    ohm = _OHM.fullmatch(bare)
    spelt = f"{ohm[1]}ohm" if ohm else bare
    mega = _MEGA.match(spelt)
    return f"mega-{spelt[1:].casefold()}" if mega else spelt.casefold()
