"""What screens and lines show of a second person: blind until they have answered."""

from collections.abc import Iterator
from dataclasses import fields, is_dataclass

import pytest
from bay import T2, Bay
from second_person import SECOND, TEXT, at_the_witness, closed_for_now, load_second, seen

from baycompanion.job.actions import Accept, Answer, Reopen
from baycompanion.views.card.card import Card, Deed, Form, Key
from baycompanion.views.card.cards import job_card, look_card
from baycompanion.views.card.place import last_line
from baycompanion.views.card.wording import KEPT_BACK

FIRST = ("48", "12 days", "26.0")
"""What was found at first, in any words that a screen might show."""


def words_of(value: object) -> Iterator[str]:
    """Yield every text below `value`, forms behind keys included."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, tuple):
        for each in value:
            yield from words_of(each)
    elif is_dataclass(value):
        for field in fields(value):
            yield from words_of(getattr(value, field.name))


def card_of(bay: Bay) -> Card:
    return job_card(bay.procedure, bay.state, ("r",), bay.now)


def key(card: Card, name: str) -> Key:
    return next(each for each in card.keys if each.key == name)


def form(card: Card, name: str) -> Form[Deed]:
    does = key(card, name).does
    assert isinstance(does, Form)
    return does


def test_nothing_on_the_screen_tells_a_second_person_what_was_found_at_first() -> None:
    """R49: the requirement is seen, the first result is not."""
    bay = at_the_witness()
    shown = [
        *words_of(card_of(bay)),
        last_line(SECOND, bay.state),
        *(
            words
            for step in SECOND.steps.values()
            for words in words_of(look_card(SECOND, bay.state, step, bay.now))
        ),
    ]
    assert not [words for words in shown if any(first in words for first in FIRST)]
    assert any(KEPT_BACK in words for words in shown)
    assert any("0 to 60 mA" in words for words in shown), "the limits are seen"


def test_both_findings_are_shown_once_they_do_not_agree() -> None:
    bay = at_the_witness()
    bay.do(seen("30"), who=T2)
    shown = " ".join(words_of(card_of(bay)))
    assert "Measure the key-off draw: 48 at first, 30 afresh" in shown
    assert key(card_of(bay), "4").label == "Back to 2"


def test_a_second_person_is_asked_for_each_finding_and_for_an_id() -> None:
    bay = at_the_witness()
    asked = form(card_of(bay), "1")
    assert [field.name for field in asked.fields] == [
        "found-draw",
        "found-capacity",
        "by",
        "words",
    ]
    assert [field.hint for field in asked.fields[:2]] == ["0 to 60 mA, in mA", "Ah"]
    given = {"found-draw": "47", "found-capacity": "60", "by": "T2", "words": ""}
    deed = asked.make(given)
    assert (deed.by, deed.action) == ("T2", seen("47"))
    bay.do(deed.action, who=T2)
    assert bay.step("seen") == "done"


def test_whoever_says_failed_need_not_measure_first() -> None:
    asked = form(card_of(at_the_witness()), "2")
    assert [field.may_be_empty for field in asked.fields] == [True, True, False, False]
    given = {"found-draw": "", "found-capacity": "", "by": "T2", "words": "the fuse is out"}
    assert asked.make(given).action == Answer(
        answer="seen", outcome="failed", words="the fuse is out"
    )


@pytest.mark.parametrize(("allowed", "keys"), [(True, "1237"), (False, "127")])
def test_work_is_offered_for_release_only_where_the_procedure_allows_it(
    allowed: bool, keys: str
) -> None:
    text = TEXT if allowed else TEXT.replace("        provisional: starts\n", "")
    card = card_of(at_the_witness(text))
    assert "".join(each.key[-1] for each in card.keys) == keys


def test_a_closed_job_asks_for_the_second_person_who_is_still_to_look() -> None:
    """R51: shown until it is done."""
    bay = closed_for_now()
    card = card_of(bay)
    assert any("still to look" in words for words in words_of(card.pieces))
    assert [each.key for each in card.keys] == ["1", "2"]
    bay.do(seen(), who=T2)
    assert card_of(bay).keys == ()


def test_who_watches_is_called_before_the_act_and_not_after() -> None:
    """R50."""
    text = TEXT.replace("provisional: starts", "manner: concurrent").replace(
        "of: [draw, days]", "of: [starts]"
    )
    bay = Bay(load_second(text).procedure)
    bay.do(Accept(accept="hazards"))
    said = [" ".join(words_of(card_of(bay).pieces))]
    walk = at_the_witness(text)
    walk.do(Reopen(reopen="starts", reason="nobody watched"))
    said.append(" ".join(words_of(card_of(walk).pieces)))
    assert ["Call a second person first" in words for words in said] == [False, True]
    assert "Again: nobody watched" in said[1]
