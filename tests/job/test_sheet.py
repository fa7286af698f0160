"""The condition sheet: how each line before compares with the same line after, by table."""

import pytest
from bay import LISTS, SMALL, Bay, tick

from baycompanion.job.actions import Answer, Reopen, TickRest
from baycompanion.job.state.gates import missing
from baycompanion.job.state.order import items_that_apply
from baycompanion.job.state.sheet import compare
from baycompanion.job.state.words import answer_words
from baycompanion.procedure.steps import Inspect
from baycompanion.views.card.cards import job_card

FUNCTION = ("works", "faulty", "not fitted", "could not test")
WORDS = {
    # before, and then what each of FUNCTION after it comes to; common practice, no source
    "works": ("unchanged", "worse", "not compared", "not compared"),
    "faulty": ("better", "unchanged", "not compared", "not compared"),
    "not fitted": ("better", "unresolved", "unchanged", "not compared"),
    "could not test": ("better", "unresolved", "not compared", "not compared"),
}
PAIRS = [
    (before, now, word)
    for before, row in WORDS.items()
    for now, word in zip(FUNCTION, row, strict=True)
]
MARKS = {
    "works": "unmarked",
    "faulty": "marked",
    "not fitted": "not fitted",
    "could not test": "could not see",
}


def walked_twice(sheet: str, again: str, line: str, before: str, now: str) -> Bay:
    """Return a job in which one line of a sheet was `before` and is `now`, the others well."""
    first = [tick(sheet, line, before, words="seen"), TickRest(tick_rest=sheet)]
    bay = Bay().walk(again, **{sheet: [*first, Answer(answer=sheet)]})
    bay.do(tick(again, line, now, words="seen again"), TickRest(tick_rest=again))
    bay.do(Answer(answer=again))
    return bay


def missing_at_the_end(bay: Bay) -> list[str | None]:
    """Return the steps that the last gate waits for."""
    gate = SMALL.all_gates["same-as-before"]
    return [thing.step for thing in missing(SMALL, bay.state, gate)]


def compared(bay: Bay, again: str) -> dict[str, str]:
    sheet = SMALL.steps[again]
    assert isinstance(sheet, Inspect)
    return {each.item.item: each.word for each in compare(SMALL, bay.state, sheet)}


@pytest.mark.parametrize(("before", "now", "word"), PAIRS)
def test_a_function_is_compared_with_what_it_was(before: str, now: str, word: str) -> None:
    """R44. The three outcomes that are not passed are kept apart (R27)."""
    bay = walked_twice("before", "after", "horn", before, now)
    assert compared(bay, "after")["horn"] == word
    assert set(compared(bay, "after").values()) <= {word, "unchanged"}


@pytest.mark.parametrize(("before", "now", "word"), PAIRS)
def test_a_mark_is_compared_with_what_was_there(before: str, now: str, word: str) -> None:
    bay = walked_twice("panels", "panels-after", "dash-panel", MARKS[before], MARKS[now])
    assert compared(bay, "panels-after")["dash-panel"] == word


@pytest.mark.parametrize(("before", "now", "word"), PAIRS)
def test_only_a_sheet_with_nothing_lost_opens_the_last_gate(
    before: str, now: str, word: str
) -> None:
    bay = walked_twice("before", "after", "horn", before, now)
    never_seen = before == now == "could not test"
    good = word in ("unchanged", "better") or never_seen
    answer = bay.state.track("after").attempts[-1].answer
    outcome = "matching" if good else word
    assert answer.outcome == ("1 of 4 not compared" if never_seen else outcome)
    assert bay.step("after") == ("done" if good else "done with deviation")
    assert ("after" in missing_at_the_end(bay)) is not good
    assert answer.details == ({} if word == "unchanged" else {"horn": word})


def test_what_nobody_could_test_is_told_and_neither_holds_nor_hides_behind_the_others() -> None:
    """A could not test of after beside one that worked before still holds, as it always did."""
    first = [tick("before", "horn", "could not test", words="no key"), TickRest(tick_rest="before")]
    bay = Bay().walk("after", before=[*first, Answer(answer="before")])
    bay.do(tick("after", "horn", "could not test", words="no key"))
    bay.do(TickRest(tick_rest="after"), Answer(answer="after"))
    last = bay.state.track("after").last
    assert last is not None
    told = answer_words(SMALL, SMALL.steps["after"], last)
    assert told == "1 of 4 not compared · Horn: not compared"
    bay.do(Reopen(reopen="after", reason="looked again"))
    bay.do(tick("after", "horn", "could not test", words="no key"))
    bay.do(tick("after", "low-beam", "could not test", words="bulb out"))
    bay.do(TickRest(tick_rest="after"), Answer(answer="after"))
    answer = bay.state.track("after").attempts[-1].answer
    assert (answer.outcome, answer.weight) == ("not compared", "neutral")


@pytest.mark.parametrize(("before", "now", "word"), PAIRS)
def test_only_what_worked_before_is_put_down_to_the_work(before: str, now: str, word: str) -> None:
    bay = walked_twice("before", "after", "horn", before, now)
    raised = [(fault.cause, fault.step, fault.item) for fault in bay.state.faults]
    assert raised == ([("work", "after", "horn")] if word == "worse" else [])
    if raised:
        assert bay.state.faults[0].words == "Horn: worked before, faulty now: seen again"


def test_a_fault_is_raised_before_the_answer_so_that_a_crash_can_lose_only_the_answer() -> None:
    bay = walked_twice("before", "after", "horn", "works", "faulty")
    kinds = bay.kinds()
    assert kinds[kinds.index("fault-raised") + 1] == "answered"


def test_the_worst_line_gives_the_outcome() -> None:
    """Worse before unresolved before not compared."""
    first = [tick("before", "low-beam", "not fitted"), TickRest(tick_rest="before")]
    bay = Bay().walk("after", before=[*first, Answer(answer="before")])
    bay.do(tick("after", "horn", "could not test", words="w"))
    bay.do(tick("after", "low-beam", "faulty", words="w"))
    bay.do(TickRest(tick_rest="after"), Answer(answer="after"))
    answer = bay.state.track("after").attempts[-1].answer
    assert answer.outcome == "unresolved"
    assert answer.details == {"horn": "not compared", "low-beam": "unresolved"}
    words = missing(SMALL, bay.state, SMALL.all_gates["same-as-before"])[0].words
    assert words.endswith("Unresolved: Low beam; not compared: Horn.")


def test_a_gate_does_not_name_the_lines_that_are_better() -> None:
    first = [tick("before", "horn", "faulty", words="w"), TickRest(tick_rest="before")]
    bay = Bay().walk("after", before=[*first, Answer(answer="before")])
    bay.do(tick("after", "low-beam", "faulty", words="w"))
    bay.do(TickRest(tick_rest="after"), Answer(answer="after"))
    words = missing(SMALL, bay.state, SMALL.all_gates["same-as-before"])[0].words
    assert words.endswith("Worse: Low beam.")


def test_a_line_that_was_not_on_the_sheet_before_is_unresolved_when_it_is_faulty() -> None:
    """The amplifier was found out about between the two sheets."""
    no_amplifier = [Answer(answer="ask-amplifier", value="no")]
    bay = Bay().walk("after", ask_amplifier=no_amplifier)
    bay.do(Reopen(reopen="ask-amplifier", reason="found one"))
    bay.do(Answer(answer="ask-amplifier", value="yes"))
    bay.walk("after")
    bay.do(tick("after", "amplified-sound", "faulty", words="hums"))
    assert compared(bay, "after")["amplified-sound"] == "unresolved"


def test_lines_answered_by_one_key_say_so_and_one_by_itself_does_not() -> None:
    """A claim may turn on whether the horn was tried, or went with all that was left."""
    bay = Bay().walk("before")
    bay.do(tick("before", "horn", "works"), TickRest(tick_rest="before"), Answer(answer="before"))
    [step] = [each for each in bay.record().steps if each.id == "before"]
    together = {line.item: line.together for line in step.lines}
    assert together.pop("horn") is None
    assert len(together) > 1
    assert set(together.values()) == {True}


def test_the_one_line_left_was_answered_by_itself_whichever_key_did_it() -> None:
    bay = Bay().walk("before")
    lines = [item.item for item in items_that_apply(SMALL, bay.state, SMALL.steps["before"])]
    bay.do(*(tick("before", line, "works") for line in lines[:-1]), TickRest(tick_rest="before"))
    assert bay.state.track("before").ticks[lines[-1]].answer.together is None


def test_a_line_answered_again_by_itself_is_no_more_answered_together() -> None:
    bay = Bay().walk("before")
    bay.do(TickRest(tick_rest="before"))
    assert bay.state.track("before").ticks["horn"].answer.together
    bay.do(tick("before", "horn", "works"))
    assert bay.state.track("before").ticks["horn"].answer.together is None


@pytest.mark.parametrize(
    ("before", "now", "differently"),
    [("hums", "hums  ", False), ("Hums", "hums", False), ("hums", "silent", True)],
)
def test_ill_both_times_in_other_words_is_said_so_on_the_card(
    before: str, now: str, differently: bool
) -> None:
    both = f"before and after, said differently: look at both. Before: {before}. Now: {now}"
    for sheet, again, line, outcome in (
        ("before", "after", "horn", "faulty"),
        ("panels", "panels-after", "dash-panel", "marked"),
    ):
        first = [tick(sheet, line, outcome, words=before), TickRest(tick_rest=sheet)]
        bay = Bay().walk(again, **{sheet: [*first, Answer(answer=sheet)]})
        bay.do(tick(again, line, outcome, words=now))
        card = job_card(SMALL, bay.state, LISTS.reasons, bay.now)
        row = next(row for row in card.rows if row.name == line)
        assert (row.word == f"{outcome} {both}") is differently
        assert differently or row.word.startswith(outcome)
        assert differently or "unchanged" in row.word
        assert row.sign == "!" or not differently
