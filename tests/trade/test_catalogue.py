"""The catalogue as a whole: every sum explained, every refusal one sentence, every result text."""

import decimal
import re
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from baycompanion.trade.catalogue import SUMS, inputs_of, kind_of, required_of, work

EVERY_SUM = pytest.mark.parametrize("kind", SUMS.values(), ids=SUMS)

GOOD = {
    "splice": {"awg": "18,18", "cap_min_cmil": "1500", "cap_max_cmil": "6500"},
    "screw-length": {
        "original_mm": "8",
        "spacer_mm": "5",
        "diameter_mm": "5",
        "into": "steel",
    },
    "key-off": {"draw_ma": "35", "battery_ah": "60"},
    "battery-rest": {
        "volts": "12.6",
        "kind": "flooded",
        "temperature_c": "20",
        "hours_at_rest": "12",
    },
}
ANY_TEXT = st.one_of(
    st.text(st.characters(), max_size=30),
    st.from_regex(r"[+-]?[0-9]{0,12}([.,][0-9]{0,8})?([eE][0-9]{1,6})?", fullmatch=True),
    st.sampled_from(
        ["NaN", "inf", "-0", "١٢", "0x12", "1_000", "1,000", "\x00", "\ud800", "18,18"]
    ),
)


def is_one_sentence(message: str) -> bool:
    """Quoted text aside: one line, one full stop, and it is the last sign."""
    said = re.sub("“.*?”(?=[ :])", "“”", message, flags=re.DOTALL)
    return said.endswith(".") and not re.search(r"[.!?]\s", said) and message.isprintable()


def refused(name: str, given: dict[str, str]) -> str:
    with pytest.raises(ValueError) as caught:
        work(name, given)
    assert type(caught.value) is ValueError
    return str(caught.value)


@EVERY_SUM
def test_every_sum_has_a_good_example_here(kind):
    worked = work(kind.name, GOOD[kind.name])
    assert (worked.name, worked.verdict) == (kind.name, "good")


@EVERY_SUM
def test_every_sum_says_formula_units_range_errors_and_source(kind):
    for part in ("Formula:", "Units:", "Range:", "Errors:", "Source:"):
        assert part in kind.explained
    assert kind.title.endswith(".")


@EVERY_SUM
def test_every_input_and_result_is_described(kind):
    for named in (*kind.inputs, *kind.results):
        assert named.description.endswith("."), named.name


@EVERY_SUM
def test_range_in_the_docstring_is_the_range_that_is_kept(kind):
    stated = kind.explained.partition("Range:")[2].partition("Errors:")[0]
    for each in kind.inputs:
        for bounds in re.findall(r"-?[0-9./]+ to [0-9.]+", each.takes):
            assert bounds in stated, each.name


@EVERY_SUM
def test_every_number_outside_its_range_is_refused_by_name_and_range(kind):
    for each in kind.inputs:
        numeric = re.match(r"a number from (-?[0-9.]+) to ([0-9.]+)", each.takes)
        if numeric is None:
            continue
        low, high = map(Decimal, numeric.groups())
        for outside in (low - Decimal("0.001"), high + Decimal("0.001")):
            message = refused(kind.name, {**GOOD[kind.name], each.name: f"{outside:f}"})
            assert message.startswith(f"{each.name} cannot be “{outside:f}”: type a number from ")
            assert is_one_sentence(message)


@EVERY_SUM
def test_every_missing_input_is_named_with_what_to_type(kind):
    for name in required_of(kind.name):
        without = {key: text for key, text in GOOD[kind.name].items() if key != name}
        message = refused(kind.name, without)
        assert message.startswith(f"{kind.name} needs {name}: type ")
        assert is_one_sentence(message)
        assert refused(kind.name, {**without, name: "  "}) == message


@EVERY_SUM
def test_optional_inputs_are_filled_in_with_the_default_that_is_told(kind):
    worked = work(kind.name, GOOD[kind.name])
    for each in kind.inputs:
        if not each.required:
            assert worked.inputs.get(each.name) == each.default


@EVERY_SUM
def test_what_was_used_can_be_worked_again_to_the_same_result(kind):
    worked = work(kind.name, GOOD[kind.name])
    assert work(kind.name, worked.inputs) == worked


@EVERY_SUM
def test_results_are_plain_digits_under_the_names_told(kind):
    results = work(kind.name, GOOD[kind.name]).results
    assert list(results) == [named.name for named in kind.results]
    assert all(re.fullmatch(r"[0-9]+(\.[0-9]+)?", text) for text in results.values())


@EVERY_SUM
def test_verdict_in_words_is_one_sentence_and_the_formula_one_line(kind):
    worked = work(kind.name, GOOD[kind.name])
    assert is_one_sentence(worked.because)
    assert worked.shown.isprintable()


@EVERY_SUM
def test_names_carry_a_unit_wherever_there_is_one(kind):
    unitless = {"share_usable", "into", "kind", "surface_charge"}
    for named in (*kind.inputs, *kind.results):
        assert bool(named.unit) == (named.name not in unitless), named.name


@EVERY_SUM
def test_sum_does_not_depend_on_the_decimal_settings_of_its_caller(kind):
    before = work(kind.name, GOOD[kind.name])
    with decimal.localcontext(decimal.Context(prec=3, rounding=decimal.ROUND_UP)):
        assert work(kind.name, GOOD[kind.name]) == before


def test_names_for_a_checker_are_known_and_required_ones_among_them():
    assert inputs_of("key-off") == ("draw_ma", "battery_ah", "share_usable", "limit_ma")
    assert required_of("key-off") == ("draw_ma", "battery_ah")
    assert all(set(required_of(name)) <= set(inputs_of(name)) for name in SUMS)


def test_sum_that_does_not_exist_is_refused_with_those_that_do():
    message = refused("splize", {})
    assert message == (
        "There is no sum “splize”: type one of splice, screw-length, key-off, battery-rest."
    )
    for ask in (kind_of, inputs_of, required_of):
        with pytest.raises(ValueError, match="no sum"):
            ask("splize")


def test_input_that_does_not_exist_is_refused_with_those_that_do():
    message = refused("splice", {**GOOD["splice"], "strip": "19"})
    assert message.startswith("“strip” is no input of splice: type one of awg, ")
    assert is_one_sentence(message)


@pytest.mark.parametrize("text", ["35 mA", "35mA", " 35 ", "+35", "035"])
def test_number_may_carry_its_own_unit_and_white_space(text):
    assert work("key-off", {**GOOD["key-off"], "draw_ma": text}).inputs["draw_ma"] == "35"


@pytest.mark.parametrize("text", ["0.035 A", "35 mV", "35 ma", "3.5e1", "1,000", "NaN", "٣٥", "."])
def test_other_units_and_other_ways_to_write_a_number_are_refused(text):
    message = refused("key-off", {**GOOD["key-off"], "draw_ma": text})
    assert message == (f"draw_ma cannot be “{text}”: type a number from 1 to 10000 in mA, like 35.")


def test_comma_is_read_as_the_decimal_sign_and_digits_are_kept_as_typed():
    worked = work("battery-rest", {**GOOD["battery-rest"], "volts": "12,60"})
    assert worked.inputs["volts"] == "12.60"


def test_minus_sign_of_typography_is_read_as_minus():
    worked = work("battery-rest", {**GOOD["battery-rest"], "temperature_c": "−5"})
    assert worked.inputs["temperature_c"] == "-5"


def test_minus_nothing_is_nothing():
    worked = work("screw-length", {**GOOD["screw-length"], "spacer_mm": "-0.0"})
    assert worked.inputs["spacer_mm"] == "0.0"


def test_long_text_is_quoted_only_in_part():
    assert len(refused("splice", {**GOOD["splice"], "awg": "18," * 100_000})) < 200


def test_catalogue_cannot_be_changed_by_who_uses_it():
    with pytest.raises(TypeError):
        SUMS["splice"] = SUMS["key-off"]  # type: ignore[index]


@given(st.sampled_from(sorted(SUMS)), st.data())
def test_any_text_gives_a_result_or_one_sentence(name, data):
    given = dict(GOOD[name])
    for field in data.draw(st.sets(st.sampled_from(inputs_of(name)), min_size=1)):
        given[field] = data.draw(ANY_TEXT)
    try:
        worked = work(name, given)
    except ValueError as refusal:
        assert type(refusal) is ValueError
        assert is_one_sentence(str(refusal)), str(refusal)
    else:
        assert work(name, worked.inputs) == worked
        assert is_one_sentence(worked.because)


@given(ANY_TEXT, ANY_TEXT, ANY_TEXT)
def test_any_names_give_one_sentence(name, field, text):
    for asked in (name, "splice"):
        assert is_one_sentence(refused(asked, {field: text}))
