"""Inputs made worse: bytes, text and values changed as a bad disk, a bad editor or a forger would.

Everything is drawn from the `Random` that is handed in, so that a seed gives the same inputs again.
"""

import json
from collections.abc import Callable, Iterator, Sequence
from random import Random
from typing import Any, Literal

from baycompanion.job.events.chain import FIRST_PREV, hash_event
from baycompanion.text.problem import BadFile
from baycompanion.text.yaml_nodes import read_yaml

Kind = Literal["yaml", "chain", "json", "bytes"]
"""How an input is built: a YAML file, lines tied by hashes, one JSON document, or anything."""

LONGEST = 400_000
"""Bytes of the longest input that is made here; what is larger stands in `monsters.py`."""

ODD_BYTES = (
    *(b"\x00", b"\xff\xfe", b"\xef\xbb\xbf", b"\x1b[2J", b"\x9b31m", b"\r\n", b"\r", b"\n\n"),
    *(b"\xc3", b"\xe2\x80", b"\xed\xa0\x80", b"\xf4\x90\x80\x80", "\u202e".encode(), b"\x7f"),
    *("\u2028".encode(), "\x85".encode(), b"\\ud800", b"\\u0000", b"\\x1b", b"\t", b"\xc0\x80"),
    *(b"&a ", b"*a ", b"!!python/object:os.system ", b"!x ", b"<<: *a\n", b"? ", b"--- \n"),
    *(b"%YAML 1.1\n", b"...\n", b"'", b'"', b"|\n", b">-\n", b"{", b"[", b"}", b"]", b"#"),
    *(b"NaN", b"Infinity", b"-0", b"1e999", b"9" * 400, b"null", b"true", b"{}", b"[]", b'""'),
    *(b"../../etc/passwd", b"/", b"A" * 5000, b"e\xcc\x81" * 50, b"\xf0\x9f\x9a\x97"),
)
"""What a parser stumbles over."""

ODD_VALUES: tuple[Any, ...] = (
    *(None, True, False, 0, -1, 1, 2**31, 2**53, 2**63, 10**30, -(10**30), 0.5, 1e300, "", " "),
    *("\x00", "\x1b[2J", "\u202edrow", "\ud800", "a\nb", "\u2028", "no", "yes", "none", "null"),
    *("x" * 600, "x" * 30_000, "../../x", "/etc/passwd", "C:\\x", "~", "a" * 300, "é", "e\u0301"),
    *("9" * 30, "-1", "1e3", "0", "1:30", "12,6", "20 min", "9999 d", "2026-02-30", "NaN", "١٢"),
    *("2026-03-02T08:00:00.000Z", "9999-12-31T23:59:59.999Z", "0001-01-01T00:00:00.000Z"),
    *([], {}, [[]], [None], {"": ""}, {"a": {"a": {"a": {}}}}, ["x"] * 300, [{}] * 50),
)
"""Values that stand where another belongs."""


def mutated(random: Random, kind: Kind, content: bytes, seeds: Sequence[bytes]) -> bytes:
    """Return `content` changed once or a few times; `seeds` are whole inputs of the same parser."""
    for _ in range(random.choice((1, 1, 1, 2, 3, 6))):
        ways = _WAYS[kind]
        content = random.choice(ways)(random, content, random.choice(seeds))
    return content[:LONGEST]


# --- bytes -------------------------------------------------------------------------------------


def _put_in(random: Random, content: bytes, other: bytes) -> bytes:
    at = _place(random, content)
    return content[:at] + random.choice(ODD_BYTES) + content[at:]


def _put_over(random: Random, content: bytes, other: bytes) -> bytes:
    at, odd = _place(random, content), random.choice(ODD_BYTES)
    return content[:at] + odd + content[at + len(odd) :]


def _flip(random: Random, content: bytes, other: bytes) -> bytes:
    if not content:
        return b"\x00"
    at = random.randrange(len(content))
    return content[:at] + bytes([content[at] ^ (1 << random.randrange(8))]) + content[at + 1 :]


def _cut(random: Random, content: bytes, other: bytes) -> bytes:
    return content[: _place(random, content)]


def _take_out(random: Random, content: bytes, other: bytes) -> bytes:
    at = _place(random, content)
    return content[:at] + content[at + random.choice((1, 1, 4, 40, 400)) :]


def _double(random: Random, content: bytes, other: bytes) -> bytes:
    at = _place(random, content)
    piece = content[at : at + random.choice((1, 10, 100, 1000))]
    return content[:at] + piece * random.choice((2, 2, 5, 50)) + content[at:]


def _splice(random: Random, content: bytes, other: bytes) -> bytes:
    return content[: _place(random, content)] + other[_place(random, other) :]


def _lines_moved(random: Random, content: bytes, other: bytes) -> bytes:
    lines = content.split(b"\n")
    line = lines.pop(random.randrange(len(lines)))
    if random.random() < 0.7:
        lines.insert(random.randrange(len(lines) + 1), line)
    if random.random() < 0.3:
        lines.insert(random.randrange(len(lines) + 1), line)
    return b"\n".join(lines)


def _encoded_anew(random: Random, content: bytes, other: bytes) -> bytes:
    text = content.decode("utf-8", "replace")
    way = random.choice(("utf-16", "utf-16-le", "utf-32", "latin-1", "utf-7", "cp037"))
    whole = text.encode(way, "replace")
    return random.choice((whole, b"\xef\xbb\xbf" + content, content.replace(b"\n", b"\r\n")))


def _place(random: Random, content: bytes) -> int:
    """Return a place in `content`, the starts of lines more often than others."""
    at = random.randrange(len(content) + 1)
    if random.random() < 0.3:
        at = content.rfind(b"\n", 0, at) + 1
    return at


# --- values ------------------------------------------------------------------------------------


def value_changed(random: Random, value: Any, other: Any) -> Any:
    """Return the plain `value` changed at one spot, sometimes by what stands in `other`."""
    spots = list(_spots(value))
    if not spots:
        return random.choice(ODD_VALUES)
    holder, key = random.choice(spots)
    what = random.randrange(7)
    if what == 0:
        del holder[key]
    elif what == 1:
        holder[key] = random.choice(ODD_VALUES)
    elif what == 2:
        there = [box[name] for box, name in _spots(other)] or [other]
        holder[key] = _copy(random.choice(there))
    elif what == 3:
        own = [box[name] for box, name in spots]
        holder[key] = _copy(random.choice(own))
    elif what == 4:
        box, name = random.choice(spots)
        holder[key], box[name] = _copy(box[name]), _copy(holder[key])
    elif what == 5 and isinstance(holder, dict):
        names = [name for box, name in spots if isinstance(box, dict)]
        holder[random.choice([*names, "", "x", "__class__"])] = holder.pop(key)
    elif isinstance(holder, list):
        holder[key:key] = [_copy(holder[key])] * random.choice((1, 1, 2, 40))
    else:
        holder[key] = [holder[key]]
    return value


def _copy(value: Any) -> Any:
    """Return a copy, so that no value stands in itself."""
    if isinstance(value, dict):
        return {key: _copy(each) for key, each in value.items()}
    return [_copy(each) for each in value] if isinstance(value, list) else value


def _spots(value: Any) -> Iterator[tuple[Any, Any]]:
    """Yield every list or mapping in `value` with each key or position in it."""
    if not isinstance(value, dict | list):
        return
    for key in list(value) if isinstance(value, dict) else range(len(value)):
        yield value, key
        yield from _spots(value[key])


def _yaml_changed(random: Random, content: bytes, other: bytes) -> bytes:
    value, base = _yaml(content), _yaml(other)
    if value is None or base is None:
        return _put_in(random, content, other)
    return json.dumps(
        value_changed(random, value, base), ensure_ascii=random.random() < 0.5
    ).encode("utf-8", "surrogatepass")


def _yaml(content: bytes) -> Any:
    try:
        return read_yaml(content.decode("utf-8-sig", "replace"), "seed").plain()
    except BadFile:
        return None


def _aliased(random: Random, content: bytes, other: bytes) -> bytes:
    """Put an anchor before one value, and an alias to it in place of another."""
    colons = [at for at in range(len(content)) if content[at : at + 2] == b": "]
    if len(colons) < 2:
        return _put_in(random, content, other)
    first, last = sorted(random.sample(colons, 2))
    end = content.find(b"\n", last)
    rest = content[end:] if end >= 0 else b""
    return content[: first + 2] + b"&a " + content[first + 2 : last + 2] + b"*a" + rest


def _json_changed(random: Random, content: bytes, other: bytes) -> bytes:
    try:
        value = value_changed(random, json.loads(content), json.loads(other))
        indent = 1 if random.random() < 0.7 else None  # as records are written
        return json.dumps(value, indent=indent, ensure_ascii=False).encode("utf-8", "surrogatepass")
    except (ValueError, RecursionError):
        return _put_in(random, content, other)


def _chain_changed(random: Random, content: bytes, other: bytes) -> bytes:
    """Change lines of a chain as a forger would, who knows how they are tied."""
    events, others = _events(content), _events(other)
    if not events or not others:
        return _put_in(random, content, other)
    at = random.randrange(len(events))
    what = random.randrange(6)
    if what < 3 and isinstance(events[at], dict):
        events[at]["data"] = value_changed(
            random, events[at].get("data"), random.choice(others).get("data")
        )
    elif what == 3:
        events.insert(at, _copy(random.choice(others)))
    elif what == 4:
        del events[at : at + random.choice((1, 1, 5))]
    else:
        events = value_changed(random, events, others)
    return resealed(events)


def _events(content: bytes) -> list[Any]:
    try:
        return [json.loads(line) for line in content.split(b"\n") if line]
    except (ValueError, RecursionError):
        return []


def resealed(events: Any) -> bytes:
    """Return `events` as lines, each tied to the one before, where it can be."""
    lines, prev = [], FIRST_PREV
    for number, event in enumerate(events if isinstance(events, list) else [events], start=1):
        if isinstance(event, dict):
            event = {**event, "seq": number, "prev": prev}
            try:
                event["hash"] = prev = hash_event(event)
            except (ValueError, TypeError):
                event["hash"] = prev
        text = json.dumps(event, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
        lines.append(text.encode("utf-8", "surrogatepass") + b"\n")
    return b"".join(lines)


Way = Callable[[Random, bytes, bytes], bytes]

_ANY: tuple[Way, ...] = (
    *(_put_in, _put_over, _flip, _cut, _take_out, _double, _splice, _lines_moved, _encoded_anew),
)
_WAYS: dict[Kind, tuple[Way, ...]] = {
    "bytes": _ANY,
    "yaml": (*_ANY, *(_yaml_changed,) * 9, _aliased),
    "json": (*_ANY, *(_json_changed,) * 9),
    "chain": (*_ANY, *(_chain_changed,) * 18),
}
