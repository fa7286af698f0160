"""Connectors in a line each, for tests."""

from pathlib import Path

from baycompanion.wiring.connector import Connector, read_connector
from baycompanion.wiring.plan import Plan

DEMO = Path(__file__).parents[2] / "demo" / "connectors"
SHIPPED = sorted(DEMO.glob("*.yaml"))


def written(name: str, side: str, *pins: str) -> str:
    """Return the text of a connector file; each pin is the inside of a flow mapping."""
    head = f"connector: {name}\ntitle: The {name}\nside: {side}\nsource: Invented\npins:\n"
    return head + "".join(f"  - {{ {pin} }}\n" for pin in pins)


def connector(name: str, side: str, *pins: str) -> Connector:
    """Return a connector that was read from such a text."""
    return read_connector(written(name, side, *pins), f"{name}.yaml")


def vehicle(*pins: str) -> Connector:
    return connector("vehicle", "vehicle", *pins)


def receiver(*pins: str) -> Connector:
    return connector("receiver", "receiver", *pins)


def extra(*pins: str) -> Connector:
    return connector("extra", "extra", *pins)


def shipped(*names: str) -> list[Connector]:
    """Return connectors of the demo by the names of their files."""
    paths = [DEMO / f"{name}.yaml" for name in names]
    return [read_connector(path.read_text(encoding="utf-8"), path.name) for path in paths]


def joined(plan: Plan) -> dict[str, tuple[str, ...]]:
    """Return the names of the leads in each join, by its id."""
    return {join.id: tuple(lead.name for lead in join.leads) for join in plan.joins}


def left(plan: Plan) -> dict[str, str]:
    """Return why each lead is left over, by its name."""
    return {each.lead.name: each.why for each in plan.left_over}


def rules(plan: Plan) -> list[str]:
    """Return the rules that are broken."""
    return [each.rule for each in plan.problems]
