"""`seal`: a supervisor signs the ledger of the shop as it stands, or makes the key for it."""

from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import click

from baycompanion.audit.chains.chain_break import first_break
from baycompanion.audit.chains.integrity import broken_ledger
from baycompanion.audit.chains.seal_integrity import SEAL_BROKEN, Seals
from baycompanion.audit.findings import Finding
from baycompanion.commands.opening import found_shop, in_terminal
from baycompanion.commands.signing import sign
from baycompanion.exits import Exit
from baycompanion.job.deciding.draft import Person
from baycompanion.job.events.chain import fingerprint
from baycompanion.mishaps import Chosen
from baycompanion.out import data, talk
from baycompanion.store.ledger.entry import Sealed, next_entry
from baycompanion.store.ledger.ledger import NAME, Ledger, held_ledger, ledger_lines, read_readable
from baycompanion.store.ledger.seals import (
    SHORTEST_PHRASE,
    PrivateKey,
    PublicKey,
    find_own_key,
    known_keys,
    make_key,
    open_key,
    refuse_key_there,
    refuse_without_library,
    signed_bytes,
)
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble
from baycompanion.store.typed_path import typed_path


def seal_or_make_key(
    chosen: Chosen, new_key: str | None, key: str | None, descriptor: int | None, now: datetime
) -> int:
    """Seal the ledger with the private key in the file `key`, or make a key for `new_key`."""
    refuse_without_library()
    shop = found_shop(chosen)
    path = typed_path(key) if key is not None else None
    if new_key is not None:
        return _make(shop, shop.person(new_key), path, descriptor, now)
    path = path or find_own_key(shop.folder)
    private = open_key(path, _phrase(descriptor, new=False))
    public = _known(shop.folder, private)
    if not _may_seal(shop.person(public.staff)):
        return Exit.REFUSED
    with held_ledger(shop.folder) as ledger:
        return _seal(shop, ledger, private, public, now)


def _make(shop: Shop, who: Person, path: Path | None, descriptor: int | None, now: datetime) -> int:
    """Make a key for the supervisor `who`, and say where it lies and what to write down.

    Raises:
        WrongPin: They have a PIN, and another was given.
    """
    if not _may_seal(who):
        return Exit.REFUSED
    if path is not None:
        refuse_key_there(path)
    phrase = _phrase(descriptor, new=True)
    sign(shop, who, now)
    private, public = make_key(shop.folder, who.id, phrase, path)
    data(f"Private key  {private}")
    data(f"Fingerprint  {fingerprint(public.id)}")
    talk(
        "Write the fingerprint down on paper: it tells this key from one that somebody else puts "
        "into the shop folder. The private key is of no use without its pass phrase, and neither "
        "can be made again."
    )
    return Exit.DONE


def _may_seal(who: Person) -> bool:
    """Return whether `who` may seal, and say so where not."""
    if who.role == "supervisor":
        return True
    talk(f"{who.id} is a {who.role}; only a supervisor seals the ledger.")
    return False


def _phrase(descriptor: int | None, new: bool) -> str:
    """Return the pass phrase, typed unseen, or read from a file descriptor; it is shown nowhere.

    Raises:
        UsageError: There is no terminal to type it in, it cannot be read, or it is too short.
    """
    if descriptor is not None:
        phrase = _read_phrase(descriptor)
    elif in_terminal():
        phrase = click.prompt("Pass phrase", hide_input=True, confirmation_prompt=new, err=True)
    else:
        raise click.UsageError("The pass phrase is typed in a terminal, or give --pass-phrase-fd")
    if new and len(phrase) < SHORTEST_PHRASE:
        raise click.UsageError(f"A pass phrase has {SHORTEST_PHRASE} characters or more")
    return phrase


def _read_phrase(descriptor: int) -> str:
    """Return the first line that the file descriptor gives."""
    try:
        with open(descriptor, encoding="utf-8", closefd=False) as file:
            return file.readline(10_000).rstrip("\r\n")
    except (OSError, ValueError, OverflowError):
        raise click.UsageError(f"No pass phrase can be read from {descriptor}") from None


def _known(folder: Path, private: PrivateKey) -> PublicKey:
    """Return the public key of `private` as the shop knows it.

    Raises:
        StoreTrouble: The shop does not know it.
    """
    for key in known_keys(folder):
        if isinstance(key, PublicKey) and key.id == private.id:
            return key
    raise StoreTrouble(f"This shop does not know the key {fingerprint(private.id)}.")


def _seal(shop: Shop, ledger: Ledger, private: PrivateKey, public: PublicKey, now: datetime) -> int:
    """Append the seal over all that stands in the ledger, unless that does not hold together."""
    if ledger.last is None:
        talk(
            "The ledger of this shop has no entry, so there is nothing to seal. A job that ends is "
            "entered; opening the board enters those that ended before."
        )
        return Exit.REFUSED
    broken = first_break(line.rstrip(b"\n") for line in ledger_lines(shop.folder / NAME))
    if broken is not None:
        talk(f"This ledger is not sealed as it stands: {broken_ledger(broken).sentence}")
        return Exit.REFUSED
    unfit = next(_unfit_seals(shop.folder), None)
    if unfit is not None:
        talk(f"This ledger is not sealed as it stands: {unfit.sentence}")
        return Exit.REFUSED
    draft = next_entry(Sealed(key=private.id), public.staff, now, ledger.last)
    signature = private.sign(signed_bytes(draft)).hex()
    entry = ledger.append(Sealed(key=private.id, signature=signature), public.staff, now)
    data(f"Sealed by    {public.staff}, key {fingerprint(public.id)}")
    data(f"Entries      1 to {entry.seq - 1}")
    data(f"Fingerprint  {fingerprint(entry.hash)}")
    return Exit.DONE


def _unfit_seals(shop: Path) -> Iterator[Finding]:
    """Yield which earlier seals do not fit: a new one would vouch for what was written anew."""
    entries = read_readable(shop / NAME, containing=Sealed.kind)
    for found in Seals(shop).audit(entries):
        if isinstance(found, Finding) and found.rule == SEAL_BROKEN:
            yield found
