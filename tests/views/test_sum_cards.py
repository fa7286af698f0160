"""The form of a sum is made from its model, and its card says all that there is to say."""

import pytest
from sum_examples import CAPS, example_of

from baycompanion.job.actions import Note
from baycompanion.trade.catalogue import SUMS, kind_of, work
from baycompanion.trade.kind import SumKind
from baycompanion.views.card.card import Again, Deed, Return
from baycompanion.views.sums import inputs_of, note_of, result_card, sum_form

EVERY_SUM = pytest.mark.parametrize("kind", SUMS.values(), ids=SUMS)
SHOP_CAPS = {"caps": CAPS}


@EVERY_SUM
def test_a_form_asks_for_every_input_by_its_name_with_what_to_type(kind: SumKind) -> None:
    form = sum_form(kind, {})
    assert [field.name for field in form.fields] == [each.name for each in kind.inputs]
    for field, each in zip(form.fields, kind.inputs, strict=True):
        assert field.label.startswith(f"{each.name}: ")
        assert field.choices == each.choices
        assert field.hint.startswith("" if each.choices else each.takes)
        assert field.value == (each.default or "")
        assert field.may_be_empty is not (each.required or bool(each.choices))


@EVERY_SUM
def test_the_ways_to_say_the_same_are_explained_before_the_questions(kind: SumKind) -> None:
    told = [piece.words for piece in sum_form(kind, {}).lead]
    assert told[0] == kind.title
    assert len(told) == (2 if kind.one_of else 1)
    for way in kind.one_of:
        assert all(name in told[1] for name in way)


@EVERY_SUM
def test_a_form_makes_what_the_catalogue_works_and_keeps_what_was_typed(kind: SumKind) -> None:
    form = sum_form(kind, {})
    given = {field.name: field.value for field in form.fields} | example_of(kind)
    tried = form.make(given)
    assert tried.worked == work(kind.name, example_of(kind))
    again = sum_form(kind, {}, tried.typed)
    assert {field.name: field.value for field in again.fields} == given


@EVERY_SUM
def test_a_bad_answer_is_refused_in_one_sentence_by_its_name(kind: SumKind) -> None:
    each = kind.inputs[0]
    given = {**example_of(kind), each.name: "[b]\x1b no"}
    with pytest.raises(ValueError, match=f"^{each.name} cannot be “"):
        sum_form(kind, {}).make(given)


@EVERY_SUM
def test_a_card_says_verdict_sentence_numbers_and_formula(kind: SumKind) -> None:
    worked = work(kind.name, example_of(kind))
    card = result_card(worked, in_job=True)
    told = [piece.words for piece in card.pieces]
    assert (card.before[0].tone, card.before[0].words) == ("good", "✓ GOOD")
    assert card.title == worked.because
    for each, line in zip(kind.results, told, strict=False):
        assert line.startswith(f"• {each.name}: ")
        assert line.endswith(each.unit if each.name in worked.results else "none")
    assert told[-1] == f"How: {worked.shown}"


def test_a_bad_verdict_has_a_sign_and_a_word_of_its_own() -> None:
    [piece] = result_card(work("key-off", {"draw_ma": "85", "battery_ah": "60"}), True).before
    assert (piece.tone, piece.words) == ("bad", "! BAD")


def test_only_a_job_offers_to_keep_a_result() -> None:
    worked = work("key-off", {"draw_ma": "85", "battery_ah": "60"})
    kept = Deed(Note(note=note_of(worked)))
    assert [key.does for key in result_card(worked, True).keys] == [Again(), kept, Return()]
    assert [key.does for key in result_card(worked, False).keys] == [Again(), Return()]


def test_a_note_holds_name_inputs_results_and_verdict_in_one_line() -> None:
    assert note_of(work("key-off", {"draw_ma": "85", "battery_ah": "60"})) == (
        "Sum key-off: draw_ma 85 mA, battery_ah 60 Ah, share_usable 0.4, limit_ma 50 mA;"
        " days_to_no_start: 11.8 days; bad: 85 mA is over the limit of 50 mA; the engine should"
        " start for about 11.8 days."
    )


@EVERY_SUM
def test_every_note_is_one_line_of_one_length_that_a_job_takes(kind: SumKind) -> None:
    note = note_of(work(kind.name, example_of(kind)))
    assert Note(note=note).note == note
    assert "\n" not in note


class TestTheCapsOfTheShop:
    kind = kind_of("splice")

    def test_they_stand_in_the_field(self) -> None:
        [caps] = [field for field in sum_form(self.kind, SHOP_CAPS).fields if field.name == "caps"]
        assert caps.value == CAPS

    @pytest.mark.parametrize(
        ("typed", "used"),
        [
            ({"caps": CAPS}, CAPS),
            ({"caps": ""}, CAPS),
            ({}, CAPS),
            ({"caps": "blue 2000-9000"}, "blue 2000-9000"),
            ({"caps": CAPS, "cap_min_cmil": "1500", "cap_max_cmil": "6500"}, None),
        ],
    )
    def test_they_count_where_no_other_cap_was_typed(
        self, typed: dict[str, str], used: str | None
    ) -> None:
        worked = sum_form(self.kind, SHOP_CAPS).make({"awg": "18,18", **typed}).worked
        assert worked.inputs.get("caps") == (used.replace(", ", ",") if used else None)

    def test_caps_of_ones_own_and_limits_together_are_refused(self) -> None:
        typed = {"awg": "18,18", "caps": "blue 2000-9000", "cap_min_cmil": "1500"}
        with pytest.raises(ValueError, match="came together"):
            sum_form(self.kind, SHOP_CAPS).make(typed)

    def test_no_other_sum_is_given_them(self) -> None:
        form = sum_form(kind_of("key-off"), SHOP_CAPS)
        assert form.make({"draw_ma": "35", "battery_ah": "60"}).worked.verdict == "good"


def test_a_wire_given_by_its_area_is_no_gauge() -> None:
    area = work("fuse-size", {"continuous_a": "8", "awg": "2.5 mm2"})
    assert list(inputs_of(area))[1] == "awg 2.5 mm²"
    gauge = work("fuse-size", {"continuous_a": "8", "awg": "14"})
    assert list(inputs_of(gauge))[1] == "awg 14 AWG"
