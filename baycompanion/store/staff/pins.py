"""What a PIN may be, and the line that is kept of it: a salted hash, never the PIN."""

import hashlib
import hmac
import itertools
import re
import secrets
from dataclasses import dataclass

SHORTEST, LONGEST = 4, 12
"""How many digits a PIN has."""

COST = 2**14
"""The cost number N of scrypt for new PINs: with r = 8, 16 MiB of memory for each try."""

SALT = 16
"""Bytes of salt, drawn anew for each PIN."""

MOST_MEMORY = 2**26
"""Bytes that one try may take, whatever a kept line asks for: 64 MiB."""

_DIGITS = re.compile(f"[0-9]{{{SHORTEST},{LONGEST}}}")
_KEPT = re.compile(
    "scrypt n=([0-9]{1,7}) r=([0-9]{1,2}) p=([0-9]{1,2})"
    " salt=((?:[0-9a-f]{2}){4,64}) key=((?:[0-9a-f]{2}){16,64})"
)


def why_no_pin(pin: str) -> str | None:
    """Return in one sentence why `pin` cannot be a PIN, without repeating it; None if it can."""
    if not _DIGITS.fullmatch(pin):
        return f"A PIN is {SHORTEST} to {LONGEST} digits and nothing else."
    paces = {(int(after) - int(before)) % 10 for before, after in itertools.pairwise(pin)}
    if paces in ({0}, {1}, {9}):
        return "A PIN of one digit repeated, or of digits in a row like 1234, is guessed first."
    return None


def hash_pin(pin: str) -> str:
    """Return the line to keep for `pin`: `scrypt n=… r=… p=… salt=… key=…`, salt and key in hex.

    Raises:
        ValueError: `pin` cannot be a PIN; the message is `why_no_pin`.
    """
    if why := why_no_pin(pin):
        raise ValueError(why)
    salt = secrets.token_bytes(SALT)
    new = _Kept(COST, 8, 1, salt, b"")
    return f"scrypt n={new.n} r={new.r} p={new.p} salt={salt.hex()} key={new.key_of(pin, 32).hex()}"


def pin_matches(pin: str, kept: str) -> bool:
    """Return whether `pin` is the one of which the line `kept` was made; never for a bad line."""
    try:
        parts = _read(kept)
        return hmac.compare_digest(parts.key_of(pin, len(parts.key)), parts.key)
    except ValueError:  # also from scrypt itself
        return False


def is_kept_pin(line: str) -> bool:
    """Return whether `line` can be what `hash_pin` writes, by this or by another cost."""
    try:
        _read(line)
    except ValueError:
        return False
    return True


@dataclass(frozen=True, slots=True, repr=False)
class _Kept:
    """A kept line in its parts: the cost numbers of RFC 7914, the salt and the key."""

    n: int
    r: int
    p: int
    salt: bytes
    key: bytes

    def key_of(self, pin: str, length: int) -> bytes:
        """Return the key of `length` bytes that `pin` gives with these numbers and this salt."""
        # surrogates: whatever a terminal hands over is a wrong PIN, not a fault
        secret = pin.encode("utf-8", "surrogatepass")
        return hashlib.scrypt(
            secret,
            salt=self.salt,
            n=self.n,
            r=self.r,
            p=self.p,
            maxmem=2 * MOST_MEMORY,
            dklen=length,
        )


def _read(line: str) -> _Kept:
    """Return the parts of a kept line.

    Raises:
        ValueError: It is none, or asks for more memory than `MOST_MEMORY`.
    """
    match = _KEPT.fullmatch(line)
    if match is None:
        raise ValueError("no kept PIN")
    n, r, p = (int(match[number]) for number in (1, 2, 3))
    fits = n >= 2 and n & (n - 1) == 0 and 1 <= p <= 16 and r >= 1 and 128 * n * r <= MOST_MEMORY
    if not fits:
        raise ValueError("no cost numbers of scrypt")
    return _Kept(n, r, p, bytes.fromhex(match[4]), bytes.fromhex(match[5]))
