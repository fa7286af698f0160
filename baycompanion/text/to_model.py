"""Nodes into a model, and what the model refuses into problems with their place."""

import inspect
import re
from collections.abc import Iterable, Mapping
from functools import cache
from typing import Annotated, Any, NamedTuple, TypeVar, Union, get_args

from pydantic import BaseModel, ConfigDict, Discriminator, Tag, ValidationError
from pydantic.fields import FieldInfo
from pydantic_core import ErrorDetails

from baycompanion.text.clean import clean
from baycompanion.text.problem import BadFile, Place, Problem, nearest, quoted
from baycompanion.text.yaml_nodes import Node

M = TypeVar("M", bound=BaseModel)


def written(name: str) -> str:
    """Return the key that stands in a file for the field `name`."""
    return name.rstrip("_").replace("_", "-")


class Written(BaseModel):
    """Parent of every model that stands in a file: unknown keys refused, nothing changed later."""

    model_config = ConfigDict(
        extra="forbid",
        frozen=True,
        alias_generator=written,
        validate_by_name=True,  # in code; a file is read by its own spelling alone
        validate_by_alias=True,
        defer_build=True,
    )


class Wrong(NamedTuple):
    """What a validator of ours says, before the place is known."""

    what: str
    instead: str

    def __str__(self) -> str:
        """Return the sentence as a command tells it, where no place goes before it.

        It is clean: the library of the models asks for it, and cannot take half a character.
        """
        return clean(f"{self.what}. {self.instead}")


def wrong(what: str, instead: str) -> ValueError:
    """Return the error a validator raises so that both halves of the sentence get through."""
    return ValueError(Wrong(what, instead))


@cache
def first_key(model: type[BaseModel]) -> str:
    """Return the key that begins `model` in a file: the first field its own class declares.

    A class that declares none, made of two others, begins as the first of them.
    """
    declared = next(names for kind in model.__mro__ if (names := inspect.get_annotations(kind)))
    return written(next(iter(declared)))


def begun_by(what: str, kinds: Iterable[type[BaseModel]]) -> Any:
    """Return the union of `kinds`, chosen by the key that begins each, before anything else.

    A misspelt or missing first key gives one problem, not one for every kind.
    """
    return one_of(what, {first_key(kind): kind for kind in kinds})


def one_of(what: str, tagged: Mapping[str, type[BaseModel]]) -> Any:
    """Return the union of the models in `tagged`, each chosen by its key there."""

    def tag(raw: Any) -> str | None:
        if isinstance(raw, BaseModel):
            return next((f"<{key}>" for key, kind in tagged.items() if type(raw) is kind), None)
        keys = raw if isinstance(raw, dict) else ()
        return next((f"<{key}>" for key in keys if key in tagged), None)

    chosen = Discriminator(
        tag,
        custom_error_type="no_first_key",
        custom_error_message=f"{what}: {' '.join(tagged)}",  # a context would make it unhashable
    )
    choices = tuple(Annotated[kind, Tag(f"<{word}>")] for word, kind in tagged.items())
    return Annotated[Union[choices], chosen]  # noqa: UP007 - the members are not known before


def either(listed: Any, single: Any) -> Any:
    """Return the union of `listed`, for a list or names with values, and `single`, for one word.

    What is written is held against the one it looks like: one problem, not one for each.
    """

    def tag(raw: Any) -> str:
        return "<single>" if isinstance(raw, str) else "<listed>"

    members = (Annotated[listed, Tag("<listed>")], Annotated[single, Tag("<single>")])
    return Annotated[Union[members], Discriminator(tag)]  # noqa: UP007 - as above


def to_model(model: type[M], node: Node) -> M:
    """Return the model that `node` spells.

    Raises:
        BadFile: With one problem for each thing the model refuses.
    """
    try:
        return model.model_validate(node.plain(), by_alias=True, by_name=False)
    except ValidationError as error:
        raise BadFile(problems_of(error, node, model)) from None


MOST_PROBLEMS = 500
"""How many problems of one file are put into words; a file with more is not worth the wait."""


def problems_of(error: ValidationError, node: Node, model: type[BaseModel]) -> list[Problem]:
    """Return what `error` says of the value in `node`, each finding at its place."""
    anywhere = keys_of(model)
    found = error.errors(include_url=False)
    told = {_problem(each, node, model, anywhere): None for each in found[:MOST_PROBLEMS]}
    if len(found) > MOST_PROBLEMS:
        rest = f"{len(found) - MOST_PROBLEMS} more problems are not listed"
        told[Problem(node.place, rest, "Mend these first")] = None
    return list(told)


def place_of(node: Node, path: Iterable[int | str]) -> Place:
    """Return the place nearest to the value at `path`; names that lead nowhere are passed over."""
    place = node.place
    for name in path:
        value = node.value
        if isinstance(value, dict) and name in value:
            node, place = value[str(name)], node.keys[str(name)]
            if not isinstance(node.value, dict | list):
                place = node.place
        elif isinstance(value, list) and isinstance(name, int) and name < len(value):
            node = value[name]
            place = node.place
    return place


def keys_of(model: type[BaseModel]) -> list[str]:
    """Return every key that may stand in a file read as `model`, at any depth."""
    keys: dict[str, None] = {}
    schema = model.model_json_schema(by_alias=True)
    for part in [schema, *schema.get("$defs", {}).values()]:
        keys.update(dict.fromkeys(part.get("properties", {})))
    return list(keys)


_TAG = re.compile("<[a-z-]+>")  # how `begun_by` and `either` mark their part of pydantic's path

_MISFITS = {
    "string_type": "one piece of text",
    "list_type": "a list, each item after a dash",
    "tuple_type": "a list, each item after a dash",
    "dict_type": "names with values",
    "model_type": "names with values",
    "model_attributes_type": "names with values",
    "int_parsing": "a whole number",
    "int_type": "a whole number",
    "decimal_parsing": "a number",
    "decimal_type": "a number",
    "bool_parsing": "yes or no",
    "bool_type": "yes or no",
    "date_from_datetime_parsing": "a date like 2026-11-25",
    "date_parsing": "a date like 2026-11-25",
    "date_type": "a date like 2026-11-25",
    "datetime_from_date_parsing": "a time like 2026-11-25T08:30:00Z",
    "datetime_parsing": "a time like 2026-11-25T08:30:00Z",
    "datetime_type": "a time like 2026-11-25T08:30:00Z",
    "timezone_aware": "a time with its zone, like 2026-11-25T08:30:00Z",
}


def _problem(
    detail: ErrorDetails, node: Node, model: type[BaseModel], anywhere: list[str]
) -> Problem:
    """Return one of pydantic's findings in our words."""
    path = [part for part in detail["loc"] if not _TAG.fullmatch(str(part))]
    kind, context, given = detail["type"], detail.get("ctx", {}), detail["input"]
    name = _name(path)
    if kind == "extra_forbidden":
        place, key = place_of_key(node, path), str(path[-1])
        if key in anywhere:
            instead = "Delete it, or give it an item of its own"
            return Problem(place, f"{name} does not belong here", instead)
        offered = nearest(key, _keys_at(model, detail["loc"][:-1]))
        near = offered.startswith("Did you mean")
        instead = offered if near else "Delete it or check its indentation"
        return Problem(place, f"{name} is not known here", instead)
    place = place_of(node, path)
    if kind == "no_first_key":
        what, _, words = detail["msg"].partition(": ")
        return Problem(place, *_no_first_key(given, what, words.split()))
    if kind == "missing":
        return Problem(place, f"{name} is missing", f"Write {path[-1]}: and its value")
    own = context.get("error")
    if isinstance(own, ValueError):
        return Problem(place, *_own_words(own))
    return Problem(place, f"{name} cannot be {_shown(given)}", _fitting(detail))


def _name(path: list[int | str]) -> str:
    """Return what to call the value at `path` in a sentence."""
    if not path:
        return "The file"
    return "This item" if isinstance(path[-1], int) else quoted(path[-1])


def _own_words(error: ValueError) -> tuple[str, str]:
    """Return both halves of the sentence that a validator of ours raised."""
    if error.args and isinstance(error.args[0], Wrong):
        return error.args[0].what, error.args[0].instead
    what, _, instead = str(error).partition(". ")
    return what, instead


def _fitting(detail: ErrorDetails) -> str:
    """Return what to write in place of a value of the wrong kind."""
    kind, context = detail["type"], detail.get("ctx", {})
    if kind == "literal_error":
        allowed = re.findall(r"'([^']*)'", str(context.get("expected", "")))
        return nearest(str(detail["input"]), allowed)
    if kind in _MISFITS:
        return f"Write {_MISFITS[kind]}"
    if kind == "greater_than_equal":
        return f"Write {context['ge']} or more"
    if kind == "less_than_equal":
        return f"Write {context['le']} or less"
    return f"What is wrong with it: {detail['msg']}"


def _no_first_key(given: Any, what: str, words: list[str]) -> tuple[str, str]:
    """Return both halves of the sentence for a mapping that none of `words` begins."""
    keys = [str(key) for key in given] if isinstance(given, dict) else [str(given)]
    for key in keys:
        offered = nearest(key, words)
        if offered.startswith("Did you mean"):
            return f"{quoted(key)} begins no {what}", offered
    return f"This {what} is begun by no word known here", f"Begin it with {', '.join(words)}"


def place_of_key(node: Node, path: list[int | str]) -> Place:
    """Return where the key at the end of `path` itself stands."""
    for name in path[:-1]:
        value = node.value
        if isinstance(value, dict) and name in value:
            node = value[str(name)]
        elif isinstance(value, list) and isinstance(name, int) and name < len(value):
            node = value[name]
    return node.keys.get(str(path[-1]), node.place) if path else node.place


def _keys_at(model: type[BaseModel], path: Iterable[int | str]) -> list[str]:
    """Return the keys that may stand at `path`, a path as pydantic tells it."""
    here = [model]
    for part in path:
        if _TAG.fullmatch(str(part)):
            here = [each for each in here if str(part)[1:-1] in _fields(each)] or here
        elif isinstance(part, str):
            fields = [field for each in here for field in _fields(each).items()]
            inner = [_models_in(field.annotation) for key, field in fields if key == part]
            here = [each for models in inner for each in models] or here
    return [key for each in here for key in _fields(each)]


def _fields(model: type[BaseModel]) -> dict[str, FieldInfo]:
    """Return the fields of `model` by the key that stands for each in a file."""
    return {field.alias or name: field for name, field in model.model_fields.items()}


def _models_in(annotation: Any) -> list[type[BaseModel]]:
    """Return the models that a field of this type may hold."""
    if inspect.isclass(annotation) and issubclass(annotation, BaseModel):
        return [annotation]
    return [model for part in get_args(annotation) for model in _models_in(part)]


def _shown(value: Any) -> str:
    """Return a short quotation of a value found in a file."""
    if isinstance(value, dict):
        return "a set of names"
    if isinstance(value, list):
        return "a list"
    return quoted(str(value)) if value != "" else "empty"
