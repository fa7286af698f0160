"""One event of a job, sealed: who said it, when, and tied by its hash to the one before."""

import unicodedata
from datetime import datetime
from typing import Any, NamedTuple

from pydantic import ValidationError

from baycompanion.job.events.chain import (
    FIRST_PREV,
    MEMBERS,
    canonical,
    hash_event,
    hash_of_line,
    unsealed,
)
from baycompanion.job.events.data import Data
from baycompanion.job.events.kinds import FORMAT, KINDS, Opened
from baycompanion.job.events.moment import milliseconds, write_moment
from baycompanion.text.clean import clean, clean_line
from baycompanion.text.problem import quoted


class BadEvent(ValueError):
    """A line of a journal that cannot be an event; the message says why in one sentence."""


class Event(NamedTuple):  # a tuple, since thousands are read at once
    """One event of a job, tied by its hash to the one before."""

    seq: int
    at: str
    by: str
    data: Data
    prev: str
    hash: str

    @property
    def kind(self) -> str:
        """The stable word for what happened."""
        return self.data.kind

    @property
    def milliseconds(self) -> int:
        """When it happened, in milliseconds since 1970, UTC."""
        return milliseconds(self.at)

    def as_dict(self) -> dict[str, Any]:
        """Return the event as the journal writes it."""
        return {**_covered(self.seq, self.at, self.by, self.data, self.prev), "hash": self.hash}


def seal(data: Data, by: str, when: datetime, seq: int = 1, prev: str = FIRST_PREV) -> Event:
    """Return the event that says `data`, `seq` counted from 1, after the one hashed `prev`."""
    at = write_moment(when)
    return Event(seq, at, by, data, prev, hash_event(_covered(seq, at, by, data, prev)))


def read_event(raw: Any, before: Event | None) -> Event:
    """Return the event in `raw`, the parsed JSON of one line, which follows `before`.

    Raises:
        BadEvent: It is no event, of an unknown kind or format, or does not follow `before`.
    """
    kind = _kind_of(raw)
    if raw["seq"] != (before.seq + 1 if before else 1):
        raise BadEvent(
            f"Event {_shown(raw['seq'])} stands where {before.seq + 1 if before else 1} belongs"
        )
    if raw["prev"] != (before.hash if before else FIRST_PREV):
        raise BadEvent("It is not tied to the event before it")
    covered = dict(raw)
    del covered["hash"]
    line = canonical(covered)
    if raw["hash"] != hash_of_line(line):
        raise BadEvent("It was changed after it was written: its hash does not fit")
    return _event(raw, kind, before is None, may_hold_codes=not _is_plain(line))


def read_link(raw: dict[str, Any], line: bytes, first: bool) -> Event:
    """Return the event in `raw`, the link of a chain that holds up to it; `first` begins the job.

    `line` is its canonical form. What can be told of a whole line is not asked of each text in it.

    Raises:
        BadEvent: It is no event, or of an unknown kind or format.
    """
    return _event(raw, _kind_of(raw), first, may_hold_codes=not _is_plain(line))


def _is_plain(line: bytes) -> bool:
    """Return whether no text of a canonical line can hold codes: none of them is escaped in it."""
    return b"\\" not in line and not has_codes(line.decode())


def _kind_of(raw: Any) -> type[Data]:
    if not isinstance(raw, dict) or raw.keys() != MEMBERS:
        raise BadEvent("This is no event of a job")
    kind = KINDS.get(raw["kind"]) if isinstance(raw["kind"], str) else None
    if kind is None:
        raise BadEvent(f"{_shown(raw['kind'])} is no kind of event known here; it may be newer")
    return kind


def _event(raw: dict[str, Any], kind: type[Data], first: bool, may_hold_codes: bool) -> Event:
    data = _read_data(raw, kind, may_hold_codes)
    if first != isinstance(data, Opened):
        raise BadEvent("A job begins with one “opened” event")
    return Event(raw["seq"], raw["at"], raw["by"], data, raw["prev"], raw["hash"])


def _read_data(raw: dict[str, Any], kind: type[Data], may_hold_codes: bool) -> Data:
    """Return what the event in `raw` carries; its format comes first, as it says how to read it."""
    if kind is Opened and isinstance(raw["data"], dict) and raw["data"].get("format") != FORMAT:
        said = _shown(raw["data"].get("format"))
        raise BadEvent(f"Its format is {said}, and this program reads {FORMAT}")
    if may_hold_codes and has_codes(raw):
        raise BadEvent("It holds control codes, which this program never writes")
    try:
        milliseconds(raw["at"])
        if not isinstance(raw["by"], str):
            raise TypeError
        return kind.model_validate(raw["data"], strict=True)
    except (ValidationError, ValueError, TypeError):
        raise BadEvent(f"What it carries does not fit a “{raw['kind']}” event") from None


def has_codes(value: Any) -> bool:
    """Return whether a text in `value` could do more to a terminal than be shown."""
    if isinstance(value, str):
        return clean(value) != unicodedata.normalize("NFC", value)
    if isinstance(value, dict):
        return any(map(has_codes, (*value, *value.values())))
    return isinstance(value, list) and any(map(has_codes, value))


def _shown(value: Any) -> str:
    """Return a short quotation of a value found where another belongs."""
    return quoted(clean_line(str(value)))


def _covered(seq: int, at: str, by: str, data: Data, prev: str) -> dict[str, Any]:
    """Return what the hash covers."""
    return unsealed(seq, at, by, data.kind, data.model_dump(exclude_none=True), prev)
