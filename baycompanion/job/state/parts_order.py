"""The order that the parts came by: what its file says, and what the job keeps of it."""

from typing import Annotated

from pydantic import Field

from baycompanion.job.events.carried import OrderedPart, PartsOrdered
from baycompanion.procedure.fields import Id, Line, Some
from baycompanion.text.problem import BadFile, Problem, quoted
from baycompanion.text.to_model import Written, place_of, to_model
from baycompanion.text.yaml_nodes import read_yaml


class OrderLine(Written):
    """One line of an order."""

    name: Line
    """What the order calls it."""
    part: Id | None = None
    """The part of the procedure that it is; left out where the procedure has none for it."""
    code: Line | None = None
    """What its label says, as a reader of bar codes types it."""
    count: Annotated[int, Field(ge=1, le=9999)] = 1
    """How many labels of this code belong to the job, 1 to 9999."""


class OrderFile(Written):
    """An order of parts, as its file says it."""

    order: Line
    """Its number, or whatever it is called by."""
    parts: Annotated[tuple[OrderLine, ...], Some]


def read_order(text: str, file: str) -> PartsOrdered:
    """Return the order in `text`; `file` names it in places.

    Raises:
        BadFile: It does not say what it should, or names a part or a code twice.
    """
    node = read_yaml(text, file)
    read = to_model(OrderFile, node)
    problems = []
    for key in ("part", "code"):
        seen: set[str] = set()
        for nth, line in enumerate(read.parts):
            name = getattr(line, key) or ""
            if name and folded_code(name) in seen:
                place = place_of(node, ("parts", nth, key))
                what = f"The {key} {quoted(name)} stands on this order twice"
                problems.append(Problem(place, what, "Write one line, with the count of both"))
            seen.add(folded_code(name))
    if problems:
        raise BadFile(problems)
    return PartsOrdered(
        order=read.order, parts=[OrderedPart(**line.model_dump()) for line in read.parts]
    )


def folded_code(code: str) -> str:
    """Return `code` as two codes are compared: case and white space do not count."""
    return "".join(code.casefold().split())


def with_code(order: PartsOrdered, code: str) -> OrderedPart | None:
    """Return the line of `order` with this code, None where it has none."""
    wanted = folded_code(code)
    return next((line for line in order.parts if folded_code(line.code or "") == wanted), None)


def for_part(order: PartsOrdered | None, part: str) -> OrderedPart | None:
    """Return the line of `order` that is this part of the procedure, None where it has none."""
    lines = order.parts if order is not None else []
    return next((line for line in lines if line.part == part), None)


def labels_read(count: int, of: int) -> str:
    """Return how many labels of a part were read, empty where there is only one."""
    return "" if of == 1 else f"{count} of {of} here"
