"""Descriptions in a JSON Schema: the library's own reading of docstrings says the same."""

from pydantic import BaseModel, ConfigDict, create_model

from baycompanion.text.described import Described, descriptions
from baycompanion.text.to_model import Written


class Plain(Written):
    """A model as files have them."""

    first_of: int
    """What comes first,
    in two lines."""
    second: str | None = None
    third: str = ""
    """What comes third."""


class Further(Plain):
    """One made of another, with a field said anew."""

    third: str = "x"
    fourth: int = 4
    """What comes fourth."""


class ByLibrary(BaseModel):
    """The same fields, read by the library."""

    model_config = ConfigDict(use_attribute_docstrings=True)

    first_of: int
    """What comes first,
    in two lines."""
    second: str | None = None
    third: str = ""
    """What comes third."""


def told(model: type[BaseModel]) -> dict[str, str]:
    properties = model.model_json_schema(schema_generator=Described)["properties"]
    return {key: each["description"] for key, each in properties.items() if "description" in each}


def test_a_docstring_is_read_as_the_library_reads_it() -> None:
    theirs = {name: each.description for name, each in ByLibrary.model_fields.items()}
    assert descriptions(Plain) == {name: text for name, text in theirs.items() if text}
    assert told(Plain) == {"first-of": theirs["first_of"], "third": "What comes third."}


def test_a_field_said_anew_loses_what_was_said_of_the_old_one() -> None:
    assert set(told(Further)) == {"first-of", "fourth"}


def test_a_model_made_by_program_has_the_docstrings_of_what_it_is_made_of() -> None:
    assert told(create_model("Made", __base__=Further)) == told(Further)
