"""Which program worked the facts of a job out: a hash that changes with every line of its rules."""

import hashlib
import secrets
import sys
from functools import cache
from pathlib import Path

import pydantic
import yaml

import baycompanion

PACKAGES = ("audit", "job", "learning", "procedure", "spread", "store", "text", "trade", "wiring")
"""The packages that facts are worked out by: all that are loaded for it."""


@cache
def program_hash() -> str:
    """Return a hash of the sources behind the facts and of the libraries that write them, in hex.

    It is taken from the sources themselves, so that nobody can forget to raise a number. Where
    they are not there, it is another each time: nothing is taken from an index then.
    """
    root = Path(baycompanion.__file__).parent
    if not (root / "audit" / "reading" / "program.py").exists():  # installed without its sources
        return secrets.token_hex()
    told = hashlib.sha256(f"{sys.version} {pydantic.VERSION} {yaml.__version__}".encode())
    for package in PACKAGES:
        for path in sorted((root / package).rglob("*.py")):
            told.update(path.relative_to(root).as_posix().encode())
            told.update(hashlib.sha256(path.read_bytes()).digest())
    return told.hexdigest()
