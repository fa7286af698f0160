"""Stand-ins for photos: tiny grey pictures, each another, the same on every system."""

import struct
import zlib
from random import Random


def picture(chance: Random) -> bytes:
    """Return a PNG of 8 by 8 grey points, as the W3C's specification has it."""
    rows = b"".join(b"\0" + chance.randbytes(8) for _ in range(8))
    return (
        b"\x89PNG\r\n\x1a\n"
        + _chunk(b"IHDR", struct.pack(">IIBBBBB", 8, 8, 8, 0, 0, 0, 0))
        # Level 0, because other levels give other bytes from one version of zlib to the next.
        + _chunk(b"IDAT", zlib.compress(rows, 0))
        + _chunk(b"IEND", b"")
    )


def _chunk(kind: bytes, content: bytes) -> bytes:
    check = struct.pack(">I", zlib.crc32(kind + content))
    return struct.pack(">I", len(content)) + kind + content + check
