"""Marks on a panel: taken down one by one, compared with what was there, and told in the record."""

from bay import PHOTO, SMALL_TEXT, T1, Bay, tick
from hypothesis import given
from hypothesis import strategies as st

from baycompanion.job.actions import (
    Answer,
    ClearFault,
    FoundMark,
    Reopen,
    TickLine,
    TickRest,
)
from baycompanion.job.events.carried import PanelMark
from baycompanion.job.events.kinds import FaultRaised
from baycompanion.job.state.panel_marks import compare_marks, mark_words, reading_error
from baycompanion.procedure.load import load_procedure
from baycompanion.procedure.panels import PANELS, places_of

WITH_PANELS = load_procedure(
    SMALL_TEXT.replace(
        "{item: dash-panel, name: Dash panel}",
        "{item: dash-panel, name: Dash panel, panel: dash-centre}",
    ).replace(
        "{item: door-panel, name: Door panel}",
        "{item: door-panel, name: Door panel, panel: left-door-trim}",
    ),
    "small-receiver.yaml",
).procedure

MARKS = st.builds(
    PanelMark,
    mark=st.sampled_from(["scratch", "dent", "chip"]),
    size_mm=st.sampled_from([1, 2, 3, 5, 10, 12, 40, 200]),
    place=st.sampled_from(["upper front", "middle", "lower rear"]),
)
SEVERAL = st.lists(MARKS, max_size=7)


def mark(kind: str = "scratch", size: int | None = 12, place: str = "middle", **more: str) -> dict:
    return {"mark": kind, "size_mm": size, "place": place, **more}


def found(step: str, item: str, *marks: dict) -> TickLine:
    """Return the action that takes marks of a panel down."""
    return tick(step, item, "marked", marks=tuple(FoundMark(**each) for each in marks))


def at_the_panels(before: list[dict], **instead: list) -> Bay:
    """Return a job at its second look, in which the dash had these marks before."""
    line = [found("panels", "dash-panel", *before)] if before else []
    first = [*line, TickRest(tick_rest="panels"), Answer(answer="panels")]
    return Bay(procedure=WITH_PANELS).walk("panels-after", panels=first, **instead)


def look_again(bay: Bay, *after: dict) -> Bay:
    if after:
        bay.do(found("panels-after", "dash-panel", *after))
    bay.do(TickRest(tick_rest="panels-after"), Answer(answer="panels-after"))
    return bay


# --- compared --------------------------------------------------------------------------------


@given(SEVERAL, st.randoms(use_true_random=False))
def test_the_same_marks_in_any_order_are_unchanged(marks: list[PanelMark], order: object) -> None:
    again = list(marks)
    order.shuffle(again)  # type: ignore[attr-defined]
    assert {each.word for each in compare_marks(marks, again)} <= {"unchanged"}


@given(SEVERAL, SEVERAL, st.randoms(use_true_random=False))
def test_the_order_in_which_marks_were_taken_down_changes_no_word(
    before: list[PanelMark], after: list[PanelMark], order: object
) -> None:
    shuffled = list(before)
    order.shuffle(shuffled)  # type: ignore[attr-defined]
    words = [each.word for each in compare_marks(before, after)]
    assert [each.word for each in compare_marks(shuffled, after)] == words


def test_two_marks_equally_near_to_one_are_paired_by_their_size() -> None:
    ten, twelve, fourteen, sixteen = (
        PanelMark(mark="scratch", size_mm=size, place="middle") for size in (10, 12, 14, 16)
    )
    for before in ([ten, fourteen], [fourteen, ten]):
        words = [each.word for each in compare_marks(before, [twelve, sixteen])]
        assert words == ["unchanged", "unchanged"]


@given(SEVERAL, MARKS, st.randoms(use_true_random=False))
def test_one_mark_more_is_one_new_mark_and_names_it(
    marks: list[PanelMark], added: PanelMark, order: object
) -> None:
    again = [*marks, added]
    order.shuffle(again)  # type: ignore[attr-defined]
    ours = [each for each in compare_marks(marks, again) if each.ours]
    assert [(each.word, each.after, each.before) for each in ours] == [("new", added, None)]


@given(SEVERAL, SEVERAL)
def test_no_mark_is_lost_and_none_is_counted_twice(
    before: list[PanelMark], after: list[PanelMark]
) -> None:
    compared = compare_marks(before, after)

    def key(each):
        return each.model_dump_json()

    assert [each.after for each in compared if each.after] == after
    assert sorted((each.before for each in compared if each.before), key=key) == sorted(
        before, key=key
    )


@given(SEVERAL, MARKS)
def test_one_mark_less_is_gone_and_nothing_is_worse(
    marks: list[PanelMark], gone: PanelMark
) -> None:
    words = [each.word for each in compare_marks([*marks, gone], marks)]
    assert sorted(words) == sorted(["gone", *["unchanged"] * len(marks)])


def test_a_mark_has_grown_only_beyond_the_error_of_reading_it() -> None:
    """2 mm, or a tenth of a long one; own choice, no source."""
    assert [reading_error(size) for size in (1, 12, 29, 30, 200)] == [2, 2, 2, 3, 20]
    was = [PanelMark(mark="scratch", size_mm=12, place="middle")]

    def word(size: int) -> str:
        [each] = compare_marks(was, [was[0].model_copy(update={"size_mm": size})])
        return each.word

    assert [word(size) for size in (9, 10, 12, 14, 15)] == [
        "smaller",
        "unchanged",
        "unchanged",
        "unchanged",
        "larger",
    ]


# --- in a job --------------------------------------------------------------------------------


def test_marks_are_added_one_by_one_and_all_of_them_stand_at_the_panel() -> None:
    bay = Bay(procedure=WITH_PANELS).walk("panels")
    bay.do(found("panels", "dash-panel", mark()))
    bay.do(found("panels", "dash-panel", mark("dent", 5, "upper left", words="old")))
    told = bay.state.track("panels").ticks["dash-panel"].answer.marks
    assert [mark_words(each) for each in told or []] == [
        "scratch 12 mm, middle",
        "dent 5 mm, upper left (old)",
    ]


def test_a_line_answered_otherwise_begins_without_marks_again() -> None:
    bay = Bay(procedure=WITH_PANELS).walk("panels")
    bay.do(found("panels", "dash-panel", mark()), tick("panels", "dash-panel", "unmarked"))
    bay.do(found("panels", "dash-panel", mark("dent", 5)))
    told = bay.state.track("panels").ticks["dash-panel"].answer.marks or []
    assert [each.mark for each in told] == ["dent"]


def test_a_second_mark_on_a_marked_panel_is_a_fault_of_the_work_that_says_all() -> None:
    bay = look_again(at_the_panels([mark()]), mark(), mark("dent", 8, "lower left"))
    [fault] = bay.state.faults
    assert (fault.cause, fault.step, fault.item) == ("work", "panels-after", "dash-panel")
    assert fault.words == (
        "Dash panel: new mark, dent 8 mm, lower left; before there was scratch 12 mm, middle"
    )
    answer = bay.state.track("panels-after").attempts[-1].answer
    assert (answer.outcome, answer.details) == ("worse", {"dash-panel": "worse"})


def test_each_new_mark_has_a_fault_of_its_own() -> None:
    bay = look_again(at_the_panels([]), mark(), mark("chip", 3, "upper right"))
    assert [fault.words for fault in bay.state.faults] == [
        "Dash panel: new mark, scratch 12 mm, middle; before it was unmarked",
        "Dash panel: new mark, chip 3 mm, upper right; before it was unmarked",
    ]
    assert [fault.mark for fault in bay.state.faults] == [
        PanelMark(mark="scratch", size_mm=12, place="middle"),
        PanelMark(mark="chip", size_mm=3, place="upper right"),
    ]


def test_a_mark_that_grew_is_a_fault_that_says_how_large_it_was() -> None:
    bay = look_again(at_the_panels([mark()]), mark(size=30))
    assert [fault.words for fault in bay.state.faults] == [
        "Dash panel: larger mark, scratch 30 mm, middle; before it was scratch 12 mm, middle"
    ]


def test_the_same_marks_again_raise_nothing_and_match() -> None:
    bay = look_again(at_the_panels([mark(), mark("dent", 5)]), mark("dent", 6), mark(size=11))
    assert bay.state.faults == ()
    assert bay.state.track("panels-after").good


def test_a_mark_that_is_gone_is_better_and_opens_the_gate() -> None:
    bay = look_again(at_the_panels([mark(), mark("dent", 5)]), mark())
    answer = bay.state.track("panels-after").attempts[-1].answer
    assert (answer.outcome, answer.details) == ("matching", {"dash-panel": "better"})
    assert bay.state.faults == ()


def test_what_could_not_be_seen_before_is_unresolved_and_not_innocent() -> None:
    covered = tick("panels", "dash-panel", "could not see", words="covered in snow")
    first = [covered, TickRest(tick_rest="panels"), Answer(answer="panels")]
    bay = Bay(procedure=WITH_PANELS).walk("panels-after", panels=first)
    look_again(bay, mark())
    assert bay.state.track("panels-after").attempts[-1].answer.outcome == "unresolved"
    assert not bay.state.track("panels-after").good
    assert bay.state.faults == ()


def test_marks_told_only_in_words_before_cannot_be_compared_with_marks() -> None:
    """An older journal: what was found was written down in words alone."""
    told = tick("panels", "dash-panel", "marked", words="a scratch")
    first = [told, TickRest(tick_rest="panels"), Answer(answer="panels")]
    bay = Bay().walk("panels-after", panels=first)
    look_again(bay, mark())
    assert bay.state.track("panels-after").attempts[-1].answer.outcome == "unresolved"


def test_walking_again_tells_of_a_mark_once_while_its_fault_is_open() -> None:
    bay = look_again(at_the_panels([]), mark())
    bay.do(Reopen(reopen="panels-after", reason="polished"))
    look_again(bay, mark(size=11))
    assert len(bay.state.faults) == 1
    bay.do(ClearFault(clear=1, words="polished out"), Reopen(reopen="panels-after", reason="r"))
    look_again(bay)
    assert len(bay.state.faults) == 1
    assert bay.state.track("panels-after").good


def test_a_fault_read_wrongly_is_cleared_with_words_and_the_gate_waits_for_the_sheet() -> None:
    bay = look_again(at_the_panels([mark(place="middle")]), mark(place="middle left"))
    bay.do(ClearFault(clear=1, words="the same scratch, another field"))
    from baycompanion.job.state.gates import missing

    waits = missing(WITH_PANELS, bay.state, WITH_PANELS.all_gates["same-as-before"])
    assert [thing.step for thing in waits] == ["panels-after"]


ON_THE_DASH = st.builds(
    mark,
    st.sampled_from(["scratch", "dent"]),
    st.integers(1, 300),
    st.sampled_from(["upper left", "middle"]),
)


@given(st.lists(ON_THE_DASH, max_size=5), ON_THE_DASH, st.randoms(use_true_random=False))
def test_a_job_tells_of_exactly_the_mark_that_came_to_be_there(
    before: list[dict], added: dict, order: object
) -> None:
    """The same marks in any order raise nothing; one more raises one fault, which names it."""
    same = list(before)
    order.shuffle(same)  # type: ignore[attr-defined]
    bay = look_again(at_the_panels(before), *same)
    assert bay.state.faults == ()
    assert bay.state.track("panels-after").good
    bay.do(Reopen(reopen="panels-after", reason="one more look"))
    more = [*same, added]
    order.shuffle(more)  # type: ignore[attr-defined]
    look_again(bay, *more)
    [fault] = bay.state.faults
    assert fault.mark == PanelMark(**added)
    assert fault.words.startswith(f"Dash panel: new mark, {mark_words(fault.mark)}; before ")


# --- refused ---------------------------------------------------------------------------------


def test_a_panel_of_the_drawing_is_marked_with_a_mark_and_not_with_words_alone() -> None:
    bay = Bay(procedure=WITH_PANELS).walk("panels")
    refused = bay.refused(tick("panels", "dash-panel", "marked", words="a scratch"))
    assert refused.why == (
        "Dash panel: say which mark, how large, and in which field of the panel."
    )


def test_a_field_that_the_panel_does_not_have_is_refused_with_those_it_has() -> None:
    bay = Bay(procedure=WITH_PANELS).walk("panels")
    refused = bay.refused(found("panels", "door-panel", mark(place="upper left")))
    assert "It has: upper front, upper middle, upper rear, middle front, middle" in refused.why


def test_a_mark_without_a_size_is_refused_unless_something_is_missing() -> None:
    bay = Bay(procedure=WITH_PANELS).walk("panels")
    assert bay.refused(found("panels", "dash-panel", mark(size=None))).why == (
        "Dash panel: how large is the scratch, in mm?"
    )
    bay.do(found("panels", "dash-panel", mark("missing", None)))


def test_another_mark_is_told_in_words() -> None:
    bay = Bay(procedure=WITH_PANELS).walk("panels")
    assert "say in a few words" in bay.refused(found("panels", "dash-panel", mark("other"))).why
    bay.do(found("panels", "dash-panel", mark("other", words="glue")))


def test_only_a_marked_line_has_marks() -> None:
    bay = Bay(procedure=WITH_PANELS).walk("panels")
    unmarked = found("panels", "dash-panel", mark()).model_copy(update={"outcome": "unmarked"})
    assert "only a line that is answered marked" in bay.refused(unmarked).why


def test_the_photo_of_a_mark_is_one_of_the_job_under_either_of_its_names() -> None:
    bay = Bay(procedure=WITH_PANELS).walk("panels")
    taken = found("panels", "dash-panel", mark(photo=PHOTO.original))
    assert "no photo “lead.jpg”" in bay.refused(taken).why
    bay.do(PHOTO, taken)
    told = bay.state.track("panels").ticks["dash-panel"].answer.marks or []
    assert [each.photo for each in told] == [PHOTO.photo]


def test_every_panel_has_nine_fields() -> None:
    assert {len(set(places_of(panel))) for panel in (*PANELS, None)} == {9}


# --- the record ------------------------------------------------------------------------------


def test_the_record_tells_each_panel_before_and_after_and_each_mark() -> None:
    bay = look_again(at_the_panels([mark(), mark("dent", 5)]), mark(), mark("chip", 3))
    dash, door = bay.record().panels
    assert (dash.item, dash.panel, dash.before, dash.after, dash.word) == (
        "dash-panel",
        "dash-centre",
        "marked",
        "marked",
        "worse",
    )
    assert [
        (each.word, each.before and each.before.mark, each.after and each.after.mark)
        for each in dash.marks
    ] == [("unchanged", "scratch", "scratch"), ("new", None, "chip"), ("gone", "dent", None)]
    assert (door.before, door.after, door.word, door.marks) == (
        "unmarked",
        "unmarked",
        "unchanged",
        [],
    )


def test_the_record_of_a_job_under_way_tells_what_was_found_so_far() -> None:
    bay = at_the_panels([mark()])
    [dash, _] = bay.record().panels
    assert (dash.before, dash.after, dash.word) == ("marked", None, None)
    assert [(each.before and each.before.size_mm, each.after) for each in dash.marks] == [
        (12, None)
    ]


def test_an_event_of_an_older_journal_has_no_marks_and_reads_as_before() -> None:
    data = {"fault": 1, "cause": "work", "words": "w"}
    assert FaultRaised.model_validate(data, strict=True).mark is None
    bay = Bay().walk("panels")
    bay.do(tick("panels", "dash-panel", "marked", words="a scratch"), who=T1)
    assert "marks" not in bay.events[-1].as_dict()["data"]


def test_the_record_compares_with_the_second_look_that_was_made_where_there_are_two() -> None:
    """Each path through a procedure may have a second look of its own."""
    one = "        id: panels-after\n        compares: panels\n"
    other = one.replace("panels-after", "panels-otherwise")
    assert one in SMALL_TEXT
    text = SMALL_TEXT.replace(
        one,
        f"{one}        when: {{amplifier: yes}}\n"
        "      - inspect: Look for marks without the amplifier.\n"
        f"{other}        unless: {{amplifier: yes}}\n",
    )
    bay = Bay(load_procedure(text, "small-receiver.yaml").procedure).walk("panels-after")
    bay.do(tick("panels-after", "dash-panel", "marked", words="scratch"))
    bay.do(TickRest(tick_rest="panels-after"), Answer(answer="panels-after"))
    words = {panel.item: panel.word for panel in bay.record().panels}
    assert words == {"dash-panel": "worse", "door-panel": "unchanged"}
