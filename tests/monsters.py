"""Inputs too large to keep in a file: each is made when it is fed, and each asks for more than all.

What they are: a line of a megabyte, nesting to a depth that no stack holds, a few lines that stand
for millions of values, numbers of more digits than a machine reads, half characters, other codes.
"""

from collections.abc import Callable, Mapping

from bay import SMALL_TEXT

from baycompanion.job.events.chain import FIRST_PREV

DEEP = 100_000
"""Openings of the deepest nesting."""

MEGABYTE = 1_000_000


def _bomb() -> bytes:
    """Return nine lines of YAML that stand for 9 to the power of 9 values."""
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]" for n in range(1, 9)]
    return "\n".join(lines).encode()


def _one_event(data: bytes) -> bytes:
    """Return a line that has the members of an event, with `data` in it."""
    start = b'{"at":"2026-03-02T08:00:00.000Z","by":"T1","data":'
    end = f',"hash":"{FIRST_PREV}","kind":"opened","prev":"{FIRST_PREV}","seq":1}}\n'
    return start + data + end.encode()


MONSTERS: Mapping[str, Callable[[], bytes]] = {
    "nothing": lambda: b"",
    "one line end": lambda: b"\n",
    "a megabyte in one line": lambda: b"x" * MEGABYTE,
    "100,000 line ends": lambda: b"\n" * 100_000,
    "a megabyte of NUL": lambda: b"\0" * MEGABYTE,
    "a megabyte of bidirectional marks": lambda: "\u202e".encode() * (MEGABYTE // 3),
    "a megabyte of combining marks": lambda: ("e" + "\u0301" * (MEGABYTE // 2)).encode(),
    "a megabyte in a value": lambda: b"title: " + b"x" * MEGABYTE,
    "a megabyte in a key": lambda: b"x" * MEGABYTE + b": 1",
    "a megabyte in a JSON text": lambda: _one_event(b'{"job":"' + b"x" * MEGABYTE + b'"}'),
    "lists 100,000 deep": lambda: b"[" * DEEP,
    "closed lists 100,000 deep": lambda: b"[" * DEEP + b"]" * DEEP,
    "objects 100,000 deep": lambda: b'{"a":' * DEEP + b"1" + b"}" * DEEP,
    "an event 100,000 deep": lambda: _one_event(b"[" * DEEP + b"]" * DEEP),
    "an event of objects 100,000 deep": lambda: _one_event(b'{"a":' * DEEP + b"1" + b"}" * DEEP),
    "an event 900 deep": lambda: _one_event(b"[" * 900 + b"]" * 900),
    "YAML 1,300 deep": lambda: b"\n".join(b" " * n + b"a:" for n in range(1300)),
    "a YAML bomb": _bomb,
    "a YAML bomb that merges": lambda: _bomb() + b"\n<<: [*a8, *a8]\n",
    "a YAML that stands in itself": lambda: b"a: &a [*a, *a]\n",
    "a YAML tag that would call": lambda: b"!!python/object/apply:os.system ['true']\n",
    "a YAML tag of bytes": lambda: b"title: !!binary aGVsbG8=\n",
    "a YAML of many documents": lambda: b"---\na: 1\n" * 3000,
    "a number of 100,000 digits": lambda: b"9" * 100_000,
    "an event with 100,000 digits": lambda: _one_event(b'{"format":' + b"9" * 100_000 + b"}"),
    "an event that is not a number": lambda: _one_event(b'{"format":NaN}'),
    "an event with half a character": lambda: _one_event(b'{"job":"\\ud800"}'),
    "an event with codes": lambda: _one_event('{"job":"\\u001b[2J\u202e"}'.encode()),
    "half a character": lambda: b"title: \xed\xa0\x80\n",
    "cut in a character": lambda: SMALL_TEXT.encode()[:100] + b"\xe2\x80",
    "UTF-16": lambda: SMALL_TEXT.encode("utf-16"),
    "UTF-16 without its mark": lambda: SMALL_TEXT.encode("utf-16-le"),
    "UTF-32": lambda: SMALL_TEXT.encode("utf-32"),
    "a byte order mark twice": lambda: b"\xef\xbb\xbf" * 2 + SMALL_TEXT.encode(),
    "carriage returns alone": lambda: SMALL_TEXT.replace("\n", "\r").encode(),
    "line separators alone": lambda: SMALL_TEXT.replace("\n", "\u2028").encode(),
    "a procedure with NUL": lambda: SMALL_TEXT.replace("e", "\0", 1).encode(),
    "3,000 lines of one letter": lambda: b"x\n" * 3000,
    "3,000 empty objects": lambda: b"{}\n" * 3000,
    "3,000 keys": lambda: b"\n".join(b"k%d: 1" % n for n in range(3000)),
    "terminal codes": lambda: b"\x1b]0;x\x07\x1b[2J\x9b31m\x7f\n",
}
