"""What is planted in the ledger of a whole shop, once all its jobs have been played."""

import hashlib
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from random import Random

from baycompanion.demo_chain.forging import read_lines
from baycompanion.demo_chain.meddling import Lines, changed, extra, missing, reordered, torn
from baycompanion.demo_chain.truth import Planted
from baycompanion.store.durable import write_whole
from baycompanion.store.ledger import ledger
from baycompanion.store.ledger.entering import enter_missing
from baycompanion.store.ledger.entry import Sealed, next_entry
from baycompanion.store.ledger.seals import SEALS, signed_bytes

Place = tuple[Path, frozenset[str], Random, datetime]
"""The shop folder, the jobs that carry no plant, a source of chance, and the moment."""


def _meddle(place: Place, act: Callable[[Lines], Lines]) -> None:
    """Put what `act` makes of the lines of the ledger in their place."""
    path = place[0] / ledger.NAME
    write_whole(path, b"".join(act(path.read_bytes().splitlines(keepends=True))))


def _untouched(place: Place) -> tuple[int, str]:
    """Return an entry well inside the ledger, counted from 0, of a job that carries no plant."""
    shop, honest, chance, _ = place
    entries = read_lines(shop / ledger.NAME)
    inside = range(2, len(entries) - 2)
    able = [at for at in inside if entries[at]["data"].get("job") in honest]
    at = chance.choice(able)
    return at, str(entries[at]["data"]["job"])


def _changed(place: Place) -> list[Planted]:
    at, job = _untouched(place)
    closed, abandoned = b'"status":"closed"', b'"status":"abandoned"'
    _meddle(place, lambda lines: changed(lines, at, closed, abandoned))
    return _at_one(place, "entry-changed", "job-not-in-ledger", job)


def _missing(place: Place) -> list[Planted]:
    at, job = _untouched(place)
    _meddle(place, lambda lines: missing(lines, at))
    return _at_one(place, "entry-missing", "job-not-in-ledger", job)


def _extra(place: Place) -> list[Planted]:
    at, job = _untouched(place)
    _meddle(place, lambda lines: extra(lines, at))
    return _at_one(place, "entry-extra", "job-entered-twice", job)


def _at_one(place: Place, rule: str, brings: str, job: str) -> list[Planted]:
    """Return what is found of meddling with the entry of `job`, and what follows from it."""
    name = place[0].name
    return [Planted(name, rule), Planted(name, brings, job, follows_from=rule)]


def _reordered(place: Place) -> list[Planted]:
    at, _ = _untouched(place)
    _meddle(place, lambda lines: reordered(lines, at))
    return [Planted(place[0].name, "entry-reordered")]


def _torn(place: Place) -> list[Planted]:
    _meddle(place, lambda lines: torn(lines, 70))
    return [Planted(place[0].name, "ledger-torn")]


def _gone(place: Place) -> list[Planted]:
    (place[0] / ledger.NAME).unlink()
    return [Planted(place[0].name, "ledger-gone")]


def _begun_anew(place: Place) -> list[Planted]:
    shop, _, _, now = place
    (shop / ledger.NAME).unlink()
    enter_missing(shop, now)
    return [Planted(shop.name, "entered-afterwards")]


def _seal(place: Place, kept_as: str | None, good: bool) -> None:
    """Seal the ledger as a supervisor; the key is kept as that of `kept_as`, if at all."""
    from cryptography.hazmat.primitives import serialization
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

    shop, _, chance, now = place
    private = Ed25519PrivateKey.from_private_bytes(chance.randbytes(32))
    public = private.public_key()
    key = hashlib.sha256(public.public_bytes_raw()).hexdigest()
    if kept_as is not None:
        pem = public.public_bytes(
            serialization.Encoding.PEM, serialization.PublicFormat.SubjectPublicKeyInfo
        )
        (shop / SEALS).mkdir(exist_ok=True)
        write_whole(shop / SEALS / f"{kept_as}-{key[:16]}.pem", pem)
    with ledger.held_ledger(shop) as held:
        draft = next_entry(Sealed(key=key), _supervisor(shop), now, held.last)
        message = signed_bytes(draft) if good else b"something else"
        signed = Sealed(key=key, signature=private.sign(message).hex())
        held.append(signed, _supervisor(shop), now)


def _supervisor(shop: Path) -> str:
    return f"S-{shop.name[:3]}5"


def _seal_broken(place: Place) -> list[Planted]:
    _seal(place, _supervisor(place[0]), good=False)
    return [Planted(place[0].name, "seal-broken")]


def _seal_of_another(place: Place) -> list[Planted]:
    _seal(place, _supervisor(place[0])[:-1] + "6", good=True)
    return [Planted(place[0].name, "seal-of-another")]


def _seal_unknown(place: Place) -> list[Planted]:
    _seal(place, None, good=True)
    return [Planted(place[0].name, "seal-key-unknown")]


WITHOUT_LEDGER = ("ledger-gone", "entered-afterwards")
"""Plants after which no ledger vouches for the jobs from before."""

SEALED = ("seal-broken", "seal-of-another", "seal-key-unknown")
"""Plants that need the library for seals."""

LEDGER: dict[str, Callable[[Place], list[Planted]]] = {
    "entry-changed": _changed,
    "entry-missing": _missing,
    "entry-extra": _extra,
    "entry-reordered": _reordered,
    "ledger-torn": _torn,
    "ledger-gone": _gone,
    "entered-afterwards": _begun_anew,
    "seal-broken": _seal_broken,
    "seal-of-another": _seal_of_another,
    "seal-key-unknown": _seal_unknown,
}
"""By the rule that should find it."""
