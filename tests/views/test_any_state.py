"""Properties: no reachable state is without its card, and no key of a card goes wrong."""

from collections.abc import Mapping
from datetime import timedelta

from any_actions import SECONDS, next_actions
from bay import SMALL, STAFF, T1, Bay
from hypothesis import given
from hypothesis import strategies as st

from baycompanion.job.actions import Note, RaiseFault
from baycompanion.job.deciding.decide import Decided
from baycompanion.job.deciding.draft import Refused
from baycompanion.job.hands_actions import PauseWork
from baycompanion.text.clean import clean, clean_line
from baycompanion.views.board.board import board_row
from baycompanion.views.card import place
from baycompanion.views.card.card import MOST_KEYS, Card, Deed, Form, Key
from baycompanion.views.card.cards import again_card, job_card, look_card
from baycompanion.views.forms.job_forms import clear_form

REASONS = ("this gate does not fit this vehicle",)
KINDS = {
    *("hazards", "gap", "paused", "caution", "standing", "unsettled"),
    *("step", "gate", "close", "ended"),
}
STEPS = st.sampled_from(list(SMALL.steps.values()))
ALL_STEPS = st.sampled_from([name for name in SMALL.steps if name != "picture"])
"""Steps that good work comes to."""
TYPED = st.text(max_size=12) | st.sampled_from(["12.6", "2026-03-03", "5 min", "T2", "S1", "[/]"])


def keys_of(card: Card) -> list[Key]:
    return [*card.keys, *(key for row in card.rows for key in row.keys)]


def assert_shows(card: Card) -> None:
    """Prove that a card can be shown: it says something, and each of its keys is one key."""
    assert card.title
    assert card.heading
    for piece in (*card.before, *card.pieces):
        assert piece.words.strip(), card
        assert piece.words == clean(piece.words)
    for row in card.rows or (None,):
        keys = [key.key for key in (*(row.keys if row else ()), *card.keys)]
        assert len(keys) == len(set(keys)) <= MOST_KEYS
    assert sum(key.enter for key in card.keys) <= 1


def answers_to(data: st.DataObject, form: Form[Deed]) -> Mapping[str, str]:
    names = [field.name for field in form.fields]
    assert len(names) == len(set(names)), "two questions of one name"
    return {
        field.name: data.draw(st.sampled_from(field.choices) if field.choices else TYPED)
        for field in form.fields
    }


def assert_works(data: st.DataObject, bay: Bay, key: Key) -> None:
    """Prove that `key` does something or is refused; it never breaks."""
    does = key.does
    if isinstance(does, Form):
        try:
            does = does.make(answers_to(data, does))
        except ValueError as error:
            assert str(error)
            return
    if isinstance(does, Deed):
        decided = Bay(events=list(bay.events), now=bay.now).decide(
            does.action, STAFF.get(does.by or bay.state.technician, T1), 1
        )
        assert isinstance(decided, Decided | Refused)


@given(data=st.data())
def test_every_state_has_a_card_whose_keys_all_work(data: st.DataObject) -> None:
    bay = Bay()
    if data.draw(st.booleans()):
        bay.walk(data.draw(ALL_STEPS))
    for _ in range(data.draw(st.integers(0, 25))):
        bay.decide(*data.draw(next_actions(bay)), after=data.draw(SECONDS))
    when = bay.now + timedelta(seconds=data.draw(SECONDS))
    card = job_card(bay.procedure, bay.state, REASONS, when)
    assert card.kind in KINDS
    assert_shows(card)
    for key in keys_of(card):
        assert_works(data, bay, key)
    clear = clear_form(bay.state)
    if clear is not None:
        assert_works(data, bay, Key("", "", clear))


@given(data=st.data())
def test_every_line_around_the_card_can_be_told_in_every_state(data: st.DataObject) -> None:
    bay = Bay()
    if data.draw(st.booleans()):
        bay.walk(data.draw(ALL_STEPS))
    for _ in range(data.draw(st.integers(0, 25))):
        bay.decide(*data.draw(next_actions(bay)), after=data.draw(SECONDS))
        when = bay.now + timedelta(seconds=data.draw(SECONDS))
        for line in (
            place.where(bay.procedure, bay.state),
            place.phase_line(bay.procedure, bay.state, when),
            place.gate_ahead(bay.procedure, bay.state),
        ):
            assert line == clean_line(line) != ""
        for line in (
            place.standing_line(bay.procedure, bay.state),
            place.last_line(bay.procedure, bay.state),
        ):
            assert line == clean(line)
        assert " -" not in place.phase_line(bay.procedure, bay.state, when)
        row = board_row(bay.procedure, bay.state, when)
        assert row.worked_seconds >= 0
        assert 1 <= row.step <= row.steps
        lines = place.sequence(bay.procedure, bay.state)
        assert sum(line.word == "now" for line in lines) <= 1
        assert_shows(look_card(bay.procedure, bay.state, data.draw(STEPS), when))
        if bay.state.current is not None:
            assert_shows(again_card(bay.procedure, bay.state, when))


@given(words=st.text(min_size=1, max_size=200).filter(lambda text: clean_line(text) != ""))
def test_words_from_a_person_come_back_as_they_were_written(words: str) -> None:
    bay = Bay().walk("gauges")
    line = clean_line(words)
    bay.do(Note(note=words), RaiseFault(fault=words, cause="work"))
    bay.do(PauseWork(pause=words, loose=words, first=words))
    assert bay.state.notes[0].words == clean(words).strip()
    card = job_card(bay.procedure, bay.state, REASONS, bay.now)
    assert card.title == f"Paused: {line}"
    assert card.pieces[0].words == f"Loose, open or live: {line}"
    assert card.pieces[1].words == f"First on return: {line}"
    form = clear_form(bay.state)
    assert form is not None
    assert form.fields[0].choices == (f"Fault 1: {line}",)
    assert board_row(bay.procedure, bay.state, bay.now).waits_for == f"paused: {line}"
