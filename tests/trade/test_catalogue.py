"""The catalogue as a whole: every sum explained, every refusal one sentence, every result text."""

import decimal
import json
import re
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from baycompanion.trade.catalogue import SUMS, WrongInput, inputs_of, kind_of, work

EVERY_SUM = pytest.mark.parametrize("kind", SUMS.values(), ids=SUMS)

GOOD = {
    "wire-drop": {"current_a": "10", "length_m": "3", "awg": "12"},
    "wire-size": {"current_a": "10", "length_m": "3"},
    "fuse-size": {"continuous_a": "8", "awg": "14"},
    "splice": {"awg": "18,18", "cap_min_cmil": "1500", "cap_max_cmil": "6500"},
    "screw-length": {"original_mm": "8", "spacer_mm": "5", "diameter_mm": "5", "into": "steel"},
    "screw-torque": {"diameter_mm": "5", "property_class": "8.8"},
    "vin": {"vin": "11111111111111111"},
    "station": {"band": "fm", "frequency": "94.7"},
    "battery-rest": {
        "volts": "12.6",
        "kind": "flooded",
        "temperature_c": "20",
        "hours_at_rest": "12",
    },
    "key-off": {"draw_ma": "35", "battery_ah": "60"},
    "run-time": {"load_a": "3", "battery_ah": "60", "share_usable": "0.5"},
    "speaker-load": {"impedances_ohm": "4,4", "wiring": "series"},
    "amplifier-current": {"watts_rms": "500", "length_m": "4"},
    "return-path": {"drop_mv": "35", "current_a": "10"},
}
# Source: the table of sums that was agreed on: what each is asked and what it answers.
AGREED = {
    "wire-drop": (
        "current_a length_m awg area_mm2 supply_v limit_pct temperature_c",
        "resistance_ohm drop_v drop_pct",
    ),
    "wire-size": (
        "current_a length_m supply_v limit_pct temperature_c",
        "awg drop_v drop_pct limited_by",
    ),
    "fuse-size": ("continuous_a awg duty", "fuse_a colour"),
    "splice": ("awg cap_min_cmil cap_max_cmil strip_mm", "area_cmil"),
    "screw-length": (
        "original_mm spacer_mm diameter_mm hole_depth_mm into",
        "needed_mm stock_mm engagement_mm",
    ),
    "screw-torque": (
        "diameter_mm property_class friction_factor share_of_proof",
        "clamp_n torque_nm torque_lbf_in",
    ),
    "vin": ("vin", "check_ok check_expected years region"),
    "station": ("band frequency region", "on_grid nearest channel"),
    "battery-rest": ("volts kind temperature_c hours_at_rest", "state_of_charge_pct"),
    "key-off": ("draw_ma battery_ah share_usable limit_ma", "days_to_no_start"),
    "run-time": ("load_a battery_ah cutoff_v share_usable", "hours"),
    "speaker-load": ("impedances_ohm wiring lowest_ohm", "load_ohm"),
    "amplifier-current": ("watts_rms efficiency supply_v", "current_a fuse_a awg"),
    "return-path": ("drop_mv current_a", "resistance_mohm"),
}
WITHOUT_UNIT = {
    *("share_usable", "into", "kind", "surface_charge", "limited_by", "duty"),
    *("colour", "caps", "cap", "property_class", "friction_factor", "share_of_proof"),
    *("vin", "check_ok", "check_expected", "years", "region", "band"),
    *("frequency", "on_grid", "nearest", "channel", "wiring", "in_each_string"),
    *("amplifier_class", "efficiency", "peukert"),
}
ANY_TEXT = st.one_of(
    st.text(st.characters(), max_size=30),
    st.from_regex(r"[+-]?[0-9]{0,12}([.,][0-9]{0,8})?([eE][0-9]{1,6})?", fullmatch=True),
    st.sampled_from(
        [
            *("NaN", "inf", "-0", "١٢", "0x12", "1_000", "1,000", "\x00", "\ud800", "18,18"),
            *("3/4 in", "1/0", "12 AWG", "4/0 awg", "2 mm2", "50 mA", "35 lbf.in", "68 °F"),
            *("40 %", "grey 1500-6500", "94.7 MHz", "4,8 ohm", "1 3/0 in", "9 parsec"),
        ]
    ),
)


def is_one_sentence(message: str) -> bool:
    """Quoted text aside: one line, one full stop, and it is the last sign."""
    said = re.sub("“.*?”(?=[ :])", "“”", message, flags=re.DOTALL)
    return said.endswith(".") and not re.search(r"[.!?]\s", said) and message.isprintable()


def refused(name: str, given: dict[str, str]) -> str:
    with pytest.raises(ValueError) as caught:
        work(name, given)
    assert type(caught.value) in (ValueError, WrongInput)
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
    stated = " ".join(kind.explained.partition("Range:")[2].partition("Errors:")[0].split())
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


def required(kind):
    """Return the inputs without which a sum cannot be worked."""
    return [each.name for each in kind.inputs if each.required]


@EVERY_SUM
def test_every_missing_input_is_named_with_what_to_type(kind):
    for name in required(kind):
        without = {key: text for key, text in GOOD[kind.name].items() if key != name}
        message = refused(kind.name, without)
        assert message.startswith(f"{kind.name} needs {name}: type ")
        assert is_one_sentence(message)
        assert refused(kind.name, {**without, name: "  "}) == message


@EVERY_SUM
def test_of_two_ways_to_say_the_same_just_one_is_taken(kind):
    ways = {name for way in kind.one_of for name in way}
    assert not ways & set(required(kind))
    if ways:
        without = {key: text for key, text in GOOD[kind.name].items() if key not in ways}
        message = refused(kind.name, without)
        assert message.endswith(" is missing: type one of the two.")
        assert all(name in message for name in ways)


@EVERY_SUM
def test_optional_inputs_are_filled_in_with_the_default_that_is_told(kind):
    worked = work(kind.name, GOOD[kind.name])
    for each in kind.inputs:
        if not each.required and each.name not in GOOD[kind.name]:
            assert worked.inputs.get(each.name) == each.default


@EVERY_SUM
def test_what_was_used_can_be_worked_again_to_the_same_result(kind):
    worked = work(kind.name, GOOD[kind.name])
    assert work(kind.name, worked.inputs) == worked


def test_sums_are_those_agreed_on_in_that_order():
    assert list(SUMS) == list(AGREED)


@EVERY_SUM
def test_sum_is_asked_and_answers_under_the_names_agreed_on(kind):
    inputs, results = (set(names.split()) for names in AGREED[kind.name])
    assert inputs <= {each.name for each in kind.inputs}
    assert results <= {each.name for each in kind.results}


@EVERY_SUM
def test_no_result_is_called_like_an_input_or_like_what_every_result_has(kind):
    # They stand side by side in the record of a job.
    inputs = {each.name for each in kind.inputs}
    assert not {each.name for each in kind.results} & (inputs | {"verdict", "because", "shown"})


@EVERY_SUM
def test_results_are_one_line_of_text_under_the_names_told(kind):
    results = work(kind.name, GOOD[kind.name]).results
    names = [named.name for named in kind.results]
    assert list(results) == [name for name in names if name in results]
    assert all(text.isprintable() and "E" not in text for text in results.values())


@EVERY_SUM
def test_values_are_plain_numbers_and_words_that_json_can_hold_and_agree_with_the_text(kind):
    worked = work(kind.name, GOOD[kind.name])
    values = json.loads(json.dumps(worked.values, allow_nan=False))
    assert list(values) == [named.name for named in kind.results]
    for name, value in values.items():
        if isinstance(value, (int, float)) and not isinstance(value, bool):
            assert Decimal(worked.results[name]) == Decimal(str(value))
        elif value is None:
            assert name not in worked.results


@EVERY_SUM
def test_same_text_gives_the_same_bytes(kind):
    first, again = (repr(work(kind.name, GOOD[kind.name])).encode() for _ in range(2))
    assert first == again


@EVERY_SUM
def test_verdict_in_words_is_one_sentence_and_the_formula_one_line(kind):
    worked = work(kind.name, GOOD[kind.name])
    assert is_one_sentence(worked.because)
    assert worked.shown.isprintable()


@EVERY_SUM
def test_names_carry_a_unit_wherever_there_is_one(kind):
    for named in (*kind.inputs, *kind.results):
        assert bool(named.unit) == (named.name not in WITHOUT_UNIT), named.name


@EVERY_SUM
def test_sum_does_not_depend_on_the_decimal_settings_of_its_caller(kind):
    before = work(kind.name, GOOD[kind.name])
    with decimal.localcontext(decimal.Context(prec=3, rounding=decimal.ROUND_UP)):
        assert work(kind.name, GOOD[kind.name]) == before


def test_names_for_a_checker_are_known_and_required_ones_among_them():
    assert inputs_of("key-off") == ("draw_ma", "battery_ah", "share_usable", "limit_ma")
    assert required(SUMS["key-off"]) == ["draw_ma", "battery_ah"]


def test_sum_that_does_not_exist_is_refused_with_those_that_do():
    message = refused("splize", {})
    assert message == f"There is no sum “splize”: type one of {', '.join(AGREED)}."
    for ask in (kind_of, inputs_of):
        with pytest.raises(ValueError, match="no sum"):
            ask("splize")


def test_input_that_does_not_exist_is_refused_with_those_that_do():
    message = refused("splice", {**GOOD["splice"], "strip": "19"})
    assert message.startswith("“strip” is no input of splice: type one of awg, ")
    assert is_one_sentence(message)


@pytest.mark.parametrize("text", ["35 mA", "35mA", " 35 ", "+35", "035", "35 ma"])
def test_number_may_carry_its_own_unit_and_white_space(text):
    assert work("key-off", {**GOOD["key-off"], "draw_ma": text}).inputs["draw_ma"] == "35"


@pytest.mark.parametrize("text", ["35 xy", "3.5e1", "1,000", "NaN", "٣٥", ".", "35 35", "1/0"])
def test_what_is_no_number_or_no_unit_is_refused_with_what_to_type(text):
    message = refused("key-off", {**GOOD["key-off"], "draw_ma": text})
    assert message == (f"draw_ma cannot be “{text}”: type a number from 1 to 10000 in mA, like 35.")


def test_unit_of_another_quantity_is_refused_by_what_it_measures():
    message = refused("key-off", {**GOOD["key-off"], "draw_ma": "35 mV"})
    assert message == (
        "draw_ma cannot be “35 mV”: mV is a voltage, and draw_ma is a current in mA."
    )


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
        assert type(refusal) in (ValueError, WrongInput)
        assert is_one_sentence(str(refusal)), str(refusal)
    else:
        assert work(name, worked.inputs) == worked
        assert is_one_sentence(worked.because)


@given(ANY_TEXT, ANY_TEXT, ANY_TEXT)
def test_any_names_give_one_sentence(name, field, text):
    for asked in (name, "splice"):
        assert is_one_sentence(refused(asked, {field: text}))
