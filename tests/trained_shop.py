"""A shop with a trainee who has fitted mirrors before, as often and as well as a test says.

All of it is invented. Run as a program, it makes a shop to look at: the trainee N1 did four mirrors
right, and has a fifth under way. `python tests/trained_shop.py FOLDER [JOBS]`
"""

import sys
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path

from lamp import play_text

from baycompanion.play.run import Played
from baycompanion.store.shop import Shop, open_shop

START = datetime(2026, 3, 2, 8, 30, tzinfo=UTC)

STAFF = """\
staff:
  - { id: T1, role: technician }
  - { id: S1, role: supervisor }
  - { id: N1, role: trainee }
  - { id: N2, role: trainee }
"""

PROCEDURE = """\
procedure: mirror
title: Fit a dimming mirror
revision: 1
fits: Does the glass carry a mirror foot?
hazards: none
tools:
  - { tool: pry, name: Trim tool, by: fit }
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
    title: Fit the mirror
    target: 10 min
    steps:
      - do: Lay the lead along the headliner.
        id: lead-laid
        tools: [pry]
        cautions:
          - warning: The curtain airbag lies behind the headliner.
            consequence: A lead across it tears it as it opens.
            avoid: Stay in front of it.
        details:
          - Push the lead in with the flat of the trim tool, hand by hand.
          - Stay 20 mm clear of the seam at the pillar.
          - Never pull at a connector.
          - Tape it down.
        why: The lead that is seen is the one that the owner brings back.
        target: 5 min
        photo: wanted
      - measure: Read the voltage at the lead.
        id: volts
        unit: V
        at-least: 11.5
        instrument: meter
        source: Invented
        details:
          - Hold the black probe on bare metal of the body.
          - Read V with the ignition on.
        why: A lead without power looks like a dead mirror.
      - check: The mirror dims.
        id: dims
        details:
          - Cover the sensor behind the glass with a thumb.
        back-to: lead-laid
  - phase: keys-back
    title: Give the keys back
    target: 2 min
    steps:
      - do: Show the owner the mirror.
        id: shown
gates:
  - gate: mirror-proved
    holds: keys-back
    until:
      - passed: dims
      - no-open-fault: work
    because: A mirror that was not seen to dim comes back.
    override: supervisor
"""

HEAD = """\
script: 1
procedure: mirror
work-order: {order}
vehicle: {{ description: green test wagon, vin: 00DEM0000TEST0007 }}
technician: {who}
{mentor}start: {start:%FT%TZ}
pace: 60 s
actions:
"""

MOVES = {
    "begin": [
        "{ accept: hazards }",
        "{ tick: tools-staged, item: pry, outcome: here }",
        "{ tick: tools-staged, item: meter, outcome: here, instrument: M-3, due: 2099-06-30 }",
        "{ answer: tools-staged }",
        "{ acknowledge: lead-laid }",
    ],
    "lead-laid": ["{ answer: lead-laid, after: 5 min }"],
    "volts": ["{ answer: volts, value: 12.60 }"],
    "dims": ["{ answer: dims, outcome: passed }"],
    "shown": ["{ answer: shown }"],
    "close": ["{ close: keys back }"],
}
"""What is done in a job that goes well, by what is in hand."""

LAID_AGAIN = [
    *MOVES["dims"],
    '{ reopen: lead-laid, reason: "it shows" }',
    "{ acknowledge: lead-laid }",
    *MOVES["lead-laid"],
]
"""Beside `dims`: the lead is laid once more after it was found to show."""

OVERRIDDEN = [
    "{ answer: dims, outcome: could not test, words: no sun }",
    "{ override: mirror-proved, reason: measured another way, words: no sun, instead: tested "
    "indoors, by: S1 }",
]
"""In place of `dims`: the gate that waits for it is overridden."""

FAILED_FIRST = ["{ answer: dims, outcome: failed }", *MOVES["dims"]]
"""In place of `dims`: it fails, is done again, and passes."""

NOT_FITTED = [
    "{ answer: dims, outcome: not fitted }",
    *OVERRIDDEN[1:],
]
"""In place of `dims`: this mirror has nothing that dims."""

FAULT_FOUND = [
    "{ fault: the trim is bent, cause: work }",
    "{ clear: 1, words: another trim }",
    *MOVES["lead-laid"],
]
"""In place of `lead-laid`: the work bent something."""

FROM_PAPER = ["{ answer: volts, value: 12.60, claimed: 2026-03-02T08:40:00Z, on-paper: yes }"]
"""In place of `volts`: it was written on the paper form."""

HANDED_ON = [
    "{ hand-over: T1, words: the lead is in, loose: nothing, first: read the voltage }",
    '{ resume: "the lead is in", gate-checked: yes, by: T1 }',
    *MOVES["volts"],
]
"""In place of `volts`: somebody else takes the job before it."""


@dataclass
class TrainedShop:
    """The shop, and what is played in it day by day."""

    folder: Path
    shop: Shop = field(init=False)
    days: int = 0

    def __post_init__(self) -> None:
        (self.folder / "procedures").mkdir(parents=True)
        (self.folder / "staff.yaml").write_text(STAFF, encoding="utf-8")
        self.put(PROCEDURE)
        self.shop = open_shop(self.folder)

    def put(self, procedure: str) -> None:
        """Put this text on the shelf."""
        (self.folder / "procedures" / "mirror.yaml").write_text(procedure, encoding="utf-8")

    def set_staff(self, was: str, now: str) -> None:
        """Change the staff file, and read the shop again."""
        self._change("staff.yaml", was, now)

    def set_shop(self, line: str) -> None:
        """Write a line into the settings, and read the shop again."""
        self._change("shop.yaml", "name: This shop\n", f"name: This shop\n{line}\n")

    def _change(self, name: str, was: str, now: str) -> None:
        path = self.folder / name
        text = path.read_text(encoding="utf-8")
        assert was in text
        path.write_text(text.replace(was, now), encoding="utf-8")
        self.shop = open_shop(self.folder)

    def play(
        self,
        *,
        who: str = "N1",
        until: str = "",
        start: datetime | None = None,
        **instead: Sequence[str],
    ) -> Played:
        """Play a job the next day, well but for what is done `instead`; it stops before `until`."""
        start = start or START + timedelta(days=self.days)
        self.days += 1
        order = f"WO {100 + self.days}"
        mentor = "mentor: S1\n" if who.startswith("N") else ""
        lines = []
        for name, moves in MOVES.items():
            if name == until:
                break
            lines += instead.get(name, moves)
        text = HEAD.format(order=order, who=who, mentor=mentor, start=start)
        text += "".join(f"  - {line}\n" for line in lines)
        played = play_text(text, self.folder / "script", self.shop, start)
        assert until or played.stop is None, played.stop
        return played

    def play_well(self, jobs: int) -> None:
        """Play so many jobs in which the trainee did every step right."""
        for _ in range(jobs):
            self.play()

    def under_way(self, until: str = "lead-laid") -> Played:
        """Play a job that stops before the step `until` is answered."""
        return self.play(until=until)


def main(folder: Path, jobs: int = 4) -> None:
    """Make a shop in `folder` with so many ended jobs, and one that began 11 minutes ago."""
    trained = TrainedShop(folder)
    trained.play_well(jobs)
    now = datetime.now(UTC).replace(microsecond=0)
    trained.play(until="lead-laid", start=now - timedelta(minutes=7))


if __name__ == "__main__":
    main(Path(sys.argv[1]), *map(int, sys.argv[2:]))
