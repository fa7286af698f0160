"""YAML text as plain values that remember where they stood; nothing else here reads YAML.

Every scalar stays text, so that `no`, `1:30`, `12.60` and `07` mean what was written; the models
give them their types. Tags are refused, and size, depth and aliases are bounded.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any, NoReturn

import yaml

from baycompanion.text.clean import clean
from baycompanion.text.not_yaml import not_yaml
from baycompanion.text.problem import BadFile, Place, Problem, quoted

LARGEST_FILE = 1_000_000
"""Longest text accepted, in characters."""
DEEPEST = 40
"""Deepest nesting accepted."""
MOST_NODES = 20_000
"""Most values accepted, each alias counted as all that it stands for."""

# What YAML 1.1 does not allow anywhere, found here because libyaml counts it in bytes.
_NOT_ALLOWED = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")

_Loader: Any = getattr(yaml, "CBaseLoader", yaml.BaseLoader)  # libyaml is some eight times faster


@dataclass(slots=True)
class Node:
    """One value with its place: text, a list of nodes, or a mapping of key nodes to nodes."""

    value: "str | list[Node] | dict[str, Node]"
    place: Place
    keys: dict[str, Place] = field(default_factory=dict)
    size: int = 1
    """How many values it holds, itself included."""
    depth: int = 0
    """How deep lists and mappings nest in it, itself included."""

    def plain(self) -> Any:
        """Return the value as text, lists and dictionaries."""
        if isinstance(self.value, list):
            return [item.plain() for item in self.value]
        if isinstance(self.value, dict):
            return {key: item.plain() for key, item in self.value.items()}
        return self.value


def read_yaml(text: str, file: str) -> Node:
    """Return the one document in `text` as a node; `file` names it in places.

    Raises:
        BadFile: The text is not YAML, is empty, or is outside the bounds above; with its place.
    """
    if len(text) > LARGEST_FILE:
        _refuse(Place(file, 1, 1), "The file is longer than 1,000,000 characters", "Split it")
    if bad := _NOT_ALLOWED.search(text):
        _refuse_character(text, bad.start(), file)
    try:
        return _compose(yaml.parse(text, Loader=_Loader), file)
    except yaml.MarkedYAMLError as error:
        why = not_yaml(error, text)
        place = Place(file, why.line, why.column)
        _refuse(place, f"This is not YAML: {why.what}", why.instead)
    except yaml.reader.ReaderError as error:  # has no mark, and may count in bytes
        _refuse_character(text, min(error.position or 0, len(text)), file)


def _compose(events: Iterator[Any], file: str) -> Node:
    """Build the tree from the event stream without recursion, so depth cannot exhaust the stack."""
    tree = _Tree(file)
    for event in events:
        tree.take(event)
    if tree.root is None:
        _refuse(Place(file, 1, 1), "The file is empty", "Write something in it")
    return tree.root


@dataclass(slots=True)
class _Open:
    """A list or mapping whose end has not come yet."""

    node: Node
    anchor: str | None
    key: tuple[str, Place] | None = None
    """The key that waits for its value."""


@dataclass(slots=True)
class _Tree:
    """What the events so far have built."""

    file: str
    root: Node | None = None
    documents: int = 0
    anchors: dict[str, Node] = field(default_factory=dict)
    open: list[_Open] = field(default_factory=list)

    def take(self, event: Any) -> None:
        """Grow by one event of the parser."""
        if isinstance(event, yaml.ScalarEvent):
            place = self.place(event)
            self.finish(_scalar(event, place), event.anchor, place)
        elif isinstance(event, yaml.CollectionEndEvent):
            closed = self.open.pop()
            self.finish(closed.node, closed.anchor, closed.node.place)
        elif isinstance(event, yaml.CollectionStartEvent):
            place = self.place(event)
            if len(self.open) >= DEEPEST:
                _refuse(place, f"Values nest deeper than {DEEPEST}", "Flatten the file")
            self.open.append(_Open(_empty(event, place), event.anchor))
        elif isinstance(event, yaml.AliasEvent):
            place = self.place(event)
            self.finish(self.named(str(event.anchor), place), None, place)
        elif isinstance(event, yaml.DocumentStartEvent):
            self.documents += 1
            if self.documents > 1:
                what = "The file holds more than one document"
                _refuse(self.place(event), what, "Remove the line of dashes")

    def place(self, event: Any) -> Place:
        """Return where `event` begins."""
        mark = event.start_mark
        return Place(self.file, mark.line + 1, mark.column + 1)

    def named(self, anchor: str, place: Place) -> Node:
        """Return the finished node that `anchor` names."""
        if anchor not in self.anchors:
            name = quoted(anchor)
            _refuse(
                place,
                f"The alias {name} names nothing finished before it",
                f"Write the anchor {name} at the value meant, above this line",
            )
        return self.anchors[anchor]

    def finish(self, node: Node, anchor: str | None, place: Place) -> None:
        """Put a finished node where it belongs; `place` is where it was put."""
        if anchor is not None:
            self.anchors[anchor] = node
        if not self.open:
            self.root = node
            return
        parent = self.open[-1]
        _attach(parent, node, place)
        parent.node.size += node.size
        parent.node.depth = max(parent.node.depth, node.depth + 1)
        if len(self.open) + node.depth > DEEPEST:  # an alias may stand for something deep
            _refuse(place, f"Values nest deeper than {DEEPEST}", "Flatten the file")
        if parent.node.size > MOST_NODES:
            _refuse(place, f"The file says more than {MOST_NODES:,} things", "Split it")


def _scalar(event: Any, place: Place) -> Node:
    """Return the node of a piece of text."""
    _refuse_tag(event, place)
    return Node(clean(event.value), place)


def _empty(event: Any, place: Place) -> Node:
    """Return the node of a list or a mapping, with nothing in it so far."""
    _refuse_tag(event, place)
    return Node([] if isinstance(event, yaml.SequenceStartEvent) else {}, place, depth=1)


def _refuse_tag(event: Any, place: Place) -> None:
    if event.tag not in (None, "!"):
        _refuse(place, f"Tags are not read here: {quoted(clean(event.tag))}", "Delete the tag")


def _attach(parent: _Open, node: Node, place: Place) -> None:
    """Put a finished node in its parent: as an item, as a key, or as the value of a key."""
    values, keys = parent.node.value, parent.node.keys
    if isinstance(values, list):
        values.append(node)
        return
    assert isinstance(values, dict)
    if parent.key is not None:
        name, key_place = parent.key
        values[name], keys[name] = node, key_place
        parent.key = None
    elif not isinstance(node.value, str):
        _refuse(place, "A key must be one word of text", "Write the key as plain text")
    elif node.value in values:
        first = keys[node.value].line
        _refuse(place, f"{quoted(node.value)} stands twice, first in line {first}", "Keep one")
    else:
        parent.key = (node.value, place)


def _refuse_character(text: str, position: int, file: str) -> NoReturn:
    """Refuse the character at `position`, which YAML does not allow."""
    line = text.count("\n", 0, position) + 1
    column = position - text.rfind("\n", 0, position)
    _refuse(
        Place(file, line, column),
        "A character here is not allowed in YAML",
        "Delete it and type the text again",
    )


def _refuse(place: Place, what: str, instead: str) -> NoReturn:
    raise BadFile([Problem(place, what, instead)])
