"""The JSON Schema of a procedure file, so that an editor completes and underlines it."""

from typing import Any

from pydantic.json_schema import JsonSchemaValue, models_json_schema
from pydantic_core import core_schema

from baycompanion.procedure.examples import with_examples
from baycompanion.procedure.model import Procedure, Shared
from baycompanion.text.described import Described

DIALECT = "https://json-schema.org/draft/2020-12/schema"
SCHEMA_ID = "urn:baycompanion:schema:procedure"

_INCLUDE = {
    "description": "Puts the phases of a shared file here, and its lists before those of this one.",
    "type": "object",
    "properties": {
        "include": {
            "description": "The path of the shared file, from the folder of procedures.",
            "type": "string",
            "examples": ["shared/vehicle-in.yaml"],
        },
        "when": {
            "description": "Its phases apply only if each of these choices has this answer (or one "
            "of these).",
            "$ref": "#/$defs/Phase/properties/when",
            "examples": [{"trim-off": "yes"}],
        },
        "unless": {
            "description": "Its phases do not apply if any of these choices has this answer (or "
            "one of these).",
            "$ref": "#/$defs/Phase/properties/unless",
            "examples": [{"trim-off": "no"}],
        },
    },
    "required": ["include"],
    "additionalProperties": False,
}


def procedure_schema() -> dict[str, Any]:
    """Return the JSON Schema (2020-12) of a procedure file, or of a shared file of phases.

    Values stand in it as an editor sees them: `20` is a number and `yes` may be a boolean.
    """
    _, schema = models_json_schema(
        [(Procedure, "validation"), (Shared, "validation")], schema_generator=AsWritten
    )
    parts = schema["$defs"]
    for name in ("Procedure", "Shared"):
        phases = parts[name]["properties"]["phases"]
        phases["items"] = {"anyOf": [phases["items"], {"$ref": "#/$defs/Include"}]}
    return {
        "$schema": DIALECT,
        "$id": SCHEMA_ID,
        "title": "A procedure file of baycompanion",
        "if": {"type": "object", "required": ["shared"]},
        "then": {"$ref": "#/$defs/Shared"},
        "else": {"$ref": "#/$defs/Procedure"},
        "$defs": {**with_examples(parts), "Include": _INCLUDE},
    }


class AsWritten(Described):
    """What may stand in a file: nothing is null there, and yes and no are written out."""

    def nullable_schema(self, schema: core_schema.NullableSchema) -> JsonSchemaValue:
        """Return the schema of the value alone: what is not there is left out."""
        return self.generate_inner(schema["schema"])

    def default_schema(self, schema: core_schema.WithDefaultSchema) -> JsonSchemaValue:
        """Return the schema without a default that says nothing."""
        found = super().default_schema(schema)
        return {key: value for key, value in found.items() if key != "default" or value}

    def bool_schema(self, schema: core_schema.BoolSchema) -> JsonSchemaValue:
        """Return both forms of yes and no."""
        return {"enum": [True, False, "yes", "no"]}

    def field_title_should_be_set(self, schema: Any) -> bool:
        """Return that no field has a title, which would only repeat its key."""
        return False
