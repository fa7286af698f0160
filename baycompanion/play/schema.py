"""The JSON Schema of a play script, so that an editor completes and underlines it."""

from typing import Any

from pydantic.json_schema import JsonSchemaValue
from pydantic_core import core_schema

from baycompanion.play.script import Script
from baycompanion.procedure.schema import DIALECT, AsWritten

SCHEMA_ID = "urn:baycompanion:schema:script"


def script_schema() -> dict[str, Any]:
    """Return the JSON Schema (2020-12) of a play script, its values as an editor sees them."""
    schema = Script.model_json_schema(schema_generator=_AsTyped)
    title = "A play script of baycompanion"
    return {"$schema": DIALECT, "$id": SCHEMA_ID, **schema, "title": title}


class _AsTyped(AsWritten):
    """What may stand in a script: an answer typed as `12.60` or `yes` is text here."""

    def str_schema(self, schema: core_schema.StringSchema) -> JsonSchemaValue:
        """Return the schema of a text, which an editor may take for a number or a yes or no."""
        return {**super().str_schema(schema), "type": ["string", "number", "boolean"]}
