"""What is planted while a job is at work: through the core, or by a hand behind its back.

What the core refuses is forged as it could really come about: the journal of a job under way is
written anew, with every hash made afresh, and the job then goes on and is closed as usual. So the
ledger vouches for it, and only the rule that asks about it can tell.
"""

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from functools import partial

from baycompanion.demo_chain.forging import by_another, saying, without
from baycompanion.demo_chain.work import Course, Work
from baycompanion.job.actions import (
    Answer,
    RaiseFault,
    Settle,
    TickLine,
    TickRest,
)
from baycompanion.job.deciding.shop_lists import ShopLists
from baycompanion.job.hands_actions import ExplainGap, RefusePin, Resume
from baycompanion.store.job.open_job import OpenJob

DAYS_LEFT = timedelta(days=4)
"""How long a job is left standing."""


def gate_overridden(course: Course) -> None:
    """Leave the ground unmeasured, and let the supervisor open the gate that waits for it."""
    course.instead["ground-drop"] = _unmeasured

    def joined(work: Work) -> None:
        work.overridden("ground-proved")
        work.well("leads-joined")

    course.instead["leads-joined"] = joined


def own_gate(course: Course) -> None:
    """Put down to the supervisor what the gate waits for that the supervisor opens."""
    gate_overridden(course)

    def joined(work: Work) -> None:
        work.overridden("ground-proved")
        did = work.newest_of("answered", "ground-drop")
        work.forge(by_another(did, course.supervisor.id))
        work.well("leads-joined")

    course.instead["leads-joined"] = joined


def too_fast(course: Course) -> None:
    """Join the leads in the time that it takes to press two keys."""

    def joined(work: Work) -> None:
        work.photo(2)
        work.act(Answer(answer="leads-joined"), 2)

    course.instead["leads-joined"] = _seen("leads-joined", joined)


def burst(course: Course) -> None:
    """Answer four steps one after the other within seconds."""
    for step in ("leads-insulated", "fuse-right", "label-written", "lights"):
        within = 60 if step == "leads-insulated" else 2
        course.instead[step] = _seen(step, partial(Work.well, step=step, within=within))


def evenly_spaced(course: Course) -> None:
    """Answer step after step at equal distances, as nobody works."""
    course.pause_before = ""
    for step in PACED:
        course.instead[step] = _seen(step, partial(Work.well, step=step, within=150))


PACED = (
    *("supply", "ground-drop", "leads-joined", "leads-insulated", "fuse-right", "label-written"),
    *("lights", "lights-seen", "tray-back", "light-home", "quiet"),
)
"""Steps one after the other whose phases take about as long as usual when each takes 150 s."""


def fast_phase(course: Course) -> None:
    """Close the headliner in a twelfth of the time that it takes others, or in a third."""
    course.phases["refit"] = 1 / 3 if course.faint else 1 / 12


def worse_than_before(course: Course) -> None:
    """Find that one function does not work any more, and give the keys back all the same."""

    def after(work: Work) -> None:
        faulty = TickLine(
            tick="functions-after", item="horn", outcome="faulty", words="the horn is silent"
        )
        work.act(faulty, 30)
        work.act(TickRest(tick_rest="functions-after"), 120)
        work.act(Answer(answer="functions-after"), 30)
        raised = work.newest_of("fault-raised")
        settled = Settle(settle="functions-after", cause="work", words="the horn is silent")
        if work.job.state.current == "functions-after":
            work.act(settled, 60)
        work.evidence += (raised,)

    course.instead["functions-after"] = after


def open_fault(course: Course) -> None:
    """Write down a scratch that the work made, and never clear it."""

    def quiet(work: Work) -> None:
        work.act(RaiseFault(fault="the plate has a new scratch", cause="work"), 20)
        work.evidence += (work.newest,)
        work.well("quiet")

    course.instead["quiet"] = quiet


def no_photo(course: Course) -> None:
    """Take the event of the required picture out of the journal."""

    def joined(work: Work) -> None:
        work.well("leads-joined")
        work.forge(without(work.newest_of("photo-added", "leads-joined")))

    course.instead["leads-joined"] = joined


def untested(course: Course) -> None:
    """Test no function of the vehicle, before the work and after it, or only most of them."""
    course.untested = 1 / 4 if course.faint else 1


def self_witness(course: Course) -> None:
    """Put the second person's word down to the technician."""

    def seen(work: Work) -> None:
        work.well("lights-seen")
        said = work.newest_of("answered", "lights-seen")
        work.forge(by_another(said, course.technician.id))
        work.evidence += (said,)

    course.instead["lights-seen"] = seen


def without_pin(course: Course) -> None:
    """Believe the second person by id alone, though the shop has PINs."""
    course.second = replace(course.second, signed=None)


def no_mentor(course: Course) -> None:
    """Take the mentor of a trainee out of the first event."""

    def first(work: Work) -> None:
        work.forge(saying(1, mentor=None))
        work.evidence = (1,)

    course.first = first


def clock_back(course: Course) -> None:
    """Set the clock back by an hour in the middle of the work."""

    def supply(work: Work) -> None:
        work.now -= timedelta(hours=1)
        work.well("supply")
        work.evidence += (work.newest_of("clock-back"),)

    course.instead["supply"] = supply


def on_paper(course: Course) -> None:
    """Copy an entry from the paper form."""

    def shown(work: Work) -> None:
        work.now += timedelta(minutes=5)
        then = work.now - timedelta(minutes=2)
        work.act(Answer(answer="shown", claimed=then, on_paper=True), 0)
        work.evidence += (work.newest_of("answered", "shown"),)

    course.instead["shown"] = shown


def left_open(course: Course) -> None:
    """Let the job stand open for four days, and go on as if nothing had been."""

    def supply(work: Work) -> None:
        before = work.newest
        work.job.leave()
        work.now += DAYS_LEFT
        work.job = OpenJob(work.folder, work.lists, course.technician, work.now)
        work.evidence += (before, before + 1)
        work.act(ExplainGap(explain="away"), 30)
        if work.job.state.status == "paused":
            work.act(Resume(resume="all as it was", gate_checked=True), 60)
        work.well("supply")

    course.instead["supply"] = supply


def wrong_pins(course: Course) -> None:
    """Give three wrong PINs in a row for the second person."""

    def seen(work: Work) -> None:
        for tries in (1, 2, 3):
            work.act(RefusePin(refuse_pin=course.second.id, tries=tries), 15 * tries)
            work.evidence += (work.newest,)
        work.well("lights-seen")

    course.instead["lights-seen"] = seen


def nobody_looked(course: Course) -> None:
    """Let the technician, alone that day, release the work for now; nobody looks afterwards."""

    def seen(work: Work) -> None:
        alone = ShopLists({course.technician.id: course.technician}, work.lists.reasons)
        work.job.lists = alone
        words = "nobody else in the shop today"
        work.act(
            Answer(answer="lights-seen", outcome="provisional", words=words), work.takes("quiet")
        )
        work.evidence += (work.newest_of("answered", "lights-seen"),)
        work.job.lists = work.lists

    course.instead["lights-seen"] = seen


def _unmeasured(work: Work) -> None:
    could_not = Answer(answer="ground-drop", outcome="could not test", words="no meter here")
    work.act(could_not, work.takes("ground-drop"))


def _seen(step: str, act: Callable[[Work], None]) -> Callable[[Work], None]:
    """Return what does `act` and keeps the answer of `step` as what shows it."""

    def done(work: Work) -> None:
        act(work)
        answered = work.newest_of("answered", step)
        if answered not in work.evidence:
            work.evidence += (answered,)

    return done


WORKING: dict[str, Callable[[Course], None]] = {
    "gate-overridden": gate_overridden,
    "own-gate-overridden": own_gate,
    "answered-too-fast": too_fast,
    "answers-in-a-burst": burst,
    "answers-evenly-spaced": evenly_spaced,
    "phase-unusually-fast": fast_phase,
    "closed-worse-than-before": worse_than_before,
    "closed-with-open-fault": open_fault,
    "required-photo-missing": no_photo,
    "could-not-test-more-than-usual": untested,
    "self-witness": self_witness,
    "vouched-without-pin": without_pin,
    "trainee-without-mentor": no_mentor,
    "clock-set-back": clock_back,
    "done-on-paper": on_paper,
    "left-open-for-days": left_open,
    "wrong-pins-in-a-row": wrong_pins,
    "nobody-looked-since": nobody_looked,
}
"""By the rule that should find it."""

GRADED = ("phase-unusually-fast", "could-not-test-more-than-usual")
"""Those of them that are planted faint, too: their rules weigh how much there is."""
