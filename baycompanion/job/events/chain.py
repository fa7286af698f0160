"""The bytes that are hashed, and the hash that ties each event to the one before (RFC 8785)."""

import hashlib
from collections.abc import Mapping
from typing import Any

import orjson

FIRST_PREV = "0" * 64
"""What stands in `prev` of the first event."""

LARGEST_INTEGER = 2**53 - 1
"""Integers beyond this are not exact in every reader of JSON; RFC 8785 refuses them too."""


def canonical(value: Mapping[str, Any]) -> bytes:
    """Return the RFC 8785 bytes of `value`.

    `value` may hold text, integers up to `LARGEST_INTEGER`, booleans, nulls, lists and objects
    with ASCII keys, no floats: on that subset sorting keys by code point is the order of the RFC,
    and a quick serialiser writes the same bytes.

    Raises:
        ValueError: It holds something that the serialiser cannot write, or nests too deep.
    """
    try:
        return orjson.dumps(value, option=orjson.OPT_SORT_KEYS)
    except TypeError as error:
        raise ValueError(str(error)) from None


def parsed(line: bytes) -> Any:
    """Return the value in one line of a chain.

    Raises:
        ValueError: It is no JSON, or nests too deep.
    """
    return orjson.loads(line)


MEMBERS = frozenset({"seq", "at", "by", "kind", "data", "prev", "hash"})
"""The members of one line of any chain."""


def unsealed(
    seq: int, at: str, by: str, kind: str, data: Mapping[str, Any], prev: str
) -> dict[str, Any]:
    """Return what the hash of one line covers: all of it but the hash."""
    return {"seq": seq, "at": at, "by": by, "kind": kind, "data": data, "prev": prev}


def hash_event(event: Mapping[str, Any]) -> str:
    """Return the SHA-256, in hex, of `event` without its `hash` member."""
    return hash_of_line(canonical({name: value for name, value in event.items() if name != "hash"}))


def hash_of_line(line: bytes) -> str:
    """Return the SHA-256, in hex, of a line in its canonical form, without its `hash` member."""
    return hashlib.sha256(line).hexdigest()


def fingerprint(last_hash: str) -> str:
    """Return the short form of a journal's last hash: 64 bits in four groups, easy to read out."""
    return "-".join(last_hash[at : at + 4] for at in range(0, 16, 4))
