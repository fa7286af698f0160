"""Sheets printed for tests, at one hour, and the shipped procedures they are printed of."""

from datetime import datetime, timedelta, timezone
from pathlib import Path

from bay import Bay
from paper import Node, read

from baycompanion.procedure.load import Loaded, hash_of
from baycompanion.sheets.page import draw
from baycompanion.sheets.paper import form_of_job, form_of_procedure
from baycompanion.store.shelf import list_procedures, read_procedure

WHEN = datetime(2026, 3, 2, 15, 30, tzinfo=timezone(timedelta(hours=1)))
"""The hour of printing, an hour east of the journal's zone; jobs in tests begin at 09:00 by it."""

SHIPPED = list_procedures(Path(__file__).with_name("no-shop"))
"""The procedures that ship, by name, without any of a shop's own."""


def shipped(name: str) -> Loaded:
    """Return a shipped procedure."""
    return read_procedure(SHIPPED[name])


def empty(loaded: Loaded) -> Node:
    """Return the sheet of a procedure that no job follows yet."""
    return read(draw(form_of_procedure(loaded.procedure, hash_of(loaded.pinned_text), WHEN)))


def html(bay: Bay) -> str:
    """Return the sheet of a job as it stands, as text."""
    return draw(form_of_job(bay.procedure, bay.state, WHEN))


def sheet(bay: Bay) -> Node:
    """Return the sheet of a job as it stands."""
    return read(html(bay))
