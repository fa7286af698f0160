"""One shop of the chain: its folder, its jobs one after another, and what is planted in them."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from random import Random

from baycompanion.demo_chain.ledger_plants import LEDGER, WITHOUT_LEDGER
from baycompanion.demo_chain.log_plants import plant_in_log
from baycompanion.demo_chain.people import Crew, settings_text
from baycompanion.demo_chain.plan import (
    ABOUT_GATES,
    FEWEST,
    GATE,
    GROWING,
    HABIT,
    NOMINAL,
    PROCEDURE,
    STARTS,
    STEADY,
    ShopPlan,
    day_of,
)
from baycompanion.demo_chain.tampering import TAMPERING, UNREAD, EndedJob, renamed
from baycompanion.demo_chain.truth import Planted
from baycompanion.demo_chain.work import Course, Work
from baycompanion.demo_chain.working_plants import GRADED, WORKING, gate_overridden, nobody_looked
from baycompanion.job.actions import Answer
from baycompanion.job.deciding.draft import Person
from baycompanion.job.deciding.opening import KeysIn
from baycompanion.job.deciding.releases import Release
from baycompanion.job.events.carried import Vehicle
from baycompanion.procedure.load import Loaded, load_procedure
from baycompanion.spread.shares import wilson
from baycompanion.store.durable import write_whole
from baycompanion.store.job.folder import RECORD, make_job
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.ledger import ledger
from baycompanion.store.settings import SETTINGS
from baycompanion.store.shelf import shipped
from baycompanion.store.shop import Shop, open_shop
from baycompanion.store.staff import staff_log
from baycompanion.store.staff.staff import NAME as STAFF
from baycompanion.store.staff.taking import take_keys


@dataclass(slots=True)
class Playing:
    """A shop while its jobs are played."""

    plan: ShopPlan
    shop: Shop
    crew: Crew
    loaded: Loaded
    older: Loaded
    """The same procedure as it was a revision before."""
    scratch: Path
    overridden: int = 0
    honest: set[str] = field(default_factory=set)
    """Jobs without a plant."""
    planted: list[Planted] = field(default_factory=list)
    learnt: list[str] = field(default_factory=list)
    """Honest jobs of the trainee beside a mentor."""
    worked: Counter[str] = field(default_factory=Counter)
    """In how many jobs that can be read everybody worked."""


def play_shop(folder: Path, plan: ShopPlan, scratch: Path, last: datetime) -> list[Planted]:
    """Make a shop in `folder`, play its jobs, and return what was planted in it.

    `last` is the moment at which the whole chain is looked at; one job is under way then.
    """
    text = (shipped("demo") / "chain" / f"{PROCEDURE}.yaml").read_text(encoding="utf-8")
    crew = Crew(plan.number + 1, Random(f"{plan.seed}/{plan.number}"))
    folder.mkdir(parents=True)
    write_whole(folder / SETTINGS, settings_text(plan.name).encode())
    write_whole(folder / STAFF, crew.staff_text().encode())
    playing = Playing(
        plan,
        open_shop(folder),
        crew,
        load_procedure(text, f"{PROCEDURE}.yaml"),
        load_procedure(text.replace("revision: 2", "revision: 1"), f"{PROCEDURE}.yaml"),
        scratch,
    )
    write_whole(folder / "procedures" / f"{PROCEDURE}.yaml", text.encode())
    for number in range(plan.jobs):
        kind = "" if plan.honest or number % plan.every else _next_kind(playing, number)
        _play(playing, number, kind)
    _leave_one_under_way(playing, last)
    if not plan.honest:
        _plant_in_the_whole(playing, last)
    return playing.planted


def _next_kind(playing: Playing, number: int) -> str:
    """Return the next plant that finds room here, nothing where none does."""
    kinds = playing.plan.kinds
    for _ in range(len(kinds)):
        kind = kinds.popleft()
        if _has_room(playing, kind, number):
            kinds.append(kind)
            return kind
        kinds.append(kind)
    return ""


def _has_room(playing: Playing, kind: str, number: int) -> bool:
    plan = playing.plan
    if plan.jobs < FEWEST.get(kind, 0) or (kind == "older-revision" and number == 0):
        return False
    if plan.ledger in WITHOUT_LEDGER and (kind in TAMPERING or kind == "record-behind"):
        return False
    if kind in ("gate-overridden", "own-gate-overridden"):
        # So few that they are no habit of the shop, which is a rule of its own.
        fewest_reached = max(1, plan.jobs * 3 // 4)
        return wilson(min(playing.overridden + 1, fewest_reached), fewest_reached).lower < 0.08
    return True


def _play(playing: Playing, number: int, kind: str) -> None:
    """Play one job, with the plant `kind` in it, and keep what was planted."""
    plan = playing.plan
    chance = Random(f"{plan.seed}/{plan.number}/{number}")
    course = _course(playing, chance, kind)
    course.faint = kind in GRADED and chance.random() < 0.5
    if kind in WORKING:
        WORKING[kind](course)
    elif kind == "record-behind":
        nobody_looked(course)
    habit = _habit(playing, course, chance, number, kind)
    day, turn = divmod(number, len(STARTS))
    start = _at(day_of(day), STARTS[turn] + chance.randrange(20))
    loaded = playing.older if kind == "older-revision" else playing.loaded
    work = _work(playing, course, chance, start, f"WO {1000 + number}", loaded)
    work.play()
    if kind == "record-behind":
        _look_later(work)
    job = EndedJob(work.folder, work.now, chance)
    events = work.evidence if kind in WORKING else ()
    if kind in TAMPERING:
        events = TAMPERING[kind].act(job)
    playing.planted += _known(playing, kind, work.folder, events, course.faint)
    if habit or kind in ("gate-overridden", "own-gate-overridden"):
        playing.overridden += 1
        playing.planted += _overrides(playing, work, kind, habit)
    if kind not in UNREAD:
        playing.worked.update({event.by for event in work.job.events if event.kind in WORDS})
    if not kind and not habit:
        playing.honest.add(work.folder.name)
        if course.mentor is not None:
            playing.learnt.append(work.folder.name)


def _course(playing: Playing, chance: Random, kind: str) -> Course:
    """Return how an honest job goes: by whom, with whom, and with a pause now and then."""
    crew = playing.crew
    learns = kind == "trainee-without-mentor" or (not kind and chance.random() < 0.1)
    mentor, *_ = crew.technicians
    technician = crew.trainee if learns else chance.choice(crew.technicians)
    second = chance.choice([each for each in crew.technicians if each.id != technician.id])
    course = Course(technician, second, chance.choice(crew.supervisors))
    course.mentor = mentor.id if learns else None
    if chance.random() < 0.15:
        course.pause_before = chance.choice(["supply", "leads-insulated", "light-home"])
    return course


def _habit(playing: Playing, course: Course, chance: Random, number: int, kind: str) -> bool:
    """Let the job show the habit of its shop; return whether a gate is overridden by habit."""
    plan = playing.plan
    habit, steady = plan.habit, playing.crew.technicians[0].id
    if not habit or chance.random() >= HABIT[habit][plan.faint]:
        return False
    if habit in GROWING and 2 * number < plan.jobs:
        return False
    if habit == "readings-repeat" and course.technician.id == steady:
        course.readings["battery-rest"] = STEADY
    elif habit == "readings-just-inside-limit":
        course.readings["ground-drop"] = str(chance.choice((98, 99, 100)))
    elif habit == "readings-all-nominal" and course.technician.id == steady:
        course.readings["supply"] = NOMINAL
    elif habit in ABOUT_GATES and not kind:
        gate_overridden(course)
        return True
    return False


def _work(
    playing: Playing, course: Course, chance: Random, start: datetime, order: str, loaded: Loaded
) -> Work:
    """Take the keys of a new job."""
    who: Person = course.technician
    follows = loaded.procedure.procedure, loaded.procedure.revision
    mentor = take_keys(playing.shop, who, follows, course.mentor or "", start.date())
    vehicle = Vehicle(description=f"{chance.choice(COLOURS)} test van", vin="", plate="")
    shop = playing.shop
    folder = make_job(
        shop.jobs, loaded, KeysIn(order, vehicle, who, start, figures=shop.figures, mentor=mentor)
    )
    pace = playing.crew.pace(who.id)
    return Work(folder, shop.lists, course, start, chance, pace, playing.scratch)


WORDS = ("answered", "ticked", "overridden")
"""The kinds of event that say who worked in a job."""

COLOURS = ("blue", "green", "grey", "red", "white", "yellow")


def _look_later(work: Work) -> None:
    """Let the second person look after the end, and a crash lose record and entry of that."""
    record, entered = work.folder / RECORD, work.folder.parents[1] / ledger.NAME
    before = record.read_bytes(), entered.read_bytes()
    work.now += timedelta(hours=2)
    work.job = OpenJob(work.folder, work.lists, work.course.technician, work.now)
    work.act(Answer(answer="lights-seen", outcome="passed"), 60, work.course.second)
    work.job.leave()
    write_whole(record, before[0])
    write_whole(entered, before[1])


def _known(
    playing: Playing, kind: str, folder: Path, events: tuple[int, ...], faint: bool
) -> Iterator[Planted]:
    """Yield what an audit should find of the plant `kind`, and what follows from it."""
    shop, job = playing.plan.name, folder.name
    if kind in ("", "gate-overridden"):
        return
    named = renamed(folder).name if kind == "job-renamed" else job
    yield Planted(shop, kind, named, events=events, faint=faint)
    brings = ("job-not-in-ledger",) if kind == "record-behind" else ()
    for rule in TAMPERING[kind].brings if kind in TAMPERING else brings:
        where = job if rule == "job-gone" else named
        yield Planted(shop, rule, where, follows_from=kind)


def _overrides(playing: Playing, work: Work, kind: str, habit: bool) -> Iterator[Planted]:
    """Yield the override itself, which every way of opening a shut gate brings."""
    source = {"own-gate-overridden": kind}.get(kind, playing.plan.habit if habit else "")
    yield Planted(
        playing.plan.name,
        "gate-overridden",
        work.folder.name,
        events=work.evidence[-1:],
        follows_from=source,
    )


def _leave_one_under_way(playing: Playing, last: datetime) -> None:
    """Begin a job shortly before `last`, and leave it in the middle of its work."""
    chance = Random(f"{playing.plan.seed}/{playing.plan.number}/under way")
    course = _course(playing, chance, "")
    course.stops_before, course.pause_before = "leads-joined", ""
    start = last - timedelta(minutes=45)
    _work(playing, course, chance, start, "WO 9000", playing.loaded).play()


def _plant_in_the_whole(playing: Playing, last: datetime) -> None:
    """Plant what concerns the shop as a whole: its people as they are by now, and its ledger."""
    plan, crew, name = playing.plan, playing.crew, playing.plan.name
    leaver, elsewhere = crew.technicians[2].id, crew.technicians[1].id
    if plan.number % 2 == 0 and playing.worked[leaver]:
        crew.left.add(leaver)
        playing.planted.append(Planted(name, "not-on-staff", about=leaver))
    if plan.number % 3 == 1 and playing.worked[elsewhere]:
        crew.released_elsewhere.add(elsewhere)
        playing.planted.append(Planted(name, "not-released-for-procedure", about=elsewhere))
    playing.planted += _release(playing, last)
    write_whole(playing.shop.folder / STAFF, crew.staff_text().encode())
    if plan.habit:
        playing.planted += _known_habit(plan, crew.technicians[0].id)
    if plan.log:
        supervisor = crew.supervisors[0]
        playing.planted.append(plant_in_log(playing.shop.folder, plan.log, supervisor, last))
    if plan.ledger:
        chance = Random(f"{plan.seed}/{plan.number}/ledger")
        place = (playing.shop.folder, frozenset(playing.honest), chance, last)
        playing.planted += LEDGER[plan.ledger](place)


def _release(playing: Playing, last: datetime) -> Iterator[Planted]:
    """Release the trainee in the end: by hand, or on a job that was somebody else's."""
    plan, crew = playing.plan, playing.crew
    others = sorted(playing.honest.difference(playing.learnt))
    rule = {1: "release-not-in-log", 3: "release-not-watched"}.get(plan.number % 4)
    named = playing.learnt if rule == "release-not-in-log" else others
    if rule is None or not named:
        return
    until = (last + timedelta(days=365)).date()
    procedure = playing.loaded.procedure
    release = Release(
        procedure=PROCEDURE,
        revision=procedure.revision,
        by=crew.supervisors[0].id,
        job=named[0],
        until=until,
    )
    crew.releases.append(release)
    who, job = crew.trainee.id, "" if rule == "release-not-in-log" else release.job
    if rule == "release-not-watched":
        said = staff_log.SignedOff(
            who=who,
            procedure=release.procedure,
            revision=release.revision,
            job=release.job,
            until=until.isoformat(),
            words="the whole of it",
        )
        staff_log.log_change(playing.shop.folder / staff_log.NAME, said, release.by, last)
    yield Planted(plan.name, rule, job, about=who)


def _known_habit(plan: ShopPlan, steady: str) -> Iterator[Planted]:
    """Yield what an audit should find of the habit of a shop, and what follows from it."""
    about = {"readings-just-inside-limit": "ground-drop"} | dict.fromkeys(ABOUT_GATES, GATE)
    yield Planted(plan.name, plan.habit, about=about.get(plan.habit, steady), faint=plan.faint)
    if plan.habit == "readings-all-nominal":  # one reading again and again is both
        follows = plan.habit
        yield Planted(plan.name, "readings-repeat", "", steady, (), follows, plan.faint)
    if plan.habit in GROWING:  # often enough by now that it may be told by itself
        yield Planted(plan.name, "gate-often-overridden", "", GATE, (), plan.habit, faint=True)


def _at(day: date, minute: int) -> datetime:
    return datetime(day.year, day.month, day.day, tzinfo=UTC) + timedelta(minutes=minute)
