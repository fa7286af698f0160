"""A procedure from its text, with what it includes fetched and put in place."""

import hashlib
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import PurePosixPath

import yaml

from baycompanion.procedure.model import Procedure, Shared
from baycompanion.text.problem import BadFile, Place, Problem, quoted
from baycompanion.text.to_model import to_model
from baycompanion.text.yaml_nodes import Node, read_yaml

DEEPEST_INCLUDE = 4
"""How many files may include one another in a row."""

Fetch = Callable[[str], tuple[str, str] | None]
"""Takes the path that an include names; gives the file's name for messages and its text."""

_NARROWING = ("when", "unless")
"""What may stand beside an include, and narrows every phase that it brings in."""

_SHARED_LISTS = ("hazards", "choices", "tools", "parts", "standing", "gates", "for-the-owner")


@dataclass(frozen=True, eq=False)
class Loaded:
    """A procedure with the node it was read from, so that later findings have a place.

    It is equal to itself alone, so that what is worked out of it can be kept by it.
    """

    procedure: Procedure
    node: Node

    @cached_property
    def pinned_text(self) -> str:
        """The whole procedure as one YAML text, includes resolved, as a job keeps it."""
        return yaml.safe_dump(self.node.plain(), sort_keys=False, allow_unicode=True, width=100)


def no_includes(path: str) -> None:
    """Fetch nothing: for texts that stand alone, such as the procedure a job has pinned."""


def load_procedure(text: str, file: str, fetch: Fetch = no_includes) -> Loaded:
    """Return the procedure in `text`; `file` names it in places, `fetch` gets its includes.

    Raises:
        BadFile: With every problem that the YAML reader, the includes or the models found.
    """
    including = _Including(fetch, {file})
    node = _with_includes(read_yaml(text, file), including, (file,))
    found = including.problems
    if found and _is_empty(node, "phases"):  # what the includes held is not known
        raise BadFile(found)
    try:
        procedure = to_model(Procedure, node)
    except BadFile as bad:
        told = {problem.place for problem in found}
        raise BadFile(
            [*found, *(each for each in bad.problems if each.place not in told)]
        ) from None
    if found:
        raise BadFile(found)
    return Loaded(procedure, node)


def hash_of(pinned_text: str) -> str:
    """Return the SHA-256 of a pinned procedure, in hex."""
    return hashlib.sha256(pinned_text.encode()).hexdigest()


@dataclass(frozen=True, slots=True)
class _Including:
    """How the includes of one procedure are fetched, which were, and what was wrong with them."""

    fetch: Fetch
    fetched: set[str]
    problems: list[Problem] = field(default_factory=list)


def _with_includes(node: Node, including: _Including, chain: tuple[str, ...]) -> Node:
    """Return `node` with each `- include: path` among its phases replaced by what the file holds.

    The phases come where the include stands, and only under the answers that it names. The other
    lists of the file come before those of the procedure.
    """
    phases = node.value.get("phases") if isinstance(node.value, dict) else None
    if phases is None or not isinstance(phases.value, list):
        return node
    assert isinstance(node.value, dict)
    in_place: list[Node] = []
    before: dict[str, list[Node]] = {name: [] for name in _SHARED_LISTS}
    for item in phases.value:
        if not isinstance(item.value, dict) or "include" not in item.value:
            in_place.append(item)
            continue
        for name, part in _included(item, including, chain).items():
            if name == "phases" and isinstance(part.value, list):
                in_place.extend(_narrowed(phase, item.value, including) for phase in part.value)
            elif name in before and isinstance(part.value, list):
                before[name].extend(part.value)
    return _merged(node, node.value, {**before, "phases": in_place})


def _narrowed(phase: Node, include: dict[str, Node], including: _Including) -> Node:
    """Return an included `phase` as it applies: where it says so itself and the include does."""
    if not isinstance(phase.value, dict):
        return phase
    value, keys = dict(phase.value), dict(phase.keys)
    for word in _NARROWING:
        if word in include:
            value[word] = _both(value.get(word), include[word], including)
            keys.setdefault(word, include[word].place)
    return replace(phase, value=value, keys=keys)


def _both(own: Node | None, given: Node, including: _Including) -> Node:
    """Return the answers that a phase depends on by itself, with those that its include gives."""
    if own is None or not isinstance(own.value, dict) or not isinstance(given.value, dict):
        return given
    twice = next((name for name in given.value if name in own.value), None)
    if twice is not None:
        place = given.keys.get(twice, given.place)
        what = f"A phase of this file depends on {quoted(twice)} already"
        including.problems.append(Problem(place, what, "Write a choice of its own for the include"))
    value = {**own.value, **given.value}
    return replace(own, value=value, keys={**own.keys, **given.keys})


def _merged(node: Node, own: dict[str, Node], lists: dict[str, list[Node]]) -> Node:
    """Return `node` with the included lists before its own; `phases` replaces what it had."""
    merged, keys = dict(own), dict(node.keys)
    for name, items in lists.items():
        had = own.get(name)
        if name == "phases":
            merged[name] = replace(own[name], value=items)
        elif items and (had is None or had.value == "none" or isinstance(had.value, list)):
            rest = had.value if had is not None and isinstance(had.value, list) else []
            merged[name] = replace(had or node, value=[*items, *rest], keys={})
            keys.setdefault(name, node.place)
    return Node(merged, node.place, keys)


def _included(item: Node, including: _Including, chain: tuple[str, ...]) -> dict[str, Node]:
    """Return what the shared file that `item` names holds; nothing where it cannot be had."""
    try:
        file, text = _fetched(item, including, chain)
        own = read_yaml(text, file)
        _refuse_procedure(own, item, file)
        node = _with_includes(own, including, (*chain, file))
    except BadFile as bad:
        including.problems.extend(bad.problems)
        return {}
    try:
        to_model(Shared, node)
    except BadFile as bad:
        including.problems.extend(each for each in bad.problems if each not in including.problems)
    return node.value if isinstance(node.value, dict) else {}


def _fetched(item: Node, including: _Including, chain: tuple[str, ...]) -> tuple[str, str]:
    """Return the name and the text of the shared file that `item` names."""
    assert isinstance(item.value, dict)
    path = _path_of(item)
    place = item.value["include"].place
    fetched = including.fetch(path)
    if fetched is None:
        raise _bad(
            place,
            f"There is no file {quoted(path)} here",
            "Check the path; it starts at the folder of procedures",
        )
    file, _ = fetched
    if file in chain:
        raise _bad(place, f"{file} includes itself", "Remove one of the includes")
    if file in including.fetched:
        raise _bad(place, f"{file} is included twice", "Include it once")
    if len(chain) > DEEPEST_INCLUDE:
        raise _bad(
            place, f"Includes nest deeper than {DEEPEST_INCLUDE}", "Include the file directly"
        )
    including.fetched.add(file)
    return fetched


def _refuse_procedure(node: Node, item: Node, file: str) -> None:
    """Refuse what `item` includes where it is a procedure, whose every key would be a problem."""
    assert isinstance(item.value, dict)
    if isinstance(node.value, dict) and "procedure" in node.value and "shared" not in node.value:
        raise _bad(
            item.value["include"].place,
            f"{file} is a whole procedure, and an include takes a shared file",
            "Move the phases that both need into a file that begins with shared: and its name",
        )


def _path_of(item: Node) -> str:
    """Return the path that `item` includes, refused if it could lead out of the folder."""
    assert isinstance(item.value, dict)
    path = item.value["include"]
    other = next((key for key in item.value if key not in ("include", *_NARROWING)), None)
    if other is not None:
        raise _bad(item.keys[other], f"{quoted(other)} stands beside an include", "Delete it")
    if not isinstance(path.value, str) or not path.value:
        raise _bad(path.place, "The include names no file", "Write include: and one path")
    parts = PurePosixPath(path.value)
    if ".." in parts.parts or parts.is_absolute() or set("\\:") & set(path.value):
        raise _bad(
            path.place,
            f"{quoted(path.value)} leads out of the folder of procedures",
            "Write a path below that folder, with / between names",
        )
    return path.value


def _is_empty(node: Node, name: str) -> bool:
    """Return whether the list called `name` in `node` has nothing in it."""
    return isinstance(node.value, dict) and name in node.value and not node.value[name].value


def _bad(place: Place, what: str, instead: str) -> BadFile:
    return BadFile([Problem(place, what, instead)])
