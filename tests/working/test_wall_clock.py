"""The clock on the wall: daylight saving, midnight, leap day, and clocks that are set.

The days on which clocks change are those of the IANA time zone database, which the system reads.
"""

import os
import time
from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime, timedelta, tzinfo
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from bay import GOOD, LISTS, T1, Bay, keys_in, load_small, meter
from freezegun import freeze_time

from baycompanion.job.actions import Accept, Action, Answer, Note
from baycompanion.job.deciding.draft import Refused
from baycompanion.job.events.moment import later, read_moment
from baycompanion.job.hands_actions import ExplainGap, FindGap
from baycompanion.job.state.timing import worked_seconds
from baycompanion.job.state.words import moment_words
from baycompanion.store.job.folder import make_job, read_job
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.staff.releases import months_after
from baycompanion.views.forms.job_forms import late_form
from baycompanion.working.wall_clock import local_now, on_the_wall
from baycompanion.working.watch import Watch

pytestmark = pytest.mark.skipif(
    not hasattr(time, "tzset"), reason="the zone of the machine cannot be set for a test"
)

BERLIN, NEW_YORK, AUCKLAND = "Europe/Berlin", "America/New_York", "Pacific/Auckland"

FORWARD = datetime(2026, 3, 29, 1, 0, tzinfo=UTC)
"""When clocks in Berlin go from 2:00 to 3:00."""
BACK = datetime(2026, 10, 25, 1, 0, tzinfo=UTC)
"""When they go from 3:00 to 2:00."""

In = Callable[[str], None]


@pytest.fixture
def live_in() -> Iterator[In]:
    """Return what moves this machine to a zone."""
    before = os.environ.get("TZ")

    def move(zone: str) -> None:
        os.environ["TZ"] = zone
        time.tzset()

    yield move
    if before is None:
        del os.environ["TZ"]
    else:
        os.environ["TZ"] = before
    time.tzset()


@pytest.mark.parametrize("zone", [BERLIN, AUCKLAND])
def test_now_is_what_the_clock_on_the_wall_shows(live_in: In, zone: str) -> None:
    live_in(zone)
    with freeze_time("2028-02-29T23:30:00Z"):
        now = local_now()
    wanted = datetime(2028, 2, 29, 23, 30, tzinfo=UTC).astimezone(ZoneInfo(zone))
    assert f"{now:%Y-%m-%d %H:%M %z}" == f"{wanted:%Y-%m-%d %H:%M %z}"


@pytest.mark.parametrize("zone", [BERLIN, NEW_YORK, AUCKLAND, "Australia/Lord_Howe", "UTC"])
def test_at_every_half_hour_of_a_year_it_shows_what_the_time_zone_database_says(
    live_in: In, zone: str
) -> None:
    live_in(zone)
    here, reference = on_the_wall(FORWARD).tzinfo, ZoneInfo(zone)
    for half_hours in range(2 * 24 * 366):
        moment = datetime(2026, 1, 1, tzinfo=UTC) + timedelta(minutes=30 * half_hours)
        shown, wanted = moment.astimezone(here), moment.astimezone(reference)
        assert (shown.replace(tzinfo=None), shown.fold) == (
            wanted.replace(tzinfo=None),
            wanted.fold,
        ), moment
        assert shown.utcoffset() == wanted.utcoffset()
        assert shown.astimezone(UTC) == moment


@pytest.mark.parametrize("changes", [FORWARD, BACK])
def test_an_hour_over_the_change_is_an_hour_of_work_and_no_sleep_and_no_clock_set_back(
    tmp_path: Path, live_in: In, changes: datetime
) -> None:
    live_in(BERLIN)
    moments = [changes + timedelta(minutes=minute) for minute in range(-30, 31)]
    start = on_the_wall(moments[0])
    folder = make_job(tmp_path / "jobs", load_small(), keys_in(when=start))
    job = OpenJob(folder, LISTS, T1, start)
    job.act(Accept(accept="hazards"), T1, start)
    shown = iter([on_the_wall(each) for each in moments])
    watch = Watch(lambda: next(shown))
    for each in moments[1:]:
        assert watch.look() == 0
        job.act(Note(note="still at work"), T1, on_the_wall(each))
    job.leave()
    assert worked_seconds(job.state) == 3600
    assert {event.kind for event in job.events[3:]} == {"noted"}, "no gap, and no clock set back"


@pytest.mark.parametrize("changes", [FORWARD, BACK])
def test_a_moment_before_the_change_is_told_as_the_clock_showed_it_then(
    live_in: In, changes: datetime
) -> None:
    """A job left on Friday is read on Monday, and the clocks have changed on Sunday."""
    live_in(BERLIN)
    friday = (changes - timedelta(days=2)).astimezone(ZoneInfo(BERLIN)).replace(hour=17, minute=5)
    monday = on_the_wall(changes + timedelta(days=1))
    assert moment_words(friday.isoformat(), monday) == f"{friday:%Y-%m-%d} 17:05"


def done_at(typed: str, now: datetime) -> datetime:
    """Return the moment that somebody means who types a time of day at `now`, in UTC."""
    return late_form(now).make({"at": typed}).astimezone(UTC)


def test_a_time_typed_after_the_change_is_the_one_that_the_clock_showed(live_in: In) -> None:
    live_in(BERLIN)
    now = on_the_wall(FORWARD + timedelta(minutes=30))
    assert f"{now:%H:%M}" == "03:30"
    assert done_at("01:30", now) == FORWARD - timedelta(minutes=30)
    assert done_at("03:10", now) == FORWARD + timedelta(minutes=10)
    now = on_the_wall(BACK + timedelta(minutes=10))
    assert f"{now:%H:%M}" == "02:10"
    assert done_at("02:05", now) == BACK + timedelta(minutes=5), "the later one of two"
    assert done_at("02:30", now) == BACK - timedelta(minutes=30), "the other lies ahead"
    assert done_at("01:50", now) == BACK - timedelta(minutes=70)


def test_a_time_typed_after_midnight_may_be_one_of_yesterday(live_in: In) -> None:
    live_in(AUCKLAND)
    now = datetime(2026, 6, 2, 0, 20, tzinfo=ZoneInfo(AUCKLAND))
    yesterday = datetime(2026, 6, 1, 23, 50, tzinfo=ZoneInfo(AUCKLAND))
    assert done_at("23:50", on_the_wall(now)) == yesterday.astimezone(UTC)
    assert done_at("00:10", on_the_wall(now)) == (now - timedelta(minutes=10)).astimezone(UTC)


def test_so_many_seconds_later_is_told_by_the_clock_of_then(live_in: In) -> None:
    live_in(BERLIN)
    before = on_the_wall(FORWARD - timedelta(minutes=10))
    assert f"{before:%H:%M} {later(before, 1800):%H:%M}" == "01:50 03:20"
    before = on_the_wall(BACK - timedelta(minutes=10))
    assert f"{before:%H:%M} {later(before, 1800):%H:%M}" == "02:50 02:20"


def test_what_is_due_today_is_due_until_the_midnight_of_the_shop(live_in: In) -> None:
    """In Auckland that midnight falls at noon of the same day, UTC."""
    live_in(AUCKLAND)
    zone: tzinfo = ZoneInfo(AUCKLAND)

    def standing(at: datetime) -> str:
        bay = Bay(now=on_the_wall(at)).walk("tools")
        bay.do(meter(due=f"{at.date()}"), *GOOD["tools"][1:], after=0)
        return bay.step("tools")

    assert standing(datetime(2026, 6, 2, 20, 0, tzinfo=zone)) == "done"
    late = datetime(2026, 6, 2, 23, 59, 50, tzinfo=zone)
    assert standing(late) == "done"


def test_a_job_goes_through_a_leap_day_and_two_midnights(tmp_path: Path, live_in: In) -> None:
    live_in(NEW_YORK)
    jobs = tmp_path / "jobs"
    zone = ZoneInfo(NEW_YORK)
    start = datetime(2028, 2, 28, 23, 59, tzinfo=zone)
    folder = make_job(jobs, load_small(), keys_in(when=on_the_wall(start)))
    assert folder.name == "20280228-wo-7", "named by the day of the shop"
    job = OpenJob(folder, LISTS, T1, on_the_wall(start))
    days = [start, datetime(2028, 2, 29, 12, tzinfo=zone), datetime(2028, 3, 1, 0, 1, tzinfo=zone)]
    for each in days:
        assert not isinstance(job.act(Note(note=f"{each}"), T1, on_the_wall(each)), Refused)
    job.leave()
    read = read_job(folder)
    moments = [read_moment(event.at) for event in read.events]
    assert moments == sorted(moments)
    monday = on_the_wall(datetime(2028, 3, 6, 8, tzinfo=zone))
    told = [moment_words(event.at, monday) for event in read.events[1:]]
    assert told == ["2028-02-28 23:59", "2028-02-29 12:00", "2028-03-01 00:01"]


@pytest.mark.parametrize(
    ("day", "months", "until"),
    [
        (date(2028, 2, 29), 12, date(2029, 2, 28)),
        (date(2027, 8, 31), 6, date(2028, 2, 29)),
        (date(2027, 12, 31), 2, date(2028, 2, 29)),
    ],
)
def test_a_release_over_a_leap_day_ends_on_a_day_that_there_is(
    day: date, months: int, until: date
) -> None:
    assert months_after(day, months) == until


def test_a_clock_set_ahead_by_days_and_back_again_counts_as_no_work(tmp_path: Path) -> None:
    """Opened with the clock three days ahead, worked on, then the clock is set right."""
    start = datetime(2026, 3, 2, 8, tzinfo=UTC)
    ahead = start + timedelta(days=3)
    folder = make_job(tmp_path / "jobs", load_small(), keys_in(when=start))

    def opened(at: datetime, *actions: Action) -> OpenJob:
        job = OpenJob(folder, LISTS, T1, at)
        for action in actions:
            at += timedelta(minutes=1)
            assert not isinstance(job.act(action, T1, at), Refused)
        job.leave()
        return job

    worked = worked_seconds(opened(start, Accept(accept="hazards")).state)
    job = opened(ahead)
    assert job.state.gap is not None
    assert (
        job.state.gap.milliseconds == (ahead - start - timedelta(minutes=1)).total_seconds() * 1000
    )
    opened(ahead, ExplainGap(explain="clock"), Note(note="a minute of work"))
    job = opened(start + timedelta(hours=1), Note(note="the clock is right again"))
    kinds = [event.kind for event in job.events]
    assert kinds.count("gap-found") == kinds.count("clock-back") == 1
    assert worked_seconds(job.state) == worked + 60 + 60, "two minutes, and no days"


@pytest.mark.parametrize("jump", [timedelta(days=3), timedelta(days=-3)])
def test_a_clock_that_is_set_shortens_no_wait(jump: timedelta) -> None:
    bay = Bay().walk("cure")
    bay.now += jump
    if jump > timedelta():
        bay.do(FindGap(gap="slept", seconds=int(jump.total_seconds())), after=0)
        bay.do(ExplainGap(explain="clock"), after=0)
    assert isinstance(bay.decide(Answer(answer="cure"), after=0), Refused)
    assert isinstance(bay.decide(Answer(answer="cure"), after=598), Refused)
    bay.do(Answer(answer="cure"), after=2)
