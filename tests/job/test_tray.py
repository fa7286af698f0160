"""The fastener tray: what came off where, in which order it goes back, and what is left over."""

from itertools import pairwise
from typing import Any

import pytest
from bay import SMALL_TEXT, T2, Bay
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from baycompanion.job.actions import (
    AddToTray,
    Answer,
    Note,
    Reopen,
    Settle,
    TickLine,
)
from baycompanion.job.deciding.draft import Person, Refused
from baycompanion.job.deciding.late import read_moment
from baycompanion.job.deciding.revising import revise
from baycompanion.job.hands_actions import PauseWork
from baycompanion.job.record.whole import JobRecord
from baycompanion.job.state.fold import fold_all
from baycompanion.job.state.gates import missing
from baycompanion.job.state.order import items_that_apply
from baycompanion.job.state.tray import in_the_tray, tray_words
from baycompanion.procedure.load import load_procedure
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Count

LINES = """\
          - {item: bezel-clips, name: Clips of the bezel, group: Bezel}
          - {item: dash-screws, name: Screws of the receiver, group: Dash centre}
          - {item: dash-clips, name: LED clips, group: Dash centre}
"""
OLD = "          - {item: screw, name: Screw}\n          - {item: clip, name: Clip}\n"
PANELS_TEXT = SMALL_TEXT.replace(OLD, LINES)
BACK = "      - count: Count the fasteners back.\n        id: back\n        matches: out\n"
PANELS = load_procedure(PANELS_TEXT, "panels.yaml").procedure
FILE = ("bezel-clips", "dash-screws", "dash-clips")


def lay(step: str, item: str, count: int | None, **more: Any) -> TickLine:
    return TickLine(tick=step, item=item, count=count, **more)


def add(panel: str = "Ashtray", fastener: str = "Screws", count: int = 2, **more: Any) -> AddToTray:
    return AddToTray(add_to_tray="out", panel=panel, fastener=fastener, count=count, **more)


OUT = [
    lay("out", "bezel-clips", 6, slot="A1"),
    lay("out", "dash-screws", 4, size="M5 × 12", slot="A3"),
    lay("out", "dash-clips", 2),
]
"""Fasteners out, as they come off."""


def counted_out(*more: Any) -> Bay:
    """Return a job in which `more` was done at the count out, and which came to the count back."""
    return Bay(PANELS).walk("back", out=[*OUT, *more, Answer(answer="out")])


def order(bay: Bay, step: str = "back") -> list[str]:
    return [
        item.item for item in items_that_apply(bay.procedure, bay.state, bay.procedure.steps[step])
    ]


def back(bay: Bay, **counts: int) -> None:
    """Count every line back, as many as came off where `counts` says nothing else."""
    out = bay.state.track("out").ticks
    for item in order(bay):
        bay.do(lay("back", item, counts.get(item.replace("-", "_"), out[item].answer.count)))
    bay.do(Answer(answer="back"))


class TestOrder:
    """The teardown order gives the refit order reversed."""

    def test_the_last_off_is_the_first_back(self) -> None:
        assert order(counted_out(), "out") == ["bezel-clips", "dash-screws", "dash-clips"]
        assert order(counted_out()) == ["dash-clips", "dash-screws", "bezel-clips"]

    def test_it_is_the_order_in_which_they_were_counted_and_not_that_of_the_file(self) -> None:
        taken = [lay("out", "dash-clips", 1), lay("out", "bezel-clips", 1)]
        last = lay("out", "dash-screws", 1)
        bay = Bay(PANELS).walk("back", out=[*taken, last, Answer(answer="out")])
        assert order(bay) == ["dash-screws", "dash-clips", "bezel-clips"], "panel by panel"

    def test_a_line_counted_anew_keeps_its_place(self) -> None:
        bay = counted_out(lay("out", "bezel-clips", 5))
        assert order(bay)[-1] == "bezel-clips"

    def test_a_panel_that_came_off_last_goes_back_first(self) -> None:
        bay = counted_out(add("Ashtray"), add("Bezel", "Screws of the bezel"))
        assert order(bay) == ["t2", "bezel-clips", "t1", "dash-clips", "dash-screws"]

    @pytest.mark.parametrize("wrong", ["back", "route", "nowhere"])
    def test_a_count_that_leads_back_to_none_has_no_lines(self, wrong: str) -> None:
        text = PANELS_TEXT.replace("matches: out", f"matches: {wrong}")
        bay = Bay(load_procedure(text, "p.yaml").procedure)
        assert order(bay) == []


class TestSizeAndSlot:
    """What is said beside the number, and stays."""

    def test_they_stand_in_the_lines_of_the_record(self) -> None:
        record = counted_out().record()
        [step] = [step for step in record.steps if step.id == "out"]
        assert [(line.count, line.size, line.slot) for line in step.lines] == [
            (6, None, "A1"),
            (4, "M5 × 12", "A3"),
            (2, None, None),
        ]

    def test_a_number_alone_keeps_them_and_others_replace_them(self) -> None:
        bay = Bay(PANELS).walk("out")
        bay.do(*OUT, lay("out", "dash-screws", 5), lay("out", "bezel-clips", 6, slot="B2"))
        assert bay.state.track("out").places["dash-screws"] == ("M5 × 12", "A3")
        assert bay.state.track("out").ticks["dash-screws"].answer.size == "M5 × 12"
        assert bay.state.track("out").places["bezel-clips"] == ("", "B2")

    def test_a_count_reopened_asks_for_the_numbers_anew_and_knows_where_they_lie(self) -> None:
        bay = counted_out(add(size="M4", slot="C1"))
        bay.do(Reopen(reopen="out", reason="one more rolled out"))
        assert bay.state.current == "out"
        assert bay.state.track("out").ticks == {}
        assert order(bay, "out") == [*FILE, "t1"]
        bay.do(*(lay("out", item, 4) for item in order(bay, "out")), Answer(answer="out"))
        tray = {line.item: (line.out, line.size, line.slot) for line in bay.record().tray}
        assert tray["dash-screws"] == (4, "M5 × 12", "A3")
        assert tray["t1"] == (4, "M4", "C1")

    def test_they_are_said_where_it_is_counted_out_and_not_back(self) -> None:
        refused = counted_out().refused(lay("back", "dash-clips", 2, slot="A9"))
        assert refused.why.startswith("Size and slot are written down where")
        assert refused.opens_by[0].step == "out"


class TestAdding:
    """A panel that nobody foresaw."""

    def test_it_is_a_line_of_the_count_and_of_the_count_back(self) -> None:
        bay = Bay(PANELS).walk("out")
        bay.do(*OUT, add(size="M4 × 12", slot="B1"))
        assert bay.kinds()[-2:] == ["tray-line-added", "ticked"]
        bay.do(lay("out", "t1", 3), Answer(answer="out"))
        bay.walk("back")
        assert "t1" in order(bay)
        bay.do(*(lay("back", item, 1) for item in order(bay)), Answer(answer="back"))
        details = bay.state.track("back").attempts[-1].answer.details or {}
        assert details["t1"] == "Ashtray: screws, M4 × 12: 3 off, 1 back, 2 left over, slot B1"

    def test_its_names_count_on_and_clash_with_none_of_the_file(self) -> None:
        text = PANELS_TEXT.replace("item: bezel-clips", "item: t1")
        bay = Bay(load_procedure(text, "t1.yaml").procedure).walk("out")
        bay.do(add(), add("Glovebox"))
        assert [line.item for line in bay.state.tray] == ["t2", "t3"]

    def test_it_waits_until_its_count_is_in_hand(self) -> None:
        assert "not the step in hand" in counted_out().refused(add()).why
        assert (
            "counts nothing"
            in counted_out()
            .refused(AddToTray(add_to_tray="route", panel="p", fastener="f", count=1))
            .why
        )
        back_again = AddToTray(add_to_tray="back", panel="p", fastener="f", count=1)
        refused = counted_out().refused(back_again)
        assert refused.why == "A line is added where the fasteners are counted out."
        assert refused.opens_by[0].step == "out"

    def test_only_the_technician_adds_to_it(self) -> None:
        Bay(PANELS).walk("out").refused(add(), T2)

    def test_a_line_nobody_could_tell_from_another_is_refused(self) -> None:
        bay = Bay(PANELS).walk("out")
        bay.do(add(slot="B1"))
        assert (
            "The tray has this line already: Ashtray: screws."
            in bay.refused(add("ASHTRAY", slot="b1")).why
        )
        bay.do(add(slot="B2"))
        same = add("Dash centre", "LED clips")
        assert "Dash centre: LED clips" in bay.refused(same).why

    def test_it_may_be_copied_from_paper_with_both_times(self) -> None:
        bay = Bay(PANELS).walk("out")
        bay.do(add(claimed=bay.now, on_paper=True))
        tick = bay.state.track("out").ticks["t1"].answer
        assert tick.on_paper is True and tick.claimed is not None


STATED = {"exchanged": 1, "exchanged_for": "M5 × 16", "exchanged_why": "thread worn"}

REFUSED = [
    ({"exchanged": 5}, "5 exchanged, and 4 back"),
    ({"exchanged": 1, "exchanged_for": ""}, "Say what went in instead"),
    ({"exchanged": 1, "exchanged_why": ""}, "Say what went in instead"),
    ({"exchanged": None}, "How many were exchanged?"),
]


class TestExchange:
    """Of those that went back, some are others."""

    def test_it_counts_as_back_and_is_told_with_the_answer(self) -> None:
        bay = counted_out()
        bay.do(lay("back", "dash-clips", 2), lay("back", "dash-screws", 4, **STATED))
        bay.do(lay("back", "bezel-clips", 6), Answer(answer="back"))
        answer = bay.state.track("back").attempts[-1].answer
        assert (answer.outcome, answer.weight) == ("matching", "good")
        said = "Dash centre: screws of the receiver, M5 × 12: 4 off, 4 back, "
        said += "1 exchanged for M5 × 16 (thread worn), slot A3"
        assert answer.details == {"dash-screws": said}
        [line] = [line for line in bay.record().tray if line.exchanged]
        assert (line.exchanged, line.exchanged_for, line.exchanged_why) == tuple(STATED.values())
        assert (line.panel, line.kind, line.left, line.words) == (
            "Dash centre",
            "Screws of the receiver",
            0,
            said,
        )

    @pytest.mark.parametrize(("wrong", "why"), REFUSED)
    def test_it_is_stated_whole_or_not_at_all(self, wrong: dict[str, Any], why: str) -> None:
        action = lay("back", "dash-screws", 4, **{**STATED, **wrong})
        assert counted_out().refused(action).why.startswith(why)

    def test_it_is_not_stated_where_it_is_counted_out(self) -> None:
        bay = Bay(PANELS).walk("out")
        assert "counted back, not out" in bay.refused(lay("out", "dash-screws", 4, **STATED)).why

    def test_a_number_alone_keeps_it_and_none_takes_it_back(self) -> None:
        bay = counted_out()
        bay.do(lay("back", "dash-screws", 3, **STATED), lay("back", "dash-screws", 4))
        assert bay.state.track("back").ticks["dash-screws"].answer.exchanged == 1
        assert "1 exchanged, and 0 back" in bay.refused(lay("back", "dash-screws", 0)).why
        bay.do(lay("back", "dash-screws", 4, exchanged=0))
        assert bay.state.track("back").ticks["dash-screws"].answer.exchanged is None


class TestLeftOver:
    """What is left over or missing says which panel it belongs to."""

    SAID = "Dash centre: screws of the receiver, M5 × 12: 4 off, 3 back, 1 left over, slot A3"

    def test_one_left_over_is_told_with_its_panel(self) -> None:
        bay = counted_out()
        back(bay, dash_screws=3)
        answer = bay.state.track("back").attempts[-1].answer
        assert (answer.outcome, answer.weight) == ("not matching", "bad")
        assert answer.details == {"dash-screws": self.SAID}

    def test_more_back_than_off_is_too_many(self) -> None:
        bay = counted_out()
        back(bay, dash_clips=3)
        details = bay.state.track("back").attempts[-1].answer.details
        assert details == {"dash-clips": "Dash centre: LED clips: 2 off, 3 back, 1 too many"}

    def test_the_gate_and_the_fault_say_which_panel_it_is(self) -> None:
        bay = counted_out()
        back(bay, dash_screws=3)
        bay.do(Settle(settle="back", cause="work", words="It fell behind the dash."))
        [fault] = bay.state.faults
        assert (fault.words, fault.item) == (
            f"{self.SAID}. It fell behind the dash.",
            "dash-screws",
        )
        gates = [
            gate
            for gate in PANELS.all_gates.values()
            if any("left over" in each.words for each in missing(PANELS, bay.state, gate))
        ]
        assert gates, "a gate waits for the tray"
        things = missing(PANELS, bay.state, gates[0])
        [thing] = [each for each in things if each.words.startswith(f"{PANELS.number['back']}. ")]
        number = PANELS.number["back"]
        assert thing.words == (f"{number}. {PANELS.steps['back'].text} Not matching: {self.SAID}.")

    def test_it_is_found_again_and_both_counts_stay(self) -> None:
        bay = counted_out()
        back(bay, dash_screws=3)
        bay.do(lay("back", "dash-screws", 4), Answer(answer="back"))
        attempts = bay.state.track("back").attempts
        assert [each.answer.outcome for each in attempts] == ["not matching", "matching"]
        assert bay.record().tray[1].left == 0

    def test_a_pause_says_what_lies_in_the_tray(self) -> None:
        bay = counted_out()
        assert in_the_tray(PANELS, bay.state) == {"Bezel": 6, "Dash centre": 6}
        bay.do(lay("back", "dash-clips", 2), lay("back", "dash-screws", 1))
        bay.do(PauseWork(pause="lunch", loose="dash", first="count"))
        assert in_the_tray(PANELS, bay.state) == {"Bezel": 6, "Dash centre": 3}
        assert tray_words(PANELS, bay.state) == "Bezel 6, Dash centre 3"


class TestRecord:
    """The tray in the record."""

    def test_it_holds_every_line_in_the_order_of_the_count(self) -> None:
        bay = counted_out(add(slot="B1"))
        before = [(line.item, line.back, line.left, line.back_step) for line in bay.record().tray]
        assert before == [(item, None, None, None) for item in (*FILE, "t1")]
        back(bay)
        record = bay.record()
        assert [(line.item, line.left, line.added) for line in record.tray] == [
            *((item, 0, False) for item in FILE),
            ("t1", 0, True),
        ]
        Draft202012Validator(JobRecord.model_json_schema(mode="serialization")).validate(
            record.model_dump(mode="json")
        )

    def test_a_journal_from_before_the_tray_reads_and_seals_as_it_did(self) -> None:
        """A count said no size then; what it did not say is not added to what was hashed."""
        bay = counted_out()
        [plain] = [
            event.as_dict()["data"]
            for event in bay.events
            if event.kind == "ticked" and getattr(event.data, "item", "") == "dash-clips"
        ]
        assert plain == {
            "step": "out",
            "item": "dash-clips",
            "outcome": "counted",
            "weight": "good",
            "words": "",
            "count": 2,
        }


class TestRevision:
    """Moving to a newer revision loses no line."""

    def newer(self, old: str = "", new: str = "") -> Procedure:
        text = PANELS_TEXT.replace("revision: 3", "revision: 4")
        assert text != PANELS_TEXT and old in text
        return load_procedure(text.replace(old, new) if old else text, "panels.yaml").procedure

    def moved(self, bay: Bay, new: Procedure) -> Any:
        who = Person("T1", "technician")
        now = read_moment(bay.state.last_at)
        return revise(bay.procedure, new, "cd" * 32, bay.state, "better", who, now)

    def test_the_line_is_there_after_it(self) -> None:
        bay = counted_out(add())
        decided = self.moved(bay, new := self.newer("Clips of the bezel", "Bezel clips"))
        assert not isinstance(decided, Refused)
        count = new.steps["out"]
        assert isinstance(count, Count)
        assert [item.item for item in items_that_apply(new, decided.state, count)] == [*FILE, "t1"]

    @pytest.mark.parametrize(
        ("old", "new", "why"),
        [
            ("item: bezel-clips", "item: t1", "has a line “t1” at “out”"),
            ("id: out\n", "id: off\n", "counts nothing out at “out”, and a line was added there"),
        ],
    )
    def test_one_that_would_lose_it_is_refused(self, old: str, new: str, why: str) -> None:
        text = self.newer(old, new) if old.startswith("item") else self._renamed()
        refused = self.moved(counted_out(add()), text)
        assert isinstance(refused, Refused)
        assert why in refused.why

    @pytest.mark.parametrize(
        ("old", "new"),
        [
            (BACK, ""),
            ("item: dash-screws", "item: receiver-screws"),
            ("id: back\n", "id: back\n        when: {camera: [front]}\n"),
            ("id: back\n", "id: back\n        when: {roof: yes}\n"),
        ],
    )
    def test_one_that_takes_back_nowhere_what_lies_in_the_tray_is_refused(
        self, old: str, new: str
    ) -> None:
        """Neither the count back nor the line may go, nor be for other vehicles, or perhaps so."""
        text = PANELS_TEXT if new else PANELS_TEXT.replace("      - matching: back\n", "")
        changed = text.replace("revision: 3", "revision: 4").replace(old, new)
        changed = changed.replace("choices:\n", "choices:\n  - {choice: roof, title: Roof}\n")
        newer = load_procedure(changed, "panels.yaml").procedure
        bay = counted_out()
        refused = self.moved(bay, newer)
        assert isinstance(refused, Refused)
        assert "The tray holds what revision 4 counts back nowhere: " in refused.why
        assert "Dash centre: screws of the receiver, M5 × 12: 4 off, slot A3" in refused.why
        bay.do(Reopen(reopen="out", reason="miscounted"))
        refused = self.moved(bay, newer)
        assert isinstance(refused, Refused)
        assert "4 off before, to be counted anew, slot A3" in refused.why
        bay.do(*OUT, Answer(answer="out"))
        bay.walk("back")
        back(bay)
        assert not isinstance(self.moved(bay, newer), Refused), "all of it went back"

    def _renamed(self) -> Procedure:
        text = PANELS_TEXT.replace("revision: 3", "revision: 4").replace("id: out\n", "id: off\n")
        return load_procedure(text.replace("matches: out", "matches: off"), "p.yaml").procedure


COUNTS = st.integers(0, 5)
KEPT = ("bezel-clips", "dash-screws", "dash-clips", "t1", "t2", "t9")


@st.composite
def deeds(draw: st.DrawFn, step: str) -> Any:
    """Draw something that can be done at a count."""
    if draw(st.integers(0, 5)) == 0:
        panel = draw(st.sampled_from(["Bezel", "Ashtray", "Console"]))
        return add(panel, draw(st.sampled_from(["Screws", "Clips"])), draw(COUNTS))
    exchanged = draw(st.none() | COUNTS) if step == "back" else None
    words = {"exchanged_for": "f", "exchanged_why": "w"} if exchanged else {}
    slot = draw(st.sampled_from(["", "A1"])) if step == "out" else ""
    item = draw(st.sampled_from(KEPT))
    return lay(step, item, draw(COUNTS), exchanged=exchanged, slot=slot, **words)


@given(
    out=st.lists(deeds("out"), max_size=12),
    again=st.lists(deeds("back"), max_size=12),
    reopened=st.booleans(),
)
def test_a_count_back_matches_where_as_many_went_back_as_came_off_line_by_line(
    out: list[Any], again: list[Any], reopened: bool
) -> None:
    """Whatever is counted, added and exchanged in whatever order."""
    bay = Bay(PANELS).walk("out")
    for action in [*out, *OUT]:
        bay.decide(action)
    added = [line.item for line in bay.state.tray]
    assert len({*added, *FILE}) == len(added) + len(FILE)
    bay.do(Answer(answer="out"))
    bay.walk("back")
    if reopened:
        bay.do(Reopen(reopen="out", reason="anew"))
        bay.do(*(lay("out", item, 1) for item in order(bay, "out")), Answer(answer="out"))
        bay.walk("back")
    assert sorted(order(bay)) == sorted([*FILE, *added])
    for action in [*again, *(lay("back", item, 1, exchanged=0) for item in order(bay)), *again]:
        bay.decide(action)
    bay.do(Answer(answer="back"))
    before, now = bay.state.track("out").ticks, bay.state.track("back").ticks
    same = all(before[item].answer.count == now[item].answer.count for item in before)
    answer = bay.state.track("back").attempts[-1].answer
    assert (answer.outcome == "matching") is same
    for tick in now.values():
        assert (tick.answer.exchanged or 0) <= (tick.answer.count or 0)
    assert bay.record() == Bay(PANELS, bay.now, list(bay.events)).record()
    assert fold_all(bay.events) == bay.state
    bay.decide(Note(note="done"))


@given(taken=st.permutations(FILE), panels=st.lists(st.sampled_from("AB"), min_size=3, max_size=3))
def test_the_refit_order_is_the_teardown_order_reversed(
    taken: list[str], panels: list[str]
) -> None:
    """Panel by panel; where each panel came off whole, it is exactly the reverse."""
    text = PANELS_TEXT
    for item, panel in zip(FILE, panels, strict=True):
        old = next(line for line in LINES.splitlines() if item in line)
        text = text.replace(old, f"{old.split(', group')[0]}, group: {panel}}}")
    bay = Bay(load_procedure(text, "p.yaml").procedure).walk("out")
    bay.do(*(lay("out", item, 1) for item in taken), Answer(answer="out"))
    bay.walk("back")
    of = dict(zip(FILE, panels, strict=True))
    went = order(bay)
    blocks = [of[item] for item in taken]
    whole = sum(one != two for one, two in pairwise(blocks)) < len({*blocks})
    assert (went == taken[::-1]) or not whole
    assert of[went[0]] == of[taken[-1]], "the panel that came off last"
    for panel in {*panels}:
        mine = [item for item in taken if of[item] == panel]
        places = [went.index(item) for item in mine]
        assert places == sorted(places, reverse=True)
        assert max(places) - min(places) == len(mine) - 1, "a panel goes back whole"
