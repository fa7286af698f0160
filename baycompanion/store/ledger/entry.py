"""One entry of a shop's ledger: what it says of a job that has ended, tied to the entry before."""

import inspect
import sys
from dataclasses import dataclass
from datetime import datetime
from typing import Any, ClassVar, Literal

from pydantic import BaseModel, ConfigDict, ValidationError

from baycompanion.job.events.chain import FIRST_PREV, LARGEST_INTEGER, MEMBERS, hash_event, unsealed
from baycompanion.job.events.moment import milliseconds, write_moment
from baycompanion.text.clean import clean

FORMAT = 1
"""The format of ledgers written now; the first entry carries it."""


class BadEntry(ValueError):
    """A line of a ledger that cannot be an entry; the message says why in one sentence."""


class EntryData(BaseModel):
    """Parent of what the entries carry."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)
    kind: ClassVar[str]


class LedgerBegun(EntryData):
    """The ledger begins here."""

    kind = "begun"
    format: int = FORMAT


class JobEntry(EntryData):
    """How a job stood when it was entered."""

    kind = ""
    job: str
    """The name of its folder."""
    procedure: str
    revision: int
    status: Literal["closed", "abandoned"]
    events: int
    head: str
    """The hash of the last of these events."""
    record: str | None = None
    """The SHA-256 of its record.json, in hex; nothing where there was none."""
    follows: int | None = None
    """The earlier entry of the same job, where it has grown after its end."""


class Ended(JobEntry):
    """A job has ended, or has grown after its end."""

    kind = "ended"


class Enrolled(JobEntry):
    """A job had ended before the shop had this ledger."""

    kind = "enrolled"


class Sealed(EntryData):
    """A supervisor signed the ledger up to the entry before this one."""

    kind = "sealed"
    key: str
    """The SHA-256 of the public key, in hex."""
    signature: str = ""
    """Ed25519, in hex, over this entry without its signature and its hash."""


KINDS: dict[str, type[EntryData]] = {
    kind.kind: kind
    for _, kind in inspect.getmembers(sys.modules[__name__], inspect.isclass)
    if issubclass(kind, EntryData) and kind not in (EntryData, JobEntry)
}


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry of a ledger, tied by its hash to the one before."""

    seq: int
    at: str
    by: str
    data: EntryData
    prev: str
    hash: str

    def as_dict(self) -> dict[str, Any]:
        """Return the entry as the ledger writes it."""
        return {**covered(self.seq, self.at, self.by, self.data, self.prev), "hash": self.hash}


def next_entry(data: EntryData, by: str, when: datetime, before: Entry | None) -> Entry:
    """Return the entry that says `data` after the entry `before`; without one, the first."""
    seq = before.seq + 1 if before else 1
    prev = before.hash if before else FIRST_PREV
    at = write_moment(when)
    return Entry(seq, at, by, data, prev, hash_event(covered(seq, at, by, data, prev)))


def read_entry(raw: Any) -> Entry:
    """Return the entry in `raw`, the parsed JSON of one line.

    Raises:
        BadEntry: It is no entry, of an unknown kind or format, or was changed.
    """
    if not isinstance(raw, dict) or raw.keys() != MEMBERS or not _is_count(raw["seq"]):
        raise BadEntry("This is no entry of a ledger")
    kind = KINDS.get(raw["kind"]) if isinstance(raw["kind"], str) else None
    if kind is None:
        raise BadEntry("Its kind is not known here; it may be newer")
    try:
        if raw["hash"] != hash_event(raw):
            raise BadEntry("It was changed after it was written: its hash does not fit")
        milliseconds(raw["at"])
        data = kind.model_validate(raw["data"], strict=True)
        values = raw["data"].values()
        if None in values:  # never written, and the hash of the entry would not cover it
            raise ValueError
        texts = (raw["by"], raw["prev"], *(v for v in values if isinstance(v, str)))
        if not all(isinstance(text, str) and clean(text) == text for text in texts):
            raise ValueError
    except (ValidationError, ValueError, TypeError) as error:
        if isinstance(error, BadEntry):
            raise
        raise BadEntry(f"What it carries does not fit a “{raw['kind']}” entry") from None
    if isinstance(data, LedgerBegun) and data.format != FORMAT:
        raise BadEntry(f"Its format is {data.format}, and this program reads {FORMAT}")
    return Entry(raw["seq"], raw["at"], raw["by"], data, raw["prev"], raw["hash"])


def _is_count(value: Any) -> bool:
    return type(value) is int and 1 <= value <= LARGEST_INTEGER


def covered(seq: int, at: str, by: str, data: EntryData, prev: str) -> dict[str, Any]:
    """Return what the hash covers."""
    return unsealed(seq, at, by, data.kind, data.model_dump(exclude_none=True), prev)
