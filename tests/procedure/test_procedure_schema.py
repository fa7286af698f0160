"""The JSON Schema of a procedure file, held against the files it describes."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from yaml_text import as_yaml, from_yaml

from baycompanion.procedure.cautions import CAUTIONS, Torque
from baycompanion.procedure.conditions import KINDS
from baycompanion.procedure.examples import ANYWHERE, IN
from baycompanion.procedure.model import Choice, Gate, Part, Phase, Procedure, Shared, Tool
from baycompanion.procedure.schema import procedure_schema
from baycompanion.procedure.steps import VERBS, Item
from baycompanion.text.problem import BadFile
from baycompanion.text.to_model import first_key, to_model
from baycompanion.text.yaml_nodes import read_yaml

SCHEMA = procedure_schema()
VALIDATOR = Draft202012Validator(SCHEMA)
PROCEDURES = Path(__file__).parents[2] / "procedures"


def as_an_editor_sees_it(text: str) -> Any:
    """Return the values an editor takes from YAML text: numbers, booleans, and dates as text."""
    return json.loads(json.dumps(from_yaml(text), default=str))


def test_the_schema_is_one_of_its_dialect_and_names_itself() -> None:
    Draft202012Validator.check_schema(SCHEMA)
    assert SCHEMA["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert SCHEMA["$id"].startswith("urn:baycompanion:")


def test_a_procedure_with_everything_in_it_is_valid(whole: str) -> None:
    seen = as_an_editor_sees_it(whole)
    assert seen["tools"][0]["instrument"] is True
    assert seen["revision"] == 3
    VALIDATOR.validate(seen)


@pytest.mark.parametrize(
    "path",
    sorted(PROCEDURES.rglob("*.yaml")),
    ids=lambda path: path.relative_to(PROCEDURES).as_posix(),
)
def test_every_procedure_and_shared_file_that_ships_is_valid(path: Path) -> None:
    VALIDATOR.validate(as_an_editor_sees_it(path.read_text(encoding="utf-8")))


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("title: A small whole job\n", ""),
        ("fits: Is", "fitz: Is"),
        ("revision: 3", "revision: third"),
        ("revision: 3", "revision: 0"),
        ("date: 2026-11-25", "date: [2026]"),
        ("hazards:\n  - warning:", "hazards:\n  - warnin:"),
        ("    consequence: It hits hands and face.\n", ""),
        ("- do: Tick off the tools.", "- dos: Tick off the tools."),
        ("id: tools-out", "id: Tools Out"),
        ("        id: battery-off-now\n", ""),
        ("each: tools", "each: tolls"),
        ("takes: date", "takes: dates"),
        ("photo: wanted", "photo: maybe"),
        ("shortest: 1 min", "shortest: 1:30"),
        ("at-least: 12.40", "at-least: [12]"),
        ("matches: screws-out", "matches: screws-out\n        of: [{item: a, name: A}]"),
        ("        matches: screws-out\n", ""),
        (
            "source: Common practice, no source.\n  - phase",
            "value: 2.5\n            source: x\n  - phase",
        ),
        ("answer: volts", "answr: volts"),
        ("override: supervisor", "override: anyone"),
        ("good: charge", "god: charge"),
        ("no-open-fault: work", "no-open-fault: mine"),
        ("{camera-feed: digital}", "{Camera Feed: digital}"),
        ("of: battery-off-now", "of: []"),
    ],
)
def test_a_file_that_the_program_refuses_is_underlined_by_the_schema(
    changed: Callable[[str, str], str], old: str, new: str
) -> None:
    assert not VALIDATOR.is_valid(as_an_editor_sees_it(changed(old, new)))


def test_an_include_may_stand_among_the_phases_and_stands_alone(
    changed: Callable[[str, str], str],
) -> None:
    include = "phases:\n  - include: shared/vehicle-in.yaml\n"
    VALIDATOR.validate(as_an_editor_sees_it(changed("phases:\n", include)))
    beside = as_an_editor_sees_it(changed("phases:\n", f"{include}    title: x\n"))
    assert not VALIDATOR.is_valid(beside)


def test_lists_that_may_be_none_say_so(whole: str) -> None:
    seen = as_an_editor_sees_it(whole)
    for name in ("hazards", "tools", "parts"):
        VALIDATOR.validate({**seen, name: "none"})
        assert not VALIDATOR.is_valid({**seen, name: "some"})


def test_everything_that_can_be_written_is_described() -> None:
    for name, part in SCHEMA["$defs"].items():
        assert part["description"], name
        for key, field in part["properties"].items():
            assert field.get("description"), f"{name}.{key}"


def test_everything_that_can_be_written_has_an_example_that_may_stand_there() -> None:
    for name, part in SCHEMA["$defs"].items():
        for key, field in part["properties"].items():
            assert field.get("examples"), f"{name}.{key}"
            validator = Draft202012Validator({"$defs": SCHEMA["$defs"], **field})
            for example in field["examples"]:
                assert list(validator.iter_errors(example)) == [], f"{name}.{key}"


def test_an_example_is_taken_by_the_program_as_well() -> None:
    """What a key means is the model's business: each example is read there, by its own key."""
    for model in (*VERBS, *KINDS, *CAUTIONS, Choice, Tool, Part, Gate, Phase, Item, Torque):
        fields = SCHEMA["$defs"][model.__name__]["properties"]
        for key, field in fields.items():
            for example in field["examples"]:
                text = as_yaml({key: example})
                try:
                    to_model(model, read_yaml(text, "x.yaml"))
                except BadFile as bad:  # the other keys of the mapping are missing, no more
                    for each in bad.problems:
                        at_the_top = (each.place.line, each.place.column) == (1, 1)
                        assert at_the_top and each.what.endswith(" is missing"), str(each)


def test_no_example_is_for_a_key_that_is_not_there() -> None:
    keys = {key for part in SCHEMA["$defs"].values() for key in part["properties"]}
    assert set(ANYWHERE) <= keys
    for name, examples in IN.items():
        assert set(examples) <= set(SCHEMA["$defs"][name]["properties"]), name


def test_every_verb_begins_one_alternative_of_a_step() -> None:
    steps = SCHEMA["$defs"]["Phase"]["properties"]["steps"]["items"]["oneOf"]
    assert [each["$ref"] for each in steps] == [f"#/$defs/{verb.__name__}" for verb in VERBS]
    for verb in VERBS:
        assert first_key(verb) in SCHEMA["$defs"][verb.__name__]["required"]


def test_the_keys_are_those_of_the_models_and_nothing_is_null() -> None:
    for model in (Procedure, Shared):
        aliases = {field.alias for field in model.model_fields.values()}
        assert set(SCHEMA["$defs"][model.__name__]["properties"]) == aliases
    assert '"null"' not in json.dumps(SCHEMA)
