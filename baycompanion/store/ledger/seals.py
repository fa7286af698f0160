"""The keys that seal a ledger: a private one of the supervisor's own, public ones in the shop.

Signatures are Ed25519 (RFC 8032); keys lie in PEM files, private ones as PKCS #8 under a pass
phrase. The library that does this is loaded only here, and only when it is used.
"""

import hashlib
import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from baycompanion.job.events.chain import canonical
from baycompanion.store.durable import flush, flush_folder, write_whole
from baycompanion.store.extras import refuse_without
from baycompanion.store.ledger.entry import Entry, Sealed, covered
from baycompanion.store.reading import files_in, read_bytes
from baycompanion.store.trouble import StoreTrouble, because

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import (
        Ed25519PrivateKey,
        Ed25519PublicKey,
    )

SEALS = "seals"
"""The folder of a shop that holds the public keys."""

PURPOSE = b"baycompanion ledger seal 1\n"
"""What stands before the bytes that are signed, so that a signature means nothing elsewhere."""

SHORTEST_PHRASE = 8
"""Characters of the shortest pass phrase. Own choice."""


@dataclass(frozen=True, slots=True)
class PublicKey:
    """A public key that a shop knows."""

    staff: str
    """Whose it is, by its file name."""
    id: str
    """The SHA-256 of its 32 bytes, in hex."""
    raw: bytes


@dataclass(frozen=True, slots=True)
class PrivateKey:
    """A private key that was opened with its pass phrase."""

    id: str
    """That of its public key."""
    sign: Callable[[bytes], bytes]
    """Returns the signature of some bytes."""


def refuse_without_library() -> None:
    """Refuse where the library for signatures is not installed.

    Raises:
        StoreTrouble: It is not; the message says what to install.
    """
    refuse_without("cryptography", "seal", "Seals need one more library.")


def own_keys() -> Path:
    """Return the folder for private keys: in the user's own data, outside of every shop."""
    from platformdirs import user_data_path

    return user_data_path("baycompanion", appauthor=False) / "keys"


def make_key(shop: Path, staff: str, phrase: str, at: Path | None) -> tuple[Path, PublicKey]:
    """Make a key for the staff member `staff`; return where the private one lies, and the public.

    The private key goes to the file `at`, or among the user's own; the public one into the shop.

    Raises:
        StoreTrouble: A file cannot be written, or is there already.
    """
    refuse_without_library()
    from cryptography.hazmat.primitives import serialization
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

    private = Ed25519PrivateKey.generate()
    public = private.public_key()
    key = PublicKey(staff, *_id_of(public))
    name = f"{staff}-{key.id[:16]}.pem"
    path = at or own_keys() / name
    _write_private(
        path,
        private.private_bytes(
            serialization.Encoding.PEM,
            serialization.PrivateFormat.PKCS8,
            serialization.BestAvailableEncryption(phrase.encode()),
        ),
    )
    pem = public.public_bytes(
        serialization.Encoding.PEM, serialization.PublicFormat.SubjectPublicKeyInfo
    )
    try:
        (shop / SEALS).mkdir(exist_ok=True)
    except OSError as error:
        raise StoreTrouble(f"{shop / SEALS} cannot be made: {because(error)}.") from None
    write_whole(shop / SEALS / name, pem)
    return path, key


def _id_of(public: "Ed25519PublicKey") -> tuple[str, bytes]:
    raw = public.public_bytes_raw()
    return hashlib.sha256(raw).hexdigest(), raw


def refuse_key_there(path: Path) -> None:
    """Refuse to make a key at `path`, where something is already.

    Raises:
        StoreTrouble: Something is.
    """
    if os.path.lexists(path):
        raise StoreTrouble(f"{path} is there already. Name another file with --key.")


def _write_private(path: Path, pem: bytes) -> None:
    """Write a private key where no file is yet, readable by its owner alone."""
    refuse_key_there(path)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with open(descriptor, "wb") as file:  # noqa: PTH123
            file.write(pem)
            file.flush()
            flush(file.fileno())
        flush_folder(path.parent)
    except OSError as error:  # also where somebody put a file there just now
        raise StoreTrouble(f"{path} cannot be written: {because(error)}.") from None


def open_key(path: Path, phrase: str) -> PrivateKey:
    """Return the private key in the file at `path`, opened with its pass phrase.

    Raises:
        StoreTrouble: It cannot be read, is no such key, or the pass phrase does not open it.
    """
    refuse_without_library()
    from cryptography.exceptions import UnsupportedAlgorithm
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
    from cryptography.hazmat.primitives.serialization import load_pem_private_key

    content = read_bytes(path)
    try:
        private = load_pem_private_key(content, phrase.encode())
    except (ValueError, TypeError, UnsupportedAlgorithm):
        raise StoreTrouble(
            f"{path} is not opened by this pass phrase, or is no key under one."
        ) from None
    if not isinstance(private, Ed25519PrivateKey):
        raise StoreTrouble(f"{path} is no Ed25519 key. Make one with --new-key.")
    return _opened(private)


def _opened(private: "Ed25519PrivateKey") -> PrivateKey:
    return PrivateKey(_id_of(private.public_key())[0], private.sign)


def known_keys(shop: Path) -> Iterator[PublicKey | StoreTrouble]:
    """Yield the public keys of the shop in the folder `shop`, and why one cannot be read.

    Raises:
        StoreTrouble: The folder of the keys cannot be looked into.
    """
    refuse_without_library()
    for path in files_in(shop / SEALS, ".pem"):
        try:
            yield _read_public(path)
        except StoreTrouble as trouble:
            yield trouble


def _read_public(path: Path) -> PublicKey:
    from cryptography.exceptions import UnsupportedAlgorithm
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey
    from cryptography.hazmat.primitives.serialization import load_pem_public_key

    content = read_bytes(path)
    try:
        public = load_pem_public_key(content)
    except (ValueError, TypeError, UnsupportedAlgorithm):
        raise StoreTrouble(
            f"{path} is no public key. Put the file there again that was made with the key."
        ) from None
    if not isinstance(public, Ed25519PublicKey):
        raise StoreTrouble(f"{path} is no Ed25519 key.")
    return PublicKey(path.stem.rpartition("-")[0], *_id_of(public))


def find_own_key(shop: Path) -> Path:
    """Return the one private key of the user whose public key the shop knows.

    Raises:
        StoreTrouble: There is none, or more than one, or a folder of keys cannot be looked into.
    """
    known = {path.name for path in files_in(shop / SEALS, ".pem")}
    found = [path for path in files_in(own_keys(), ".pem") if path.name in known]
    if len(found) == 1:
        return found[0]
    if found:
        names = ", ".join(str(path) for path in sorted(found))
        raise StoreTrouble(f"There is more than one key. Name one with --key: {names}.")
    raise StoreTrouble(
        "There is no key here that this shop knows. Name its file with --key, or let a supervisor "
        "make one: baycompanion seal --new-key STAFF-ID"
    )


def signed_bytes(entry: Entry) -> bytes:
    """Return the bytes that the seal `entry` signs: all of it but its signature and its hash."""
    raw = covered(entry.seq, entry.at, entry.by, entry.data, entry.prev)
    data = {name: value for name, value in raw["data"].items() if name != "signature"}
    return PURPOSE + canonical({**raw, "data": data})


def fits(entry: Entry, key: PublicKey) -> bool:
    """Return whether the signature of the seal `entry` is one by `key`, over that very entry."""
    assert isinstance(entry.data, Sealed)
    try:
        return is_signed(key.raw, bytes.fromhex(entry.data.signature), signed_bytes(entry))
    except ValueError:
        return False


def is_signed(raw: bytes, signature: bytes, message: bytes) -> bool:
    """Return whether `signature` is that of `message` by the public key of the bytes `raw`."""
    from cryptography.exceptions import InvalidSignature
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

    try:
        Ed25519PublicKey.from_public_bytes(raw).verify(signature, message)
    except InvalidSignature:
        return False
    return True
