"""A shop to review: lamp jobs of some weeks, and a gate that is overridden more and more.

All of it is invented. Run as a program, it makes such a shop to look at; the supervisor S2 has the
PIN 4711. `python tests/reviewed_shop.py FOLDER`
"""

import sys
from datetime import timedelta
from pathlib import Path

from lamp import ACTIONS, HEAD, START, make_shop, play_text
from played_once import played_once

from baycompanion.play.run import Played
from baycompanion.store.shop import Shop, open_shop
from baycompanion.store.staff.pins import hash_pin

PIN = "4711"
KEPT = hash_pin(PIN)

PATTERN = "." * 11 + "x..x.xxx.xxx"
"""A job a day, overridden where an `x` stands."""

_PASSED = """\
  - { answer: lights, outcome: passed }
  - { answer: lights-seen, outcome: passed, by: S1 }
"""
_OVERRIDDEN = """\
  - { answer: lights, outcome: failed }
  - { settle: lights, cause: vehicle, words: the lead is dead }
  - { answer: lights-seen, outcome: failed, by: S1 }
  - { settle: lights-seen, cause: vehicle, words: the lead is dead }
  - { override: lamp-proved, reason: measured another way, words: "the owner [knows]", instead: a
      lamp on the dash, by: S2 }
"""


def make_reviewed_shop(folder: Path, pattern: str = PATTERN, pin: bool = True) -> Shop:
    """Make a shop in `folder` with a job for each sign of `pattern`; S2 has a PIN."""
    make_shop(folder)
    kept = f', pin: "{KEPT}"' if pin else ""
    with (folder / "staff.yaml").open("a", encoding="utf-8") as staff:
        staff.write(f"  - {{ id: S2, role: supervisor{kept} }}\n")
        staff.write("  - { id: S3, role: supervisor, active: no }\n")
    with (folder / "shop.yaml").open("r+", encoding="utf-8") as settings:
        text = settings.read().replace("name: This shop", "name: Test bay")
        settings.seek(0)
        settings.write(text)
    shop = open_shop(folder)
    played_once(shop, ("reviewed", pattern), lambda: _play(folder, shop, pattern))
    return shop


def _play(folder: Path, shop: Shop, pattern: str) -> list[Played]:
    played = []
    for day, sign in enumerate(pattern):
        actions = ACTIONS if sign == "." else ACTIONS.replace(_PASSED, _OVERRIDDEN)
        start = START + timedelta(days=day)
        head = HEAD.replace("WO 7/b", f"WO {100 + day}").replace(
            "2026-03-02T08:30:00Z", f"{start:%FT%TZ}"
        )
        played.append(play_text(head + actions, folder / "script", shop, start))
        assert played[-1].stop is None, played[-1].stop
    return played


if __name__ == "__main__":
    make_reviewed_shop(Path(sys.argv[1]))
