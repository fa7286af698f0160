"""What stands for a sign where a terminal cannot show it: in lines readable, in columns as wide."""

import unicodedata

_ALIKE = (
    # In words and numbers. R stands for ohm, as on components (IEC 60062, from memory).
    ("“”″", '"'),
    ("’′", "'"),
    ("–—−·", "-"),
    *zip("•×÷±°Ωµμ", "*x/~ Ruu", strict=True),
    # A text that was cut ends in one sign; three would push what stands beside it.
    ("…", "~"),
    # Marks of steps and gates, which always have their word beside them, and names of keys.
    *zip("✓✗▶▸»■□▲⏎⌫←→↑↓", "vx>>>#o^<<<>^v", strict=True),
    # What borders, bars and timelines are drawn with.
    ("─━═▔▁", "-"),
    ("│┃║▊▌▎▏▐▕▍▋▉", "|"),
    ("┌┐└┘├┤┬┴┼╭╮╰╯┏┓┗┛┣┫┳┻╋", "+"),
    ("█▂▃▄▅▆▇▀", "="),
    *zip("░┄", ":.", strict=True),
)

IN_COLUMNS = {sign: plain for signs, plain in _ALIKE for sign in signs}
"""By a sign, one of ASCII that takes as much room; own choice where nothing else is said."""

IN_LINES = IN_COLUMNS | {"…": "...", "±": "+/-", "°": "deg ", "Ω": "ohm", "→": "->", "←": "<-"}
"""By a sign, what can be read in its place where nothing stands beside it."""


def in_lines(sign: str) -> str:
    """Return what ASCII has for `sign`, as wide as it may be."""
    return IN_LINES.get(sign) or _bare(sign) or "?"


def in_columns(text: str, encoding: str) -> str:
    """Return `text` in signs of `encoding`, each of them as wide as the one it stands for."""
    try:
        text.encode(encoding)
    except UnicodeEncodeError:
        plus_minus = text.replace(" ±", "+-")
        return "".join(sign if _has(encoding, sign) else _as_wide(sign) for sign in plus_minus)
    return text


def _has(encoding: str, sign: str) -> bool:
    if sign.isascii():
        return True
    try:
        sign.encode(encoding)
    except UnicodeEncodeError:
        return False
    return True


def _as_wide(sign: str) -> str:
    if unicodedata.category(sign) in ("Mn", "Me"):  # stands on the letter before it
        return ""
    if unicodedata.east_asian_width(sign) in "WF":
        return "??"
    found = IN_COLUMNS.get(sign) or _bare(sign)
    return found if len(found) == 1 else "?"


def _bare(sign: str) -> str:
    """Return the letters that `sign` is made of, without what stands on them."""
    parts = unicodedata.normalize("NFKD", sign)
    return "".join(part for part in parts if part.isascii())
