"""The drawing of a timeline: columns in proportion, nights cut short, every mark in its place."""

import re
from datetime import UTC, datetime, time, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest
from any_actions import SECONDS, next_actions
from bay import SMALL, T1, Bay
from hypothesis import given
from hypothesis import strategies as st
from silent_speaker import FAILED, OVERRIDE, V2

from baycompanion.job.actions import Note, Reopen
from baycompanion.job.events.event import seal
from baycompanion.job.events.kinds import GateHeld
from baycompanion.job.hands_actions import (
    ExplainGap,
    FindGap,
    PauseWork,
    Resume,
)
from baycompanion.job.timeline.marks import make_timeline
from baycompanion.job.timeline.values import Timeline
from baycompanion.text.signs import IN_COLUMNS
from baycompanion.views.timeline.axis import CUT_COLUMNS, make_axis
from baycompanion.views.timeline.drawing import (
    BARS,
    HELD,
    SIGNS,
    Drawing,
    bars_legend,
    cells_of,
    draw,
    marks_legend,
    signs_of,
)
from baycompanion.views.timeline.lines import mark_lines, phase_lines
from baycompanion.views.timeline.told import pieces
from baycompanion.views.timeline.words import MarkWords

EVENING = PauseWork(pause="closing time", loose="dash open", first="check the clamp")
MORNING = Resume(resume="as it was left", still_true=("battery-off",), gate_checked=True)


def two_nights() -> Bay:
    """Return a job that lay over two nights, with a gate overridden on its third day."""
    bay = Bay().walk("rest-voltage")
    bay.do(EVENING, after=3600)
    bay.do(MORNING, after=22 * 3600)
    bay.walk("join")
    bay.do(EVENING, after=7200)
    bay.do(MORNING, after=23 * 3600)
    bay.held(sound=FAILED)
    bay.do(OVERRIDE, who=V2, after=1500)
    return bay.walk("route")


def line_of(bay: Bay) -> Timeline:
    return make_timeline(SMALL, bay.events)


def drawn(bay: Bay, width: int = 80, **more: int) -> Drawing:
    return draw(SMALL, line_of(bay), width, UTC, **more)


def row(drawing: Drawing, title: str) -> str:
    [cells] = [row.cells for row in drawing.rows if row.title.strip() == title]
    return cells


# --- the axis ------------------------------------------------------------------------------------


def test_columns_are_in_proportion_to_time_where_nothing_is_cut() -> None:
    """A job of two hours without a pause, on 60 columns: 2 minutes a column."""
    bay = Bay().walk("tools")
    bay.do(Note(note="x"), after=7200 - (bay.now - Bay().now).total_seconds())
    axis = make_axis(line_of(bay), 60)
    assert axis.cuts == ()
    assert [axis.column(minutes * 60_000) for minutes in (0, 30, 61, 119, 120)] == [
        0,
        15,
        30,
        59,
        59,
    ]


@pytest.mark.parametrize(
    ("start", "told"),
    [
        (datetime(2026, 3, 28, 22, 30, tzinfo=UTC), ["23:30", "01:30", "03:00", "04:00"]),
        (datetime(2026, 10, 24, 21, 30, tzinfo=UTC), ["23:30", "01:30", "02:30"]),
    ],
)
def test_over_the_change_of_clocks_each_time_stands_where_the_clock_showed_it(
    start: datetime, told: list[str]
) -> None:
    """Berlin, by the IANA time zone database: at 01:00 UTC, 2:00 becomes 3:00, and 3:00, 2:00."""
    zone = ZoneInfo("Europe/Berlin")
    bay = Bay(now=start)
    bay.walk("tools")
    bay.do(Note(note="x"), after=4 * 3600 - (bay.now - start).total_seconds())
    axis = make_axis(line_of(bay), 96)
    _, times, _ = axis.lines(zone)
    for shown in told:
        first = datetime.combine(start.astimezone(zone), time.fromisoformat(shown), zone)
        moment = first if first >= start else first + timedelta(days=1)
        along = int((moment.astimezone(UTC) - start).total_seconds() * 1000)
        at = times.find(shown)
        assert at >= 0, times
        assert abs(at - axis.column(along)) <= 2, (shown, times)


def test_each_night_is_a_few_columns_and_is_told_of() -> None:
    bay = two_nights()
    axis = make_axis(line_of(bay), 70)
    lengths = [(cut.ends - cut.begins) / 3_600_000 for cut in axis.cuts]
    assert lengths == [22, 23]
    for cut in axis.cuts:
        assert abs(axis.column(cut.ends) - axis.column(cut.begins) - CUT_COLUMNS) <= 1
    assert "// idle time, not to scale: 22 h 00 min, 23 h 00 min" in drawn(bay).notes


def test_the_axis_tells_the_days_and_when_the_work_began_on_each() -> None:
    bay = two_nights()
    ticks, times, days = drawn(bay, 120).axis
    assert days.split() == ["2026-03-02", "2026-03-03", "2026-03-04"]
    began = [times[days.index(day) :][:5] for day in days.split()]
    resumed = [event.at[11:16] for event in bay.events if event.kind == "resumed"]
    assert began == ["08:00", *resumed]
    assert ticks.count("/") >= 2 * (CUT_COLUMNS - 1)


def test_a_day_without_room_is_shortened_with_the_others_and_not_left_to_the_day_before() -> None:
    """On the second day next to nothing was done, so the third begins close behind it."""
    bay = Bay().walk("rest-voltage")
    for worked, idle in ((3600, 22), (600, 23)):
        bay.do(EVENING, after=worked)
        bay.do(MORNING, after=idle * 3600)
    bay.held(sound=FAILED)
    for width in range(60, 120):
        days = drawn(bay, width).axis[2].split()
        assert [day[-5:] for day in days] == ["03-02", "03-03", "03-04"], width


def test_times_of_day_are_those_of_the_zone() -> None:
    bay = Bay().walk("route")
    _, here, _ = drawn(bay).axis
    _, there, day = draw(SMALL, line_of(bay), 80, timezone(timedelta(hours=14))).axis
    assert here.startswith("08:00")
    assert there.startswith("22:00")
    assert day.split() == ["2026-03-02"]


def test_a_short_pause_is_not_cut() -> None:
    bay = Bay().walk("join")
    bay.do(Note(note="x"), after=3600)
    bay.do(EVENING, after=60)
    bay.do(MORNING, after=1800)
    assert make_axis(line_of(bay), 70).cuts == ()


def test_more_pauses_than_columns_still_have_an_axis() -> None:
    bay = Bay().walk("route")
    for _ in range(100):
        bay.do(EVENING, after=60)
        bay.do(MORNING, after=9000)
    axis = make_axis(line_of(bay), 50)
    assert len(axis.cuts) == 100
    columns = [axis.column(along) for along in range(0, axis.timeline.length, 60_000)]
    assert columns == sorted(columns)
    assert (columns[0], columns[-1]) == (0, 49)


def test_a_clock_set_back_begins_the_times_of_day_anew() -> None:
    bay = Bay().walk("join")
    bay.do(Note(note="x"), after=7200)
    bay.do(Note(note="network"), after=-3600)
    bay.do(Note(note="x"), after=7200)
    _, times, _ = drawn(bay, 120).axis
    told = times.split()
    assert told != sorted(told)


# --- the rows ------------------------------------------------------------------------------------


def test_a_pause_is_told_from_work_by_its_sign_however_short() -> None:
    bay = Bay().walk("join")
    bay.do(Note(note="x"), after=20_000)
    bay.do(EVENING, after=60)
    bay.do(MORNING, after=1)
    bay.do(Note(note="x"), after=20_000)
    assert row(drawn(bay), "Bench").count(BARS["paused"]) == 1


def test_a_gap_that_was_work_is_drawn_as_work_and_marked() -> None:
    bay = Bay().walk("join")
    bay.do(FindGap(gap="slept", seconds=3000), after=3600)
    bay.do(ExplainGap(explain="worked"), after=0)
    bench = row(drawn(bay), "Bench")
    assert bench.count("?") == 1
    assert bench.count(BARS["worked"]) > 10


def test_a_gate_is_drawn_in_front_of_the_work_that_it_held() -> None:
    refit = row(drawn(two_nights(), 120), "Refit").strip()
    assert refit.startswith("✓■" + HELD), "another gate in front of it opened at once"
    assert set(refit[2 : refit.index("»A")]) == {HELD}
    assert BARS["worked"] not in refit[: refit.index("»A")]


def test_a_phase_that_was_gone_back_to_has_two_bars() -> None:
    bay = Bay().walk("route")
    bay.do(Note(note="x"), after=3600)
    bay.do(Reopen(reopen="sound", reason="silent"), after=60)
    bay.do(Note(note="x"), after=3600)
    bench = row(drawn(bay), "Bench").strip()
    assert " " in bench.strip("✓<&"), "the time in refit lies between"


def test_overrides_have_letters_in_the_order_of_time() -> None:
    line = line_of(two_nights())
    lettered = [s for s in signs_of(line) if s.startswith("»")]
    assert lettered == ["»A"]
    [said] = [said for sign, said, _ in mark_lines(SMALL, line, UTC) if sign == "»A"]
    seq = next(event.seq for event in two_nights().events if event.kind == "overridden")
    assert said.endswith(f"Gate sound-before-refit overridden: part on order · V2, event {seq}")


def test_what_a_gate_waited_for_is_told_once_until_it_is_something_else() -> None:
    bay = Bay().held(sound=FAILED)
    held = next(event.data for event in bay.events if isinstance(event.data, GateHeld))
    for missing in (held.missing, ["A", "B"], ["A", "B"]):
        again = held.model_copy(update={"missing": missing})
        last = bay.events[-1]
        bay.events.append(seal(again, T1.id, bay.now, last.seq + 1, last.hash))
    told = [more for _, said, more in mark_lines(SMALL, line_of(bay), UTC) if held.gate in said][-1]
    waited = [line for line in told if line.startswith("It waited")]
    assert len(waited) == 2
    assert waited[0].startswith("It waited for: ")
    assert re.fullmatch(r"It waited at \d\d:\d\d for: A; B", waited[1])


def test_overrides_in_one_minute_all_stand_in_the_drawing() -> None:
    """However narrow: what a supervisor asks about first is never left to the list alone."""
    bay = Bay().held(sound=FAILED)
    for _ in range(8):
        bay.do(OVERRIDE, who=V2, after=1)
        bay.do(Reopen(reopen="sound", reason="once more"), after=1)
        bay.do(*FAILED, after=1)
        bay._walk(None, {})
    signs = [sign for sign in signs_of(line_of(bay)) if sign.startswith("»")]
    assert len(signs) == 8
    for width in (40, 80):
        assert all(sign in row(drawn(bay, width), "Refit") for sign in signs)


def test_the_chosen_mark_is_drawn_and_pointed_at_whatever_else_stands_there() -> None:
    bay = two_nights()
    line = line_of(bay)
    for number, sign in enumerate(signs_of(line)):
        drawing = draw(SMALL, line, 60, UTC, number)
        at, column = drawing.places[number]
        assert drawing.rows[at].cells[column : column + len(sign)] == sign
        assert drawing.axis[0][column] == "▲"
        assert [text.startswith("▸") for text in drawing.row_lines].index(True) == at


def test_every_sign_is_one_column_and_none_stands_for_two_things() -> None:
    assert all(cells_of(sign) == 1 for sign in SIGNS.values())
    shared = {"~": 2, "*": 2}
    for sign in set(SIGNS.values()):
        assert list(SIGNS.values()).count(sign) == shared.get(sign, 1), sign


def test_without_unicode_every_sign_still_differs_from_every_other() -> None:
    """The plainer signs of a terminal that lacks these; each keeps its one column."""
    signs = {*SIGNS.values(), *BARS.values(), HELD}
    plain = {IN_COLUMNS.get(sign, sign) for sign in signs}
    assert len(plain) == len(signs)
    assert all(sign.isascii() and len(sign) == 1 for sign in plain)


def test_a_long_title_in_wide_signs_keeps_the_columns_in_line() -> None:
    bay = Bay().walk("route")
    phases = [phase.model_copy(update={"title": "車両" * 20}) for phase in SMALL.phases]
    wide = SMALL.model_copy(update={"phases": phases})
    drawing = draw(wide, line_of(bay), 80, UTC)
    assert {cells_of(row.title) for row in drawing.rows} == {drawing.columns_before - 2}
    assert max(map(cells_of, drawing.row_lines)) <= 80


@pytest.mark.parametrize("width", [40, 80, 120])
@given(data=st.data())
def test_whatever_happened_marks_lie_inside_and_lines_fit(width: int, data: st.DataObject) -> None:
    bay = Bay().walk(data.draw(st.sampled_from(["tools", "join", "back", None])))
    for _ in range(data.draw(st.integers(1, 20))):
        action, who = data.draw(next_actions(bay))
        bay.decide(action, who, data.draw(SECONDS))
    line = line_of(bay)
    drawing = draw(SMALL, line, width, UTC)
    columns = {len(row.cells) for row in drawing.rows}
    assert len(columns) == 1
    assert max(map(cells_of, (*drawing.row_lines, *drawing.axis_lines))) <= width
    for sign, (at, column) in zip(signs_of(line), drawing.places, strict=True):
        assert 0 <= column <= len(drawing.rows[at].cells) - len(sign)
    words = MarkWords(SMALL, line, UTC, days=True)
    assert all(pieces(words, mark)[0].words for mark in line.marks)
    assert list(phase_lines(SMALL, line, UTC)) or not line.stretches
    assert bars_legend(line)
    assert marks_legend(line)
