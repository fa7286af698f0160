"""Looking for an ended job: what is asked, how each that fits is shown, what is said of none."""

from collections.abc import Mapping, Sequence

from baycompanion.job.events.kinds import Opened
from baycompanion.job.state.sought import bare
from baycompanion.text.clean import clean_line
from baycompanion.text.counted import counted
from baycompanion.text.problem import quoted
from baycompanion.views.board.board import ended_line
from baycompanion.views.board.line import BoardLine
from baycompanion.views.card.card import Field, Form, Piece

MOST_FOUND = 30
"""Jobs that are shown where more fit. Own choice: who would have to look through more types more
of the plate sooner."""

MOST_NAMED = 3
"""Jobs under way that are named where no ended one fits."""


ELSE_TO_FIND = "Type less of it."
ELSE_TO_COME_BACK = "Type less of it, or start a job without an earlier one."
"""What to do where none fits, by what the job is wanted for."""


def find_form() -> Form[str]:
    """Ask for the plate, the VIN or the work order of an ended job."""

    def make(given: Mapping[str, str]) -> str:
        return clean_line(given["sought"])

    lead = (Piece("plain", "A part is enough. Blanks, hyphens and case do not count."),)
    fields = (Field("sought", "Plate, VIN or work order"),)
    return Form("Find an ended job", fields, make, lead, accept="Find")


def came_back_form() -> Form[str]:
    """Ask the same of the job that a vehicle comes back from."""
    form = find_form()
    return Form("Which job does it come back from?", form.fields, form.make, form.lead, "Find")


def found_title(sought: str, number: int) -> str:
    """Return how many ended jobs fit."""
    fit = "fits" if number == 1 else "fit"
    return f"{counted(number, 'ended job')} {fit} {quoted(sought)}"


def found_more(number: int) -> str:
    """Return what is said of the jobs that fit and are not shown; empty where there are none."""
    if number <= MOST_FOUND:
        return ""
    return f"These are the newest {MOST_FOUND} of {number:,}. Type more of it to see fewer."


def found_line(folder: str, opened: Opened, opened_at: str, standing: str) -> BoardLine:
    """Return the line of an ended job that fits, with what the vehicle is told by below it."""
    vehicle = opened.vehicle
    known = {"plate": vehicle.plate, "VIN": vehicle.vin}
    told = " · ".join(f"{name} {value}" for name, value in known.items() if value)
    return BoardLine("ended", ended_line(opened, opened_at, standing), told, folder)


def none_fits(sought: str, under_way: Sequence[Opened], unread: int, otherwise: str) -> str:
    """Return what is said where no ended job fits, and what to do.

    Args:
        sought: What was typed.
        under_way: The jobs under way that it fits.
        unread: How many jobs cannot be read.
        otherwise: What else can be done.
    """
    if not bare(sought):
        return f"{quoted(sought)} has no letter and no digit. Type some of what is sought."
    said = [f"No ended job has {quoted(sought)} in its plate, VIN or work order."]
    if under_way:
        orders = ", ".join(opened.work_order for opened in under_way[:MOST_NAMED])
        more = ", …" if len(under_way) > MOST_NAMED else ""
        said.append(f"Under way, and on the board: {orders}{more}.")
    if unread:
        cannot = "job cannot be read and may be it" if unread == 1 else "jobs cannot be read"
        said.append(f"{unread:,} {cannot}: the board says why.")
    return " ".join([*said, otherwise])
