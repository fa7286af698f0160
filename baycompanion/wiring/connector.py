"""A connector read from its file: its leads as plain values that know where they stand."""

import re
from dataclasses import dataclass, field
from decimal import Decimal

from baycompanion.text.problem import BadFile, Place, Problem
from baycompanion.text.to_model import place_of, to_model
from baycompanion.text.yaml_nodes import Node, read_yaml
from baycompanion.trade.copper import Wire
from baycompanion.wiring.functions import FUNCTIONS, PLACES, SIDES, Function, Side
from baycompanion.wiring.model import ConnectorFile, Pin

Order = tuple[int, int, str, list[tuple[int, str]]]

_DIGITS = re.compile("([0-9]+)")


@dataclass(frozen=True, slots=True)
class Lead:
    """One lead of one connector."""

    connector: str
    side: Side
    pin: str
    function: str
    colour: str | None = None
    stripe: str | None = None
    sleeve: str | None = None
    wire: Wire | None = None
    """Its gauge or area; None where it is not known."""
    current_a: Decimal | None = None
    """In A: what it can give where it supplies, else what it draws; None where not known."""
    supplies: bool = False
    """Whether it gives what its function says."""
    bridged: bool | None = None
    grounded: bool = False
    join: str | None = None
    """The name of the lead it joins, `none`, or None to go by its function."""
    place: Place = field(default=Place("", 1, 1), compare=False)

    @property
    def name(self) -> str:
        """What it is called in files: `receiver/4`."""
        return f"{self.connector}/{self.pin}"

    @property
    def id(self) -> str:
        """Its name in small letters, digits and hyphens; no two leads of a plan share one."""
        return f"{self.connector}-{self.pin}".lower()

    @property
    def means(self) -> Function:
        """Its function, with all that is known of that."""
        return FUNCTIONS[self.function]

    @property
    def colours(self) -> str:
        """Its colour and stripe as they are said: `orange/white`; empty where not known."""
        return "/".join(each for each in (self.colour, self.stripe) if each)

    @property
    def order(self) -> Order:
        """What leads are sorted by: function, side, connector, and pin, 9 before 10."""
        parts = [part for part in _DIGITS.split(self.pin.lower()) if part]
        natural = [(int(part), "") if part.isdigit() else (-1, part) for part in parts]
        return PLACES[self.function], SIDES.index(self.side), self.connector, natural


@dataclass(frozen=True, slots=True)
class Connector:
    """One connector with its leads, in the order of its file."""

    id: str
    title: str
    side: Side
    source: str
    leads: tuple[Lead, ...]
    place: Place = field(default=Place("", 1, 1), compare=False)


def read_connector(text: str, file: str) -> Connector:
    """Return the connector that `text` spells; `file` names it in problems.

    Raises:
        BadFile: With every problem of the file, each at its place.
    """
    node = read_yaml(text, file)
    told = to_model(ConnectorFile, node)
    if twice := list(_twice(told, node)):
        raise BadFile(twice)
    leads = tuple(
        _lead(told, pin, place_of(node, ("pins", number))) for number, pin in enumerate(told.pins)
    )
    place = place_of(node, ("connector",))
    return Connector(told.connector, told.title, told.side, told.source, leads, place)


def _twice(told: ConnectorFile, node: Node) -> list[Problem]:
    """Return a problem for each pin whose name stood before, capitals or not."""
    first: dict[str, int] = {}
    found = []
    for number, pin in enumerate(told.pins):
        before = first.setdefault(pin.pin.lower(), number)
        if before != number:
            line = place_of(node, ("pins", before, "pin")).line
            place = place_of(node, ("pins", number, "pin"))
            what = f"Pin {pin.pin} stands twice, first in line {line}"
            found.append(Problem(place, what, "Keep one"))
    return found


def _lead(told: ConnectorFile, pin: Pin, place: Place) -> Lead:
    wire = None
    if pin.awg is not None or pin.area_mm2 is not None:
        wire = Wire(pin.awg, pin.area_mm2)
    by_side = FUNCTIONS[pin.function].supplied_by == told.side
    return Lead(
        connector=told.connector,
        side=told.side,
        pin=pin.pin,
        function=pin.function,
        colour=pin.colour,
        stripe=pin.stripe,
        sleeve=pin.sleeve,
        wire=wire,
        current_a=pin.current_a,
        supplies=bool(pin.bridged) or (by_side if pin.supplies is None else pin.supplies),
        bridged=pin.bridged,
        grounded=pin.grounded,
        join=pin.join,
        place=place,
    )
