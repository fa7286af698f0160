"""A connector file: what it says, what is refused and where, and its JSON Schema."""

from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from wires import SHIPPED, receiver, vehicle, written
from yaml_text import from_yaml

from baycompanion.commands.schema import connector_schema
from baycompanion.text.problem import BadFile
from baycompanion.wiring.connector import Connector, read_connector
from baycompanion.wiring.functions import FUNCTIONS
from baycompanion.wiring.model import COLOURS, MOST_PINS

SCHEMA = connector_schema()


def problems(text: str) -> list[str]:
    """Return the problems of a file called `x.yaml`."""
    with pytest.raises(BadFile) as bad:
        read_connector(text, "x.yaml")
    return [str(problem) for problem in bad.value.problems]


def pin_problem(pin: str, side: str = "vehicle") -> str:
    """Return the one problem of a file with this one pin, without its place."""
    [told] = problems(written("x", side, pin))
    place, _, what = told.partition(": ")
    assert place.startswith("x.yaml:6:")
    return what


class TestReading:
    def test_everything_that_a_pin_can_say_is_kept(self) -> None:
        [lead] = vehicle(
            "pin: A4, function: antenna-feed, colour: Orange, stripe: white, sleeve: black, "
            "awg: 18 AWG, current-a: 300 mA, bridged: no, grounded: yes, join: none, note: Hello"
        ).leads
        assert (lead.name, lead.id, lead.colours) == ("vehicle/A4", "vehicle-a4", "orange/white")
        assert (lead.sleeve, lead.bridged, lead.grounded) == ("black", False, True)
        assert lead.wire is not None
        assert (lead.wire.gauge, lead.current_a, lead.join) == ("18", Decimal("0.3"), "none")
        assert (lead.place.line, lead.place.column) == (6, 5)

    def test_an_area_stands_in_place_of_a_gauge(self) -> None:
        [lead] = vehicle("pin: 1, function: ground, area-mm2: 0.75").leads
        assert lead.wire is not None
        assert (lead.wire.gauge, lead.wire.area) == (None, Decimal("0.75"))

    def test_what_is_not_written_is_not_known(self) -> None:
        [lead] = receiver("pin: 1, function: mute").leads
        assert (lead.colours, lead.wire, lead.current_a, lead.bridged) == ("", None, None, None)

    @pytest.mark.parametrize(("typed", "kept"), [("gray", "grey"), ("Dark Green", "dark-green")])
    def test_a_colour_has_one_spelling(self, typed: str, kept: str) -> None:
        assert vehicle(f"pin: 1, function: mute, colour: {typed}").leads[0].colour == kept

    @pytest.mark.parametrize(
        ("side", "function", "supplies"),
        [
            ("vehicle", "constant-feed", True),
            ("receiver", "constant-feed", False),
            ("receiver", "antenna-feed", True),
            ("vehicle", "antenna-feed", False),
            ("receiver", "front-left-plus", True),
            ("extra", "wired-remote", True),
            ("vehicle", "mute", False),
        ],
    )
    def test_the_side_says_who_supplies(self, side: str, function: str, supplies: bool) -> None:
        [lead] = read_connector(written("x", side, f"pin: 1, function: {function}"), "x").leads
        assert lead.supplies is supplies
        said = f"pin: 1, function: {function}, supplies: {'no' if supplies else 'yes'}"
        [lead] = read_connector(written("x", side, said), "x").leads
        assert lead.supplies is not supplies

    def test_an_output_that_is_bridged_supplies(self) -> None:
        [lead] = read_connector(
            written("x", "extra", "pin: 1, function: rear-left-plus, bridged: yes"), "x"
        ).leads
        assert lead.supplies

    def test_every_function_has_its_meaning_in_one_line(self) -> None:
        for word, function in FUNCTIONS.items():
            assert word == function.word
            assert function.meaning.endswith(".")
            assert "\n" not in function.meaning

    def test_no_trade_word_means_two_functions(self) -> None:
        words = [word for each in FUNCTIONS.values() for word in (each.word, *each.also)]
        assert len(words) == len(set(words))


class TestRefusing:
    @pytest.mark.parametrize(
        ("pin", "told"),
        [
            (
                "pin: 1, function: constant-fed",
                "“constant-fed” is no function of a lead. Did you mean constant-feed?",
            ),
            ("pin: 1, function: earth", "“earth” is no function of a lead. Did you mean ground?"),
            (
                "pin: 1, function: Switched Feed",
                "“Switched Feed” is no function of a lead. Did you mean switched-feed?",
            ),
            (
                "pin: 1, function: illumination",
                "“illumination” is no function of a lead. Did you mean lit-dash-feed?",
            ),
            (
                "pin: 1, function: ground, colour: yelow",
                "“yelow” is no colour known here. Did you mean yellow?",
            ),
            (
                "pin: 1, function: ground, colour: red/white",
                "“red/white” is no colour known here. Did you mean red? "
                "A second colour goes under stripe:.",
            ),
            (
                "pin: 1, function: ground, awg: 41",
                "“41” is no gauge. Write one from 4/0 to 40, like 18; an area goes under "
                "area-mm2:.",
            ),
            (
                "pin: 1, function: ground, area-mm2: 500",
                "“500” is out of range. Write square millimetres, like 0.75, from 0.05 to 120.",
            ),
            (
                "pin: 1, function: ground, current-a: lots",
                "“lots” cannot be read as a number here. "
                "Write amperes, like 0.3, from 0.001 to 300.",
            ),
            (
                "pin: 1, function: ground, current-a: 3 mm",
                "“3 mm” cannot be read as a number here. "
                "Write amperes, like 0.3, from 0.001 to 300.",
            ),
            (
                "pin: 1, function: ground, awg: 18, area-mm2: 1",
                "Pin 1 has both awg and area-mm2. Keep the one printed on the lead.",
            ),
            (
                "pin: 1, function: ground, bridged: maybe",
                "“bridged” cannot be “maybe”. Write yes or no.",
            ),
            ("pin: a-1, function: ground", "“a-1” is no name for a pin. Write 1 to 8 letters and"
             " digits."),
            ("pin: 1, functoin: ground, function: ground",
             "“functoin” is not known here. Did you mean function?"),
            ("pin: 1", "“function” is missing. Write function: and its value."),
            ("pin: 1, function: ground, join: somewhere",
             "“somewhere” names no lead. Write connector/pin, like vehicle/4, or none to leave "
             "this lead over."),
        ],
    )  # fmt: skip
    def test_a_slip_is_told_with_what_to_write_instead(self, pin: str, told: str) -> None:
        assert pin_problem(pin) == told

    def test_every_problem_comes_at_once_each_at_its_place(self) -> None:
        text = (
            "connector: My Van\n"
            "title: x\n"
            "side: vehicel\n"
            "sourse: x\n"
            "pins:\n"
            "  - { pin: 1, function: grond }\n"
            "  - pin: 2\n"
            "    function: ground\n"
            "    colour: blak\n"
        )
        told = problems(text)
        assert [line.split(": ")[0] for line in told] == [
            "x.yaml:1:1",
            "x.yaml:1:12",
            "x.yaml:3:7",
            "x.yaml:4:1",
            "x.yaml:6:25",
            "x.yaml:9:13",
        ]
        assert "Did you mean vehicle?" in told[2]
        assert "Did you mean source?" in told[3]

    def test_a_pin_that_stands_twice_is_told_with_the_first(self) -> None:
        told = problems(
            written("x", "vehicle", "pin: A1, function: mute", "pin: a1, function: speed")
        )
        assert told == ["x.yaml:7:12: Pin a1 stands twice, first in line 6. Keep one."]

    def test_a_connector_without_pins_is_none(self) -> None:
        [told] = problems("connector: x\ntitle: x\nside: extra\nsource: x\npins: []\n")
        assert told == "x.yaml:5:1: This connector has no pins. Write at least one."

    def test_more_pins_than_a_connector_has_are_refused(self) -> None:
        pins = [f"pin: {number}, function: ground" for number in range(MOST_PINS + 1)]
        [told] = problems(written("x", "vehicle", *pins))
        assert "These are 201 pins." in told

    @pytest.mark.parametrize(
        "text",
        [
            "",
            "- a list",
            "just words",
            "connector: !!python/object:os.system x",
            "connector: [x\n",
            "a: &a [*a]\n",
            "connector: x\npins:\n  - 3\n  - [1]\n  - {}\n",
            "connector: \x1b[31mred\n",
            "\u202econnector: x\n",
            "pins: " + "[" * 60,
        ],
    )
    def test_a_hostile_file_is_refused_in_sentences(self, text: str) -> None:
        for line in problems(text):
            assert line.startswith("x.yaml:")
            assert line.isprintable()

    def test_hostile_words_come_out_clean(self) -> None:
        text = written("x", "vehicle", "pin: 1, function: mute").replace(
            "The x", '"The [bold]\\e[31mx\\u202e"'
        )
        title = read_connector(text, "x.yaml").title
        assert "[bold]" in title
        assert title.isprintable()


class TestSchema:
    def test_it_is_one_of_its_dialect_and_names_itself(self) -> None:
        Draft202012Validator.check_schema(SCHEMA)
        assert SCHEMA["$id"] == "urn:baycompanion:schema:connector"

    @pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
    def test_every_connector_that_ships_is_valid_and_can_be_read(self, path: Path) -> None:
        text = path.read_text(encoding="utf-8")
        Draft202012Validator(SCHEMA).validate(from_yaml(text))
        assert isinstance(read_connector(text, path.name), Connector)

    @pytest.mark.parametrize(
        "pin",
        [
            "pin: 1, function: grond",
            "pin: a-1, function: ground",
            "pin: 1, functoin: ground",
            "pin: 1",
            "pin: 1, function: ground, bridged: maybe",
            "pin: 1, function: ground, join: somewhere",
        ],
    )
    def test_what_the_program_refuses_is_underlined(self, pin: str) -> None:
        text = written("x", "vehicle", pin)
        assert problems(text)
        assert not Draft202012Validator(SCHEMA).is_valid(from_yaml(text))

    def test_every_key_and_every_function_says_what_it_is(self) -> None:
        told = {each["const"]: each["description"] for each in _functions(SCHEMA)}
        assert list(told) == list(FUNCTIONS)
        for part in (SCHEMA, SCHEMA["$defs"]["Pin"]):
            assert part["description"]
            assert all(field.get("description") for field in part["properties"].values())

    def test_the_colours_are_offered(self) -> None:
        assert SCHEMA["$defs"]["Pin"]["properties"]["colour"]["examples"] == list(COLOURS)


def _functions(schema: dict[str, Any]) -> Iterator[dict[str, str]]:
    yield from schema["$defs"]["Pin"]["properties"]["function"]["oneOf"]
