"""A shop with one procedure of six steps, and a script that plays it, for tests of whole jobs."""

import struct
import zlib
from datetime import UTC, datetime
from pathlib import Path

from baycompanion.play.run import Played, play
from baycompanion.play.script import read_script
from baycompanion.store.shop import Shop, open_shop

START = datetime(2026, 3, 2, 8, 30, tzinfo=UTC)

STAFF = """\
staff:
  - { id: T1, role: technician }
  - { id: T2, role: technician }
  - { id: S1, role: supervisor }
"""

PROCEDURE = """\
procedure: lamp
title: Fit a reading lamp
revision: 2
fits: Is there a lamp opening in the headliner?
hazards: none
tools:
  - { tool: meter, name: Multimeter, by: fit, instrument: yes }
parts: none
phases:
  - phase: take-in
    title: Take the vehicle in
    target: 5 min
    steps:
      - do: Put the tools on the bench.
        id: tools-staged
        each: tools
  - phase: fit
    title: Fit the lamp
    target: 10 min
    steps:
      - measure: Read the voltage at the lead.
        id: volts
        unit: V
        at-least: 11.5
        instrument: meter
        source: Invented.
      - do: Clip the lamp in.
        id: lamp-in
        cautions:
          - warning: A lead under power sparks.
            consequence: The spark burns.
            avoid: Switch the lamp off first.
        photo: required
      - check: The lamp lights.
        id: lights
      - witness: See for yourself that the lamp lights.
        id: lights-seen
        of: [lights]
  - phase: keys-back
    title: Give the keys back
    target: 2 min
    steps:
      - do: Show the owner the lamp.
        id: shown
gates:
  - gate: lamp-proved
    holds: keys-back
    until:
      - passed: lights
      - witnessed: lights-seen
      - no-open-fault: work
    because: A lamp that was not seen to light comes back.
    override: supervisor
"""

HEAD = """\
script: 1
procedure: lamp
work-order: WO 7/b
vehicle: { description: yellow test van, vin: 00DEM0000TEST0007 }
technician: T1
start: 2026-03-02T08:30:00Z
pace: 30 s
actions:
"""

ACTIONS = """\
  - { accept: hazards }
  - { tick: tools-staged, item: meter, outcome: here, instrument: M-3, due: 2099-06-30 }
  - { answer: tools-staged }
  - { answer: volts, value: 12.60 }
  - { acknowledge: lamp-in, after: 10 s }
  - { photo: lamp.png, after: 1 min }
  - { answer: lamp-in, after: 3 min }
  - { answer: lights, outcome: passed }
  - { answer: lights-seen, outcome: passed, by: S1 }
  - { answer: shown }
  - { close: keys back }
"""

SCRIPT = HEAD + ACTIONS


def _chunk(kind: bytes, content: bytes) -> bytes:
    check = struct.pack(">I", zlib.crc32(kind + content))
    return struct.pack(">I", len(content)) + kind + content + check


PICTURE = (
    b"\x89PNG\r\n\x1a\n"
    + _chunk(b"IHDR", struct.pack(">IIBBBBB", 1, 1, 8, 0, 0, 0, 0))
    + _chunk(b"IDAT", zlib.compress(b"\0\0"))
    + _chunk(b"IEND", b"")
)
"""The smallest grey picture that the PNG specification (W3C, third edition) allows."""


def make_shop(folder: Path) -> Shop:
    """Make a shop in `folder` with three people and the procedure on its shelf."""
    (folder / "procedures").mkdir(parents=True)
    (folder / "staff.yaml").write_text(STAFF, encoding="utf-8")
    (folder / "procedures" / "lamp.yaml").write_text(PROCEDURE, encoding="utf-8")
    return open_shop(folder)


def write_script(folder: Path, text: str = SCRIPT) -> Path:
    """Write a script and its picture into `folder`, and return the script."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "lamp.png").write_bytes(PICTURE)
    path = folder / "job.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def play_text(text: str, folder: Path, shop: Shop, start: datetime = START) -> Played:
    """Play the script in `text`, with its picture in `folder`, into `shop`."""
    path = write_script(folder, text)
    return play(read_script(text, path.name), folder, shop, start)
