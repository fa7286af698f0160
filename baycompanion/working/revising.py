"""The form that moves a job to the newer revision of its procedure on the shelf."""

from collections.abc import Mapping

from baycompanion.job.deciding.draft import Refused
from baycompanion.procedure.comparing.changes import changes
from baycompanion.procedure.load import Loaded
from baycompanion.store.shelf import find_procedure, read_procedure
from baycompanion.views.card.card import Field, Form, Piece
from baycompanion.views.forms.signing import LOCKED
from baycompanion.views.procedure.changes import change_lines
from baycompanion.views.sentence import refusal
from baycompanion.working.at_work import AtWork


def newer_revision(work: AtWork) -> Loaded | None:
    """Return the procedure of the job as the shelf holds it now, None where it is no newer.

    Raises:
        StoreTrouble: The shelf holds it no more, or it cannot be read.
        BadFile: It does not say what it should.
    """
    opened = work.job.state.opened
    loaded = read_procedure(find_procedure(opened.procedure, work.shop.procedures))
    return loaded if loaded.procedure.revision > opened.revision else None


def why_not_now(work: AtWork, newer: Loaded) -> str:
    """Return why the job goes on by `newer` for no reason now, empty where one is to be asked.

    Raises:
        BadFile: The newer revision has errors.
        StoreTrouble: The technician is not on the staff.
    """
    if work.seat.locked:
        return f"{LOCKED} Sign on first."
    who = work.shop.person(work.job.state.technician)
    refused = work.job.revision_refused(newer, who, work.now())
    return refusal(refused) if refused is not None else ""


def revise_form(work: AtWork, newer: Loaded) -> Form[str]:
    """Say what `newer` changes in the job, and ask why it goes on by that."""

    def make(given: Mapping[str, str]) -> str:
        return given["words"]

    old, new, state = work.job.procedure, newer.procedure, work.job.state
    lead: list[Piece] = []
    for heading, lines in change_lines(old, new, state, changes(old, new)):
        lead.append(Piece("label", f"{heading}:"))
        lead.extend(Piece("plain", f"• {line}") for line in lines)
    title = f"Go on by revision {new.revision} instead of {state.opened.revision}"
    return Form(title, (Field("words", "Why"),), make, tuple(lead), accept="Go on by it")


def go_on_by(work: AtWork, newer: Loaded, words: str) -> str | None:
    """Move the job to `newer`; return the sentence that says why not, or None.

    Raises:
        BadFile: The newer revision has errors.
        StoreTrouble: The disk refused.
    """
    if work.seat.locked:
        return f"{LOCKED} Sign on first."
    who = work.shop.person(work.job.state.technician)
    result = work.job.revise(newer, words, who, work.now())
    return refusal(result) if isinstance(result, Refused) else None
