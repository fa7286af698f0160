"""`schema`: the JSON Schema of what people write and what the program writes."""

from collections.abc import Callable
from typing import Any

from baycompanion.exits import Exit
from baycompanion.job.record.whole import JobRecord
from baycompanion.job.state.parts_order import OrderFile
from baycompanion.out import data_json
from baycompanion.play.schema import script_schema
from baycompanion.procedure.schema import DIALECT, AsWritten, procedure_schema
from baycompanion.text.described import Described
from baycompanion.wiring.model import ConnectorFile

RECORD_ID = "urn:baycompanion:schema:record"
ORDER_ID = "urn:baycompanion:schema:order"
CONNECTOR_ID = "urn:baycompanion:schema:connector"


def print_schema(what: str) -> int:
    """Print the schema of `what`: a procedure, a record, a script, a connector or an order."""
    data_json(_SCHEMAS[what]())
    return Exit.DONE


def record_schema() -> dict[str, Any]:
    """Return the JSON Schema (2020-12) of a job record."""
    schema = JobRecord.model_json_schema(mode="serialization", schema_generator=Described)
    title = "A job record of baycompanion"
    return {"$schema": DIALECT, "$id": RECORD_ID, **schema, "title": title}


def connector_schema() -> dict[str, Any]:
    """Return the JSON Schema (2020-12) of a connector file, its values as an editor sees them."""
    schema = ConnectorFile.model_json_schema(schema_generator=AsWritten)
    title = "A connector file of baycompanion"
    return {"$schema": DIALECT, "$id": CONNECTOR_ID, **schema, "title": title}


def order_schema() -> dict[str, Any]:
    """Return the JSON Schema (2020-12) of an order of parts, as an editor sees its values."""
    schema = OrderFile.model_json_schema(schema_generator=AsWritten)
    title = "An order of parts of baycompanion"
    return {"$schema": DIALECT, "$id": ORDER_ID, **schema, "title": title}


_SCHEMAS: dict[str, Callable[[], dict[str, Any]]] = {
    "procedure": procedure_schema,
    "record": record_schema,
    "script": script_schema,
    "connector": connector_schema,
    "order": order_schema,
}
