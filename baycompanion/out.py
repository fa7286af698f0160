"""What commands print: stdout is data, stderr is talk, and any terminal can show it."""

import codecs
import contextlib
import json
import os
import sys
from collections.abc import Iterator
from typing import Any

from baycompanion.store.trouble import StoreTrouble, because
from baycompanion.text.clean import clean
from baycompanion.text.signs import in_lines


def data(text: str) -> None:
    """Print `text`, which a program or a person asked for, on stdout.

    Raises:
        StoreTrouble: Wherever stdout leads takes no more.
    """
    with _writing():
        sys.stdout.write(f"{clean(text)}\n")


def data_json(value: Any) -> None:
    """Print `value` as JSON on stdout, in UTF-8 whatever the terminal speaks."""
    data_bytes(json.dumps(value, ensure_ascii=False, indent=1).encode() + b"\n")


def data_bytes(content: bytes) -> None:
    """Print `content` as it is on stdout."""
    with _writing():
        sys.stdout.flush()
        sys.stdout.buffer.write(content)


def finish() -> None:
    """Return when everything printed on stdout has left the program."""
    with _writing():
        sys.stdout.flush()


def talk(text: str) -> None:
    """Print `text`, which is about the work of the command, on stderr."""
    with contextlib.suppress(OSError):
        sys.stderr.write(f"{clean(text)}\n")


def only_lines() -> bool:
    """Return whether stdout is a terminal that cannot move its cursor, as it says itself."""
    return sys.stdout.isatty() and os.environ.get("TERM") == "dumb"


def discard() -> None:
    """Throw away what stdout still holds, so that its end is not told of a second time."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


@contextlib.contextmanager
def _writing() -> Iterator[None]:
    try:
        yield
    except BrokenPipeError:
        raise
    except OSError as error:
        discard()
        raise StoreTrouble(f"The output cannot be written: {because(error)}.") from None


def speak_plainly() -> None:
    """Let stdout and stderr show what their encoding lacks in plainer signs, and never fail.

    A stream that whoever started the program has closed is one that leads nowhere.
    """
    codecs.register_error("plainly", _plainly)
    for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
        stream = getattr(sys, name)
        if stream is None:
            setattr(sys, name, open(os.devnull, mode, encoding="utf-8"))  # noqa: PTH123, SIM115
        elif mode == "w" and hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="plainly")


def _plainly(error: UnicodeError) -> tuple[str, int]:
    """Return plainer signs for those that cannot be encoded, as `codecs` wants it."""
    assert isinstance(error, UnicodeEncodeError)
    lacking = error.object[error.start : error.end]
    return "".join(in_lines(sign) for sign in lacking), error.end
