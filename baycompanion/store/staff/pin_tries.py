"""Wrong PINs slow down: tries in a row are counted for the whole shop, and waited for.

The count lies in the shop folder, so that it holds at every terminal and after a restart. Whoever
can write in that folder can delete it, as they can change the staff file: the wait keeps a PIN
from being guessed at a terminal, not from the owner of the disk.
"""

from datetime import datetime
from pathlib import Path
from typing import Annotated

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, TypeAdapter, ValidationError

from baycompanion.job.events.moment import milliseconds, write_moment
from baycompanion.store.durable import write_whole
from baycompanion.store.reading import read_bytes
from baycompanion.store.staff.pins import pin_matches
from baycompanion.store.trouble import StoreTrouble
from baycompanion.store.turn import turn
from baycompanion.text.duration import write_duration

NAME = "pin-tries.json"

FREE = 3
"""Tries that come without a wait."""

FIRST_WAIT, LONGEST_WAIT = 5, 600
"""Seconds to wait after the last free try, and at most; each wrong try between doubles it."""


class WrongPin(StoreTrouble):
    """A PIN that was not the one of `who`, the one that makes `tries` wrong ones in a row."""

    def __init__(self, who: str, tries: int, wait: int) -> None:
        """Say what comes before the next try: `wait` seconds, or nothing yet."""
        self.who = who
        self.tries = tries
        self.wait = wait
        super().__init__(self._sentence())

    def _sentence(self) -> str:
        return f"That is not the PIN of {self.who}. {_what_is_next(self.tries, self.wait)}"


class TooSoon(WrongPin):
    """A PIN that was not looked at, because `who` has `wait` more seconds to wait."""

    def _sentence(self) -> str:
        return _what_is_next(self.tries, self.wait)


def _what_is_next(tries: int, wait: int) -> str:
    if wait:
        return f"Wait {write_duration(wait)} before the next try."
    left = FREE - tries
    return f"{left} more {'try' if left == 1 else 'tries'} without a wait."


def wait_after(tries: int) -> int:
    """Return the seconds to wait after `tries` wrong tries in a row."""
    if tries < FREE:
        return 0
    return min(FIRST_WAIT << min(tries - FREE, 30), LONGEST_WAIT)


def _check_moment(text: str) -> str:
    milliseconds(text)
    return text


class Count(BaseModel):
    """The wrong tries of one person in a row."""

    model_config = ConfigDict(extra="forbid", frozen=True, strict=True, defer_build=True)

    tries: Annotated[int, Field(ge=1)]
    last: Annotated[str, AfterValidator(_check_moment)]
    """When the last one was; RFC 3339, UTC."""


_COUNTS = TypeAdapter(dict[str, Count])


def try_pin(folder: Path, who: str, pin: str, kept: str, now: datetime) -> None:
    """Return if `pin` is the one of `who`, of which the line `kept` is kept in the shop `folder`.

    A try is on the disk before it is looked at: no end of the program comes in time to make it
    uncounted. Where the clock was set back the wait begins anew, at most once its whole length.

    Raises:
        TooSoon: The wait after the last wrong try is not over; the try is not counted.
        WrongPin: It is another one, and is counted.
        StoreTrouble: The count cannot be read or written.
    """
    path, key = folder / NAME, who.casefold()
    with turn(path):
        counts = _read(path)
        before = counts.get(key)
        if before is not None:
            _refuse_too_soon(path, counts, who, now)
        tries = before.tries + 1 if before else 1
        _write(path, counts | {key: Count(tries=tries, last=write_moment(now))})
        if not pin_matches(pin, kept):
            raise WrongPin(who, tries, wait_after(tries))
        counts.pop(key, None)
        _write(path, counts)


def _refuse_too_soon(path: Path, counts: dict[str, Count], who: str, now: datetime) -> None:
    """Refuse a try of `who` during the wait; a last try in the future becomes one of now."""
    key, at = who.casefold(), write_moment(now)
    count = counts[key]
    passed = milliseconds(at) - milliseconds(count.last)
    if passed < 0:
        passed = 0
        _write(path, counts | {key: Count(tries=count.tries, last=at)})
    left = wait_after(count.tries) * 1000 - passed
    if left > 0:
        raise TooSoon(who, count.tries, -(-left // 1000))


def forget_tries(folder: Path, who: str) -> None:
    """Forget the wrong tries of `who`, who has a new PIN.

    Raises:
        StoreTrouble: The count cannot be read or written.
    """
    path = folder / NAME
    with turn(path):
        counts = _read(path)
        if counts.pop(who.casefold(), None):
            _write(path, counts)


def _read(path: Path) -> dict[str, Count]:
    if not path.exists():
        return {}
    try:
        return _COUNTS.validate_json(read_bytes(path))
    except ValidationError:
        raise StoreTrouble(
            f"{path}:1: This is no count of PIN tries; the file was damaged. "
            "Delete it, and the count begins anew."
        ) from None


def _write(path: Path, counts: dict[str, Count]) -> None:
    write_whole(path, _COUNTS.dump_json(dict(sorted(counts.items()))) + b"\n")
