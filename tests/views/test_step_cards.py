"""Each verb asks in its own way: keys, a value, a list, lines, a countdown, a second person."""

from datetime import timedelta

import pytest
from bay import GOOD, PHOTO, S1, SMALL, SMALL_TEXT, STATIONS, T1, Bay, meter, tick

from baycompanion.job.actions import (
    Acknowledge,
    Answer,
    Reopen,
    SetWait,
    TickLine,
    TickRest,
)
from baycompanion.job.hands_actions import PauseWork, Resume
from baycompanion.procedure.load import load_procedure
from baycompanion.views.card.card import MOST_KEYS, Card, Deed, Entry, Form
from baycompanion.views.card.cards import job_card, look_card
from baycompanion.views.card.step import answer_card


def card_of(bay: Bay, later: timedelta = timedelta()) -> Card:
    return job_card(bay.procedure, bay.state, (), bay.now + later)


def at(step: str) -> Card:
    """Return the card of `step` when it is reached by good work, its cautions read."""
    bay = Bay().walk(step)
    card = card_of(bay)
    while card.kind in ("caution", "standing"):
        bay.do(GOOD[step][0])
        card = card_of(bay)
    return card


def deeds(card: Card) -> list[object]:
    return [key.does.action for key in card.keys if isinstance(key.does, Deed)]


def words(card: Card) -> list[str]:
    return [piece.words for piece in card.pieces]


def entry_of(card: Card) -> Entry:
    assert card.entry is not None
    return card.entry


def test_do_is_done_by_one_key_and_by_enter() -> None:
    card = at("route")
    assert card.keys[0].does == Deed(Answer(answer="route", outcome="done"))
    assert card.keys[0].enter
    assert isinstance(card.keys[1].does, Form)


def test_check_has_four_answers_and_enter_is_none_of_them() -> None:
    card = at("joins-hold")
    assert [key.label for key in card.keys] == [
        "Passed",
        "Failed",
        "Not fitted",
        "Could not test…",
    ]
    assert not any(key.enter for key in card.keys)


@pytest.mark.parametrize(
    ("typed", "tone", "says"),
    [
        ("12.4", "good", "inside: 12.4 to 12.90 V"),
        ("12.90", "good", "inside: 12.4 to 12.90 V"),
        ("12,5 V", "good", "inside: 12.4 to 12.90 V"),
        ("12.39", "bad", "OUTSIDE: 12.4 to 12.90 V"),
        ("12.901", "bad", "OUTSIDE: 12.4 to 12.90 V"),
        ("-12.5", "bad", "OUTSIDE: 12.4 to 12.90 V"),
        ("12.5 A", "quiet", "“12.5 A” is not in V. Type the number in V."),
        ("much", "quiet", "“much” is no number. Type a number in V, like 12.6."),
    ],
)
def test_measure_says_at_once_whether_a_value_is_inside(typed: str, tone: str, says: str) -> None:
    piece = entry_of(at("rest-voltage")).says(typed)
    assert piece is not None
    assert (piece.tone, piece.words) == (tone, says)


def test_measure_says_nothing_before_anything_is_typed() -> None:
    entry = entry_of(at("rest-voltage"))
    assert entry.says("") is None
    assert entry.says("  ") is None
    assert entry.hint == "12.4 to 12.90 V"


def test_measure_shows_the_limits_their_source_and_the_instrument() -> None:
    said = [piece.words for piece in at("rest-voltage").pieces]
    assert said == ["Limits: 12.4 to 12.90 V (invented)", "Read it from: Multimeter"]


@pytest.mark.parametrize(
    ("step", "label", "hint"),
    [
        ("odometer", "Number in km", "km"),
        ("promised", "Date", "like 2026-11-25"),
        ("code", "Write it down (only that it was noted is kept)", ""),
        ("gauges", "Write it down", ""),
    ],
)
def test_record_says_what_it_takes(step: str, label: str, hint: str) -> None:
    entry = entry_of(at(step))
    assert (entry.label, entry.hint) == (label, hint)
    assert entry.make(" as typed ") == Deed(Answer(answer=step, value=" as typed "))


def test_a_list_that_repeats_an_earlier_one_is_held_against_it() -> None:
    listed = at("stations-back").list_entry
    assert listed is not None
    assert listed.before == STATIONS
    assert listed.make(("88.1",)) == Deed(Answer(answer="stations-back", entries=("88.1",)))
    first = at("stations").list_entry
    assert first is not None
    assert first.before == ()


def test_a_sum_shows_its_inputs_with_units_and_where_they_come_from() -> None:
    said = "\n".join(piece.words for piece in at("splice").pieces)
    assert "18,16" in said
    assert f"(step {SMALL.number['gauges']})" in said
    assert "1500" in said


def test_a_sum_shows_an_earlier_reading_in_the_unit_that_it_was_read_in() -> None:
    text = SMALL_TEXT.replace(
        '          cap_min_cmil: "1500"', "          cap_min_cmil: {answer: least}"
    ).replace(
        "      - sum: Do the leads fit in the cap?",
        "      - record: Least copper of the cap.\n        id: least\n        takes: number\n"
        "        unit: mm2\n      - sum: Do the leads fit in the cap?",
    )
    bay = Bay(load_procedure(text, "p.yaml").procedure).walk("least")
    bay.do(Answer(answer="least", value="0,75"))
    said = next(each for each in words(card_of(bay)) if "least copper" in each)
    assert said.endswith(f"0,75 mm2 (step {bay.procedure.number['least']})")


def test_count_asks_line_by_line_and_says_how_many_came_off() -> None:
    card = at("back")
    first = card.rows[0].entry
    assert first is not None
    assert [row.text for row in card.rows] == ["Clip, 4 off", "Screw, 6 off"]
    assert (first.label, first.hint) == ("Clip", "how many went back")
    assert first.make(" 4 ") == Deed(TickLine(tick="back", item="clip", count=4))
    assert at("out").rows[0].entry.hint.startswith("how many")  # type: ignore[union-attr]


@pytest.mark.parametrize("typed", ["", "six", "6.0", "-1", "10000", "٦ ٦"])
def test_count_takes_whole_numbers_only(typed: str) -> None:
    entry = at("out").rows[0].entry
    assert entry is not None
    with pytest.raises(ValueError, match="number"):
        entry.make(typed)


def test_choose_has_a_key_for_each_answer() -> None:
    assert [key.label for key in at("ask-camera").keys] == ["None", "Rear", "Front"]
    assert deeds(at("ask-camera"))[2] == Answer(answer="ask-camera", value="front")


def test_choose_with_more_answers_than_keys_is_a_list_of_all() -> None:
    many = ", ".join(f"a{number}" for number in range(MOST_KEYS + 6))
    text = SMALL_TEXT.replace("[none, rear, front]", f"[none, rear, front, {many}]")
    bay = Bay(load_procedure(text, "small.yaml").procedure).walk("ask-camera")
    card = card_of(bay)
    assert card.keys == ()
    assert len(card.rows) == MOST_KEYS + 9
    assert card.rows[-1].keys[0].does == Deed(
        Answer(answer="ask-camera", value=f"a{MOST_KEYS + 5}")
    )


def test_wait_counts_down_to_the_second_and_opens_only_at_the_end() -> None:
    bay = Bay().walk("cure")
    for passed, said in ((0, "10:00 to go"), (1, "09:59 to go"), (599, "00:01 to go")):
        card = card_of(bay, timedelta(seconds=passed))
        assert card.pieces[0].words == said
        assert deeds(card) == []
        assert not any(key.enter for key in card.keys)
    card = card_of(bay, timedelta(seconds=600))
    assert card.pieces[0].words == "00:00 – the time is over"
    assert deeds(card) == [Answer(answer="cure")]


def test_wait_without_a_length_asks_for_it_and_its_source() -> None:
    bay = Bay().walk("reserve")
    card = card_of(bay)
    assert "Nobody has entered how long." in card.pieces[0].words
    form = card.keys[0].does
    assert isinstance(form, Form)
    made = form.make({"lasts": "1 h 5 min", "source": "manual"}).action
    assert made == SetWait(set_wait="reserve", lasts=3900, source="manual")
    with pytest.raises(ValueError, match="no length of time"):
        form.make({"lasts": "soon", "source": "manual"})
    bay.do(made, after=0)
    assert "Lasts 1 h 5 min, from: manual" in [piece.words for piece in card_of(bay).pieces]


def test_inspect_answers_a_line_by_its_own_keys_or_all_the_rest_together() -> None:
    bay = Bay().walk("before")
    card = card_of(bay)
    assert [row.text for row in card.rows] == ["Horn", "Low beam", "High beam", "Amplified sound"]
    assert [key.label for key in card.rows[0].keys] == [
        "Works",
        "Faulty…",
        "Not fitted",
        "Could not test…",
    ]
    assert [key.label for key in card.keys] == ["The other 4: all works"]
    bay.do(tick("before", "horn", "works"))
    assert [key.label for key in card_of(bay).keys] == ["The other 3: all works"]
    bay.do(TickRest(tick_rest="before"))
    assert [key.label for key in card_of(bay).keys] == ["Finish list"]
    assert all(row.answered and row.sign == "✓" for row in card_of(bay).rows)


def test_a_line_that_does_not_apply_is_not_asked() -> None:
    bay = Bay().walk("before", ask_amplifier=[Answer(answer="ask-amplifier", value="no")])
    assert [row.name for row in card_of(bay).rows] == ["horn", "low-beam", "high-beam"]


def test_an_instrument_asks_for_its_number_and_its_calibration() -> None:
    card = at("tools")
    here = card.rows[0].keys[0]
    assert here.label == "Here…"
    assert isinstance(here.does, Form)
    made = here.does.make({"instrument": "M3", "due": " 2026-12-31 "})
    assert made == Deed(meter())
    with pytest.raises(ValueError, match="no date"):
        here.does.make({"instrument": "M3", "due": "31.12.2026"})
    assert isinstance(card.rows[1].keys[0].does, Deed), "a hand tool is just ticked"


def test_witness_names_what_was_done_and_by_whom_but_not_how_it_came_out() -> None:
    card = at("second-look")
    said = [piece.words for piece in card.pieces]
    assert f"• {SMALL.number['join']}. Join the leads. Done by T1" in said
    assert f"• {SMALL.number['joins-hold']}. Each join holds. Done by T1" in said
    assert "passed" not in " ".join(said).lower()
    form = card.keys[0].does
    assert isinstance(form, Form)
    assert form.make({"by": "S1", "words": ""}).by == "S1"


def test_a_step_in_hand_keeps_its_cautions_in_sight_in_their_short_form() -> None:
    bay = Bay().walk("disconnect")
    bay.do(Acknowledge(acknowledge="disconnect"))
    assert [piece.tone for piece in card_of(bay).before] == [
        "danger",
        "warning",
        "caution",
        "notice",
    ]


def test_no_card_of_the_whole_job_has_more_keys_than_it_can_show_or_one_key_twice() -> None:
    bay = Bay().walk("ask-amplifier")
    while (step := bay.state.current) is not None:
        for action in GOOD[step]:
            card = card_of(bay)
            for row in card.rows or (None,):
                keys = [key.key for key in (*(row.keys if row else ()), *card.keys)]
                assert len(keys) <= MOST_KEYS
                assert len(set(keys)) == len(keys)
            bay.now += timedelta(minutes=11 if step == "cure" else 0)
            bay.do(action, who=S1 if step == "second-look" else T1)


UNPLUG = "      - do: Unplug the amplifier lead.\n"
BETWEEN = """      - wait: Let the foam set.
        id: foam
        lasts: 6 min
        since: disconnect
        source: invented
"""


def with_foam(step: str = "disconnect") -> Card:
    """Return the card of `step` where a wait since the battery came off stands two steps on."""
    text = SMALL_TEXT.replace("      - do: Unplug the amplifier lead.\n", BETWEEN + UNPLUG, 1)
    bay = Bay(load_procedure(text, "small.yaml").procedure).walk(step)
    return answer_card(bay.procedure, bay.state, bay.procedure.steps[step], bay.now)


def test_a_step_that_starts_a_wait_says_so_before_it_is_done() -> None:
    """Both waits that begin with it: one whose length nobody has entered yet, and one of 6 min."""
    said = words(with_foam())
    assert "Starts a wait (step 14)." in said
    assert "Starts a wait of 6 min (step 16). Meanwhile: steps 14, 15." in said


def test_a_step_between_says_that_a_wait_runs_meanwhile() -> None:
    assert "Meanwhile a wait runs (step 16)." in words(with_foam("out"))
    assert not any("wait" in each for each in words(with_foam("odometer")))


def test_a_wait_that_does_not_apply_is_not_announced() -> None:
    since = "        since: disconnect\n"
    text = SMALL_TEXT.replace(since, f"{since}        unless: {{amplifier: yes}}\n", 1)
    bay = Bay(load_procedure(text, "small.yaml").procedure).walk("disconnect")
    card = answer_card(bay.procedure, bay.state, bay.procedure.steps["disconnect"], bay.now)
    assert not any("Starts a wait" in each for each in words(card))


def test_a_wait_that_runs_says_that_a_pause_keeps_it_running_and_so_it_does() -> None:
    bay = Bay().walk("cure")
    assert "No time to stand by? Pause (F4): the wait runs on." in words(card_of(bay))
    bay.do(PauseWork(pause="another car", loose="nothing", first="look at the sealant"))
    bay.do(Resume(resume="as I left it"), after=420)
    assert words(card_of(bay))[0] == "02:00 to go"


def test_a_photo_that_was_added_is_named_at_its_step_until_the_step_is_reopened() -> None:
    bay = Bay().walk("join")
    bay.do(GOOD["join"][0])
    assert not [said for said in words(card_of(bay)) if "added" in said]
    bay.do(PHOTO)
    assert "Photo added: lead.jpg" in words(card_of(bay))
    bay.do(PHOTO.model_copy(update={"sha256": "cd" * 32, "original": "lead 2.jpg"}))
    assert "2 photos added, last lead 2.jpg" in words(card_of(bay))
    join = bay.procedure.steps["join"]
    bay.do(*[action for action in GOOD["join"][1:] if action is not PHOTO])
    looked_at = look_card(bay.procedure, bay.state, join, bay.now)
    assert "2 photos added, last lead 2.jpg" in words(looked_at)
    bay.do(Reopen(reopen="join", reason="a loose strand"))
    bay.do(GOOD["join"][0])
    assert card_of(bay).kind == "step"
    assert not [said for said in words(card_of(bay)) if "added" in said]
