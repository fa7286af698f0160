"""What each field of a model is for, told in a JSON Schema from the docstring below the field.

The library can read these docstrings too, but does so as each class is made: half of what it costs
to load the models, in every command, for what one of them prints.
"""

import ast
import inspect
from functools import cache
from itertools import pairwise
from textwrap import dedent

from pydantic import BaseModel
from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue
from pydantic_core import core_schema


class Described(GenerateJsonSchema):
    """A JSON Schema in which the docstring of each field is its description."""

    def model_schema(self, schema: core_schema.ModelSchema) -> JsonSchemaValue:
        """Return the schema of a model, its fields described."""
        found = super().model_schema(schema)
        model: type[BaseModel] = schema["cls"]
        told = descriptions(model)
        for name, field in model.model_fields.items():
            key = field.alias or name
            if name in told and key in found["properties"]:
                found["properties"][key].setdefault("description", told[name])
        return found


@cache
def descriptions(model: type[BaseModel]) -> dict[str, str]:
    """Return the docstring of each field of `model`, its own or that of the class it comes from."""
    told: dict[str, str] = {}
    for kind in reversed(model.__mro__):
        own = inspect.get_annotations(kind)
        if issubclass(kind, BaseModel) and kind is not BaseModel and own:
            told = {name: text for name, text in told.items() if name not in own}
            told |= _docstrings(kind)
    return told


def _docstrings(model: type[BaseModel]) -> dict[str, str]:
    """Return the docstrings that stand below fields in the text of `model`."""
    [written] = ast.parse(dedent(inspect.getsource(model))).body
    assert isinstance(written, ast.ClassDef)
    return {
        field.target.id: inspect.cleandoc(below.value.value)
        for field, below in pairwise(written.body)
        if isinstance(field, ast.AnnAssign)
        and isinstance(field.target, ast.Name)
        and isinstance(below, ast.Expr)
        and isinstance(below.value, ast.Constant)
        and isinstance(below.value.value, str)
    }
