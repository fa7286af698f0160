"""Several choices settled line by line in one step, and what follows where one is settled anew."""

import pytest
from bay import S1, Bay, tick
from fitted import FITTED, FITTED_TEXT

from baycompanion.job.actions import (
    Accept,
    Answer,
    ClearFault,
    Override,
    RaiseFault,
    Reopen,
    Settle,
    TickLine,
    TickRest,
)
from baycompanion.job.state.gates import gates_holding
from baycompanion.job.state.order import items_that_apply
from baycompanion.job.state.words import answer_words
from baycompanion.procedure.comparing.changes import changes
from baycompanion.procedure.load import load_procedure


def chosen(item: str, value: str = "yes") -> TickLine:
    return TickLine(tick="fitted", item=item, value=value)


def at_the_functions(*yes: str) -> Bay:
    """Return a job in which the choices `yes` are yes and the others no."""
    bay = Bay(FITTED)
    bay.do(Accept(accept="hazards"), *map(chosen, yes), TickRest(tick_rest="fitted"))
    bay.do(Answer(answer="fitted"))
    return bay


def lines(bay: Bay, step: str) -> list[str]:
    return [each.item for each in items_that_apply(FITTED, bay.state, FITTED.steps[step])]


def test_every_choice_is_settled_once_the_step_is_finished() -> None:
    bay = Bay(FITTED)
    bay.do(Accept(accept="hazards"), chosen("roof"), TickRest(tick_rest="fitted"))
    assert bay.state.choices == {}
    bay.do(Answer(answer="fitted"))
    assert bay.state.choices == {"roof": "yes", "seats": "no", "camera": "no"}
    assert bay.record().choices == bay.state.choices


def test_a_list_of_choices_is_not_finished_while_one_has_no_answer() -> None:
    bay = Bay(FITTED)
    bay.do(Accept(accept="hazards"), chosen("roof"))
    refused = bay.refused(Answer(answer="fitted"))
    assert "2 lines have no answer yet" in refused.why
    assert [thing.words for thing in refused.opens_by] == ["Heated seats", "Camera"]


def test_the_rest_of_one_group_is_answered_together_as_no_or_as_said() -> None:
    bay = Bay(FITTED)
    bay.do(Accept(accept="hazards"), TickRest(tick_rest="fitted", group="Body"))
    assert set(bay.state.track("fitted").ticks) == {"roof", "seats"}
    bay.do(TickRest(tick_rest="fitted", value="yes"), Answer(answer="fitted"))
    assert bay.state.choices == {"roof": "no", "seats": "no", "camera": "yes"}


@pytest.mark.parametrize("value", ["perhaps", ""])
def test_a_line_takes_only_the_answers_of_its_choice(value: str) -> None:
    bay = Bay(FITTED)
    bay.do(Accept(accept="hazards"))
    assert "It takes: yes, no" in bay.refused(chosen("roof", value)).why


def test_the_answers_switch_lines_and_steps() -> None:
    assert lines(at_the_functions("roof"), "before") == ["horn", "roof"]
    assert lines(at_the_functions(), "before") == ["horn"]
    bay = at_the_functions("camera")
    bay.do(TickRest(tick_rest="before"), Answer(answer="before"))
    assert bay.state.current == "camera-on"


def test_reopening_takes_every_choice_back_until_it_is_settled_again() -> None:
    bay = at_the_functions("roof")
    bay.do(Reopen(reopen="fitted", reason="a slip"))
    assert (bay.state.current, bay.state.choices) == ("fitted", {})


def test_a_line_that_comes_in_later_is_asked_and_the_answers_beside_it_are_kept() -> None:
    bay = with_a_worse_horn()
    bay.do(Reopen(reopen="fitted", reason="seats seen"), chosen("seats"))
    bay.do(TickRest(tick_rest="fitted"), Answer(answer="fitted"))
    assert bay.state.current == "after"
    track = bay.state.track("after")
    assert {item: each.answer.outcome for item, each in track.ticks.items()} == {"horn": "faulty"}
    assert track.reopened == ("Added by what was chosen since: Seats.",)
    assert "1 line has no answer yet" in bay.refused(Answer(answer="after")).why
    bay.do(tick("after", "seats", "faulty", words="cold"), Answer(answer="after"))
    last = bay.state.track("after").last
    assert last is not None
    assert last.details == {"horn": "worse", "seats": "unresolved"}


def test_a_sheet_of_before_the_work_is_not_answered_after_it() -> None:
    bay = with_a_worse_horn()
    bay.do(Reopen(reopen="fitted", reason="seats seen"), chosen("seats"))
    bay.do(TickRest(tick_rest="fitted"), Answer(answer="fitted"))
    assert bay.state.track("before").good
    assert "seats" not in bay.state.track("before").ticks


def test_a_list_whose_lines_are_the_same_as_before_is_not_asked_again() -> None:
    bay = at_the_functions("roof")
    bay.do(TickRest(tick_rest="before"), Answer(answer="before"))
    bay.do(Reopen(reopen="fitted", reason="camera seen"))
    bay.do(chosen("roof"), TickRest(tick_rest="fitted"), Answer(answer="fitted"))
    assert bay.state.track("before").good
    assert bay.state.current == "asked"


def test_the_answer_is_told_by_titles_those_of_one_answer_side_by_side() -> None:
    bay = at_the_functions("roof")
    last = bay.state.track("fitted").last
    assert last is not None
    said = answer_words(FITTED, FITTED.steps["fitted"], last)
    assert said == "chosen · yes: Opening roof; no: Heated seats, Camera"


def test_a_choice_that_joins_the_list_makes_the_step_another_one() -> None:
    """So that moving a job to that revision asks the step again."""
    text = FITTED_TEXT.replace(
        "  - {choice: camera,", "  - {choice: horn, title: Second horn}\n  - {choice: camera,"
    ).replace("[roof, seats, camera]", "[roof, seats, camera, horn]")
    assert changes(FITTED, load_procedure(text, "fitted.yaml").procedure).changed == ("fitted",)
    titled = FITTED_TEXT.replace("title: Heated seats", "title: Seats with heat")
    assert changes(FITTED, load_procedure(titled, "fitted.yaml").procedure).changed == ("fitted",)


# --- the owner's word ---------------------------------------------------------------------------


def at_the_end(word: str, *actions: object) -> Bay:
    bay = at_the_functions()
    bay.do(TickRest(tick_rest="before"), Answer(answer="before"))
    bay.do(Answer(answer="asked", value=word), *actions)  # type: ignore[arg-type]
    return bay


@pytest.mark.parametrize("word", ["agreed", "refused"])
def test_what_the_owner_said_stands_by_itself_in_the_record(word: str) -> None:
    assert at_the_end(word).record().owner_word is None
    said = at_the_end(word, Answer(answer=word, value="the owner, 09:05")).record().owner_word
    assert said is not None
    assert (said.word, said.words, said.written, said.by) == (word, "the owner, 09:05", True, "T1")


def test_an_owners_word_that_was_not_written_down_says_why() -> None:
    not_done = Answer(answer="agreed", outcome="not done", words="left at once")
    said = at_the_end("agreed", not_done).record().owner_word
    assert said is not None
    assert (said.written, said.words) == (False, "left at once")


def test_only_the_word_that_applies_by_now_is_the_owners() -> None:
    bay = at_the_end("refused", Answer(answer="refused", value="no drilling"))
    bay.do(Reopen(reopen="asked", reason="the owner came back"))
    bay.do(Answer(answer="asked", value="agreed"), Answer(answer="agreed", value="the owner"))
    said = bay.record().owner_word
    assert said is not None and said.word == "agreed"


def test_the_owner_is_asked_anew_about_a_sheet_that_is_changed_afterwards() -> None:
    """Else a mark of the work could be written down as an old one that the owner agreed to."""
    bay = with_a_worse_horn()
    bay.do(Reopen(reopen="before", reason="forgotten"))
    bay.do(tick("before", "horn", "faulty", words="silent"), Answer(answer="before"))
    assert bay.state.current == "agreed"
    assert bay.record().owner_word is None
    bay.do(Answer(answer="agreed", value="the owner, by phone at 11:00"))
    said = bay.record().owner_word
    assert said is not None and "11:00" in said.words


# --- a gate for each comparison -----------------------------------------------------------------


def override(gate: str) -> Override:
    return Override(override=gate, reason="r", words="w", instead="i")


def with_a_worse_horn() -> Bay:
    bay = at_the_end("agreed", Answer(answer="agreed", value="the owner"))
    bay.do(tick("after", "horn", "faulty", words="silent"), Answer(answer="after"))
    return bay


def test_what_a_comparison_found_holds_the_gate_of_that_comparison_alone() -> None:
    bay = with_a_worse_horn()
    bay.do(Answer(answer="swept", outcome="passed"))
    assert [fault.open for fault in bay.state.faults] == [True]
    assert gates_holding(FITTED, bay.state) == ("as-before",)
    bay.do(override("as-before"), who=S1)
    assert bay.state.current == "keys"


def test_any_other_fault_of_the_work_holds_a_gate_beside_it() -> None:
    bay = with_a_worse_horn()
    bay.do(Answer(answer="swept", outcome="failed"))
    bay.do(Settle(settle="swept", cause="work", words="clips all over"))
    assert gates_holding(FITTED, bay.state) == ("as-before", "nothing-else")
    bay.do(override("as-before"), who=S1)
    assert gates_holding(FITTED, bay.state) == ("nothing-else",)


def test_a_fault_raised_while_a_sheet_is_in_hand_is_none_that_its_comparison_found() -> None:
    bay = at_the_end("agreed", Answer(answer="agreed", value="the owner"))
    bay.do(RaiseFault(fault="A tool fell on the seat", cause="work"))
    bay.do(TickRest(tick_rest="after"), Answer(answer="after"))
    bay.do(Answer(answer="swept", outcome="passed"))
    assert bay.state.track("after").good
    assert gates_holding(FITTED, bay.state) == ("nothing-else",)


def test_what_a_comparison_found_counts_until_it_is_cleared_once_the_comparison_agrees() -> None:
    bay = with_a_worse_horn()
    bay.do(Reopen(reopen="after", reason="the plug was loose"), TickRest(tick_rest="after"))
    bay.do(Answer(answer="after"), Answer(answer="swept", outcome="passed"))
    assert gates_holding(FITTED, bay.state) == ("nothing-else",)
    bay.do(ClearFault(clear=1, words="plugged in, it sounds again"))
    assert bay.state.current == "keys"
