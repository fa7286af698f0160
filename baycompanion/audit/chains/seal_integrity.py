"""Whether the seals in a ledger are those of keys that the shop knows, over what stands there."""

from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

from baycompanion.audit.chains.chain_break import Break
from baycompanion.audit.chains.integrity import ASK
from baycompanion.audit.findings import Finding, Rule
from baycompanion.job.events.chain import fingerprint
from baycompanion.store.ledger.entry import Entry, Sealed
from baycompanion.store.ledger.seals import PublicKey, fits, known_keys
from baycompanion.store.trouble import StoreTrouble

SEAL_BROKEN = Rule("seal-broken", "grave")
SEAL_OF_ANOTHER = Rule("seal-of-another", "grave")
SEAL_UNKNOWN = Rule("seal-key-unknown", "serious")


class Seals:
    """The seals of one ledger, looked at one after another."""

    def __init__(self, shop: Path) -> None:
        """Look at the seals of the shop in the folder `shop`."""
        self._shop = shop
        self.newest: str = ""
        """In words, how far the newest good seal over a whole chain reaches, and whose it is."""

    def audit(
        self, entries: Iterable[Entry], broken: Break | None = None
    ) -> Iterator[Finding | StoreTrouble]:
        """Yield what is wrong with the seals among `entries`; without seals, nothing is loaded.

        A seal reaches back through the chain, so of one that stands after the place where it is
        `broken` nothing is said about how far the ledger is sealed.
        """
        holds_to = min(broken.numbers) if broken is not None else None
        keys: dict[str, PublicKey] | None = None
        for entry in entries:
            if not isinstance(entry.data, Sealed):
                continue
            if keys is None:
                keys = {}
                yield from self._take_keys(keys)
            finding = against_keys(entry, keys)
            if finding is not None:
                yield finding
            elif holds_to is None or entry.seq <= holds_to:
                key = fingerprint(entry.data.key)
                self.newest = f"sealed up to entry {entry.seq - 1} by {entry.by}, key {key}"

    def _take_keys(self, keys: dict[str, PublicKey]) -> Iterator[StoreTrouble]:
        """Put the keys that the shop knows into `keys`, and yield why one cannot be read."""
        for key in known_keys(self._shop):
            if isinstance(key, PublicKey):
                keys[key.id] = key
            else:
                yield key


def against_keys(entry: Entry, keys: Mapping[str, PublicKey]) -> Finding | None:
    """Return what is wrong with the seal `entry`, None where it is good by one of `keys`."""
    assert isinstance(entry.data, Sealed)
    key, numbers = keys.get(entry.data.key), (entry.seq,)
    named = fingerprint(entry.data.key)
    if key is None:
        told = (
            f"The ledger is sealed here by {entry.by} with the key {named}, and the shop knows no "
            "such key. Look in seals/, and on the paper that the fingerprint was written on."
        )
        return Finding(SEAL_UNKNOWN, told, entries=numbers, about=named)
    if not fits(entry, key):
        told = f"The seal by {entry.by} does not fit what stands before it, key {named}. {ASK}"
        return Finding(SEAL_BROKEN, told, entries=numbers, about=named)
    if key.staff != entry.by:
        told = (
            f"The seal says {entry.by}, and its key {named} is kept as that of {key.staff}. {ASK}"
        )
        return Finding(SEAL_OF_ANOTHER, told, entries=numbers, about=named)
    return None
