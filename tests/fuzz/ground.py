"""The shop that the parsers are fed in: small, whole, and with one job that has ended."""

import shutil
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

from any_actions import finish
from bay import BAD, S1, SMALL_TEXT, Bay, keys_in
from lamp import make_shop as make_lamps
from lamp import write_script

from baycompanion.job.actions import (
    Answer,
    Borrow,
    ClearFault,
    Close,
    Note,
    Override,
    RaiseFault,
    Reopen,
    Settle,
)
from baycompanion.job.deciding.draft import Person
from baycompanion.job.events.carried import Vehicle
from baycompanion.job.events.chain import canonical
from baycompanion.job.events.event import Event
from baycompanion.job.events.moment import write_moment
from baycompanion.job.hands_actions import HandOver, PauseWork, Resume
from baycompanion.learning.drill.recalls import Recalled
from baycompanion.procedure.load import load_procedure
from baycompanion.store.job import journal
from baycompanion.store.job.folder import RECORD, make_job, read_job, record_bytes, record_of
from baycompanion.store.ledger import ledger
from baycompanion.store.ledger.entering import enter
from baycompanion.store.recalls import keep_recall, put_aside, recalls_path
from baycompanion.store.review import NAME as REVIEW
from baycompanion.store.review import Decided, LookedAt, decide, look_at
from baycompanion.store.shop import Shop, open_shop
from baycompanion.store.staff.staff_log import NAME as STAFF_LOG
from baycompanion.store.staff.staff_log import Added, PinRefused, SignedOff, log_change

STAFF = """\
staff:
  - { id: T1, role: technician }
  - { id: T2, role: technician }
  - { id: S1, role: supervisor }
  - { id: N1, role: trainee }
"""
LEARNER = Person("N1", "trainee")
NOW = datetime(2026, 3, 20, 9, 0, tzinfo=UTC)


@dataclass(frozen=True, slots=True)
class Ground:
    """A shop folder, and the bytes of each of its files while they are whole."""

    shop: Shop
    bare: Path
    """A shop folder with staff and settings, and no job: an audit of it is quick."""
    lamps: Shop
    """A shop with a short procedure on its shelf; jobs that are begun there are taken away."""
    job: Path
    """The folder of the job that ended."""
    held: Path
    """A copy of it that a target may hold open."""
    journals: tuple[bytes, ...]
    """Of that job and of others that it could have been."""
    record: bytes
    ledger: bytes
    recalls: bytes
    review: bytes
    staff_log: bytes

    @property
    def recalls_path(self) -> Path:
        """Where the answers of the trainee lie."""
        return recalls_path(self.shop.folder, LEARNER.id)


def make_ground(folder: Path) -> Ground:
    """Make the shop in `folder`, with everything in it that can be read back."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "staff.yaml").write_text(STAFF, encoding="utf-8")
    shop = open_shop(folder)
    loaded = load_procedure(SMALL_TEXT, "small.yaml")
    job = make_job(shop.jobs, loaded, keys_in(vehicle=Vehicle(description="Blue van")))
    first = journal.read_journal(job / journal.NAME).events
    walks = [_written(bay.events) for bay in (_troubled(first), _passed_on(first), _good(first))]
    (job / journal.NAME).write_bytes(walks[-1])
    (job / RECORD).write_bytes(record_bytes(record_of(read_job(job))))
    enter(job, NOW)
    held = shutil.copytree(job, folder / "held")
    _logs(shop)
    bare = open_shop(folder / "bare")
    lamps = make_lamps(folder / "lamps")
    write_script(folder / "lamps")
    return Ground(
        shop=shop,
        bare=bare.folder,
        lamps=lamps,
        job=job,
        held=held,
        journals=tuple(walks),
        record=(job / RECORD).read_bytes(),
        ledger=(folder / ledger.NAME).read_bytes(),
        recalls=recalls_path(folder, LEARNER.id).read_bytes(),
        review=(folder / REVIEW).read_bytes(),
        staff_log=(folder / STAFF_LOG).read_bytes(),
    )


def _written(events: list[Event]) -> bytes:
    return b"".join(canonical(event.as_dict()) + b"\n" for event in events)


def _good(first: tuple[Event, ...]) -> Bay:
    """Return the job walked well to its end, with the keys given back."""
    bay = Bay(events=list(first)).walk()
    bay.do(Close(close="keys back"))
    return bay


def _troubled(first: tuple[Event, ...]) -> Bay:
    """Return the job closed after faults, an override, a pause, a hand-over and work done again."""
    bay = Bay(events=list(first)).walk("gauges")
    bay.do(
        Note(note="a word"),
        RaiseFault(fault="a scratch", cause="work"),
        ClearFault(clear=1, words="polished"),
        Borrow(borrow="ground", place="behind the dash", method="ground"),
        Reopen(reopen="odometer", reason="misread"),
        Answer(answer="odometer", value="80124"),
        PauseWork(pause="rain", loose="nothing", first="look"),
    )
    bay.do(Resume(resume="dry", still_true=("battery-off",), gate_checked=True))
    bay.held(sound=[Answer(answer="sound", outcome="not fitted")])
    gate = Override(override="sound-before-refit", reason="r", words="none", instead="listened")
    bay.do(gate, who=S1)
    finish(bay)
    return bay


def _passed_on(first: tuple[Event, ...]) -> Bay:
    """Return the job under way, after a lead that came off and another pair of hands."""
    bad = [*BAD["joins-hold"], Settle(settle="joins-hold", cause="vehicle", words="brittle")]
    bay = Bay(events=list(first)).walk("joins-hold")
    bay.do(*bad)
    bay.do(HandOver(hand_over="T2", words="next", loose="the dash", first="the gate"))
    return bay


def _logs(shop: Shop) -> None:
    """Write something of every kind into each log of the shop."""
    recalled = Recalled(
        procedure="lamp",
        revision=1,
        card="lamp/next/1",
        face="ab" * 32,
        asked="next",
        phase="fit",
        right=True,
        rating="good",
        given=["lamp-in"],
        due=write_moment(NOW + timedelta(days=2)),
    )
    keep_recall(shop.folder, LEARNER, recalled, NOW)
    other = {"card": "lamp/next/2", "right": False, "rating": "again"}
    keep_recall(shop.folder, LEARNER, recalled.model_copy(update=other), NOW)
    put_aside(shop.folder, LEARNER, ["lamp/next/2"], NOW)
    looked = LookedAt(finding="ab" * 8, rule="quick-phase", words="Seen.")
    look_at(shop.folder, looked, S1, NOW)
    accepted = Decided(
        gate="sound-before-refit",
        procedure="small-receiver",
        revision=1,
        course="accept-until",
        until="2026-12-31",
        words="No speakers yet.",
    )
    decide(shop.folder, accepted, S1, NOW)
    signed = SignedOff(
        who="N1", procedure="lamp", revision=1, job="20260302-wo-7", until="2027-03-20"
    )
    log = shop.folder / STAFF_LOG
    for what in (Added(who="N1", role="trainee"), signed, PinRefused(who="T1", tries=1)):
        log_change(log, what, "S1", NOW)
