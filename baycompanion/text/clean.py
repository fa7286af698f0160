"""The one door for text from outside: what leaves here can be shown on a terminal as it is."""

import re
import unicodedata

REPLACEMENT = "\N{REPLACEMENT CHARACTER}"
"""Stands where something was taken out, so that a reader sees that something was."""

_BIDI = "\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069"
_UNSAFE = re.compile(f"[\x00-\x09\x0b-\x1f\x7f-\x9f{_BIDI}\u2028\u2029\ud800-\udfff]")
_LINE_ENDS = re.compile("\r\n|[\r\u2028\u2029\x85]")
_SPACES = re.compile(r"[ \t\n]+")


def clean(text: str) -> str:
    r"""Return `text` without control codes, bidirectional overrides or lone surrogates.

    Line ends become `\n`, a tab becomes four spaces, everything else unsafe becomes U+FFFD.
    The rest is put in Unicode form NFC. Cleaning twice changes nothing more.
    """
    if text.isascii() and text.isprintable():
        return text
    unified = _LINE_ENDS.sub("\n", text).replace("\t", "    ")
    return unicodedata.normalize("NFC", _UNSAFE.sub(REPLACEMENT, unified))


def json_is_clean(content: bytes) -> bool:
    """Return whether every text in `content`, JSON in UTF-8, can be shown as it is, in one line.

    JSON escapes control characters; in clean text it escapes quotation marks and backslashes alone.

    Raises:
        ValueError: It is no UTF-8.
    """
    if b"\\" in content.replace(rb"\\", b"").replace(rb"\"", b""):
        return False
    text = content.decode()
    return text.isprintable() or _UNSAFE.search(text) is None


def clean_line(text: str) -> str:
    """Return `text` cleaned, on one line, with runs of white space folded to one space."""
    return _SPACES.sub(" ", clean(text)).strip()


def clean_sentence(text: str) -> str:
    """Return `text` cleaned, with what would begin a new line taken out, and spaces as they are.

    A file name can hold a line end: whatever stands after it would look like a line of its own.
    """
    return clean(text).replace("\n", REPLACEMENT)


def folded(text: str) -> str:
    """Return `text` as two entries are compared: case and white space do not count."""
    return " ".join(text.casefold().split())
