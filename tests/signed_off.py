"""A shop with a trainee who did lamp jobs beside a mentor, and supervisors with a PIN.

Run as a program, it makes one to look at: `python tests/signed_off.py FOLDER`
"""

import sys
from datetime import datetime, timedelta
from pathlib import Path

from lamp import HEAD, PROCEDURE, SCRIPT, START, make_shop, play_text
from past_shop import invented_minutes, lamp_script, play_past
from played_once import played_once

from baycompanion.play.run import Played
from baycompanion.store.shop import Shop, open_shop
from baycompanion.store.staff.pins import hash_pin

PIN = "4711"
KEPT = hash_pin(PIN)

STAFF = f"""\
# The people of an invented shop.
staff:
  - {{ id: T1, role: technician }}
  - {{ id: T2, role: technician }}
  # Learns since March.
  - id: N1
    role: trainee
  - {{ id: N2, role: trainee }}
  - id: S1
    role: supervisor
    pin: {KEPT}
  - id: S2
    role: supervisor
    pin: {KEPT}
  - {{ id: S3, role: supervisor }}
"""


def learning_shop(folder: Path) -> Shop:
    """Return a shop in `folder` with two trainees, and no job yet."""
    make_shop(folder)
    (folder / "staff.yaml").write_text(STAFF, encoding="utf-8")
    return open_shop(folder)


def lamp_by(
    shop: Shop,
    who: str = "N1",
    mentor: str = "T1",
    start: datetime = START,
    order: str = "WO 7",
    without: str = "",
    script: str = SCRIPT,
) -> Played:
    """Play a lamp job of `who` beside `mentor`; the actions that hold `without` are left out."""
    beside = f"mentor: {mentor}\n" if mentor else ""
    text = script.replace("technician: T1\n", f"technician: {who}\n{beside}")
    text = text.replace("WO 7/b", order).replace("2026-03-02T08:30:00Z", f"{start:%FT%TZ}")
    lines = text.splitlines(keepends=True)
    kept = "".join(line for line in lines if not without or without not in line)
    return play_text(kept, shop.folder / "script", shop, start)


UNSEEN = PROCEDURE.replace(
    """\
      - witness: See for yourself that the lamp lights.
        id: lights-seen
        of: [lights]
""",
    "",
).replace("      - witnessed: lights-seen\n", "")
"""The lamp without a second person."""

assert UNSEEN != PROCEDURE and HEAD in SCRIPT


def fill(shop: Shop) -> None:
    """Let fifteen lamp jobs of T1 be past, and three of N1 beside T1 after them."""
    play_past(shop.folder, shop, invented_minutes(15, seed=5))
    played_once(shop, "three jobs of N1", lambda: [_beside(shop, number) for number in range(3)])


def _beside(shop: Shop, number: int) -> Played:
    minutes = ((11, 40, 12), (9, 33, 14), (12, 31, 10))[number]
    start = START + timedelta(days=40 + number)
    script = lamp_script(f"WO 8{number}", start, minutes)
    return lamp_by(shop, start=start, order=f"WO 8{number}", script=script)


def main(folder: Path) -> None:
    """Make a shop in `folder` with a past, and two trainees of whom one did three jobs."""
    fill(learning_shop(folder))


if __name__ == "__main__":
    main(Path(sys.argv[1]))
