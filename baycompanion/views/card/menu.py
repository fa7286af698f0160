"""The menu of a job: what it offers from any step besides its keys."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from baycompanion.job.state.state import State
from baycompanion.views.card.card import Deed, Form
from baycompanion.views.forms import job_forms
from baycompanion.views.forms.circuit_forms import borrow_form, give_back_form

Service = Literal[
    "board",
    "sum",
    "late",
    "paper",
    "plan",
    "standing",
    "photos",
    "timeline",
    "earlier",
    "record",
    "revise",
    "ground",
]
"""Done by the program, and no event of the job."""


@dataclass(frozen=True, slots=True)
class MenuEntry:
    """One line of the menu, and what it leads to."""

    label: str
    does: Form[Deed] | Service


_ADDING = frozenset(("note", "photo", "pause", "fault", "reopen"))
_IN_MENU = frozenset(("clear", "hand over", "circuit", "plan", "revise", "give up"))
"""What `menu` leaves out of an ended job, by the words of who types a line."""
_ENDED = _ADDING | _IN_MENU
_REFUSED = {"paused": frozenset(("pause", "reopen")), "closed": _ENDED, "abandoned": _ENDED}


def refused_now(state: State) -> frozenset[str]:
    """Return what is refused, whatever is typed after it, as the job stands."""
    return _REFUSED.get(state.status, frozenset())


ALL_STANDING = MenuEntry("Read what must stay true", "standing")
"""Offered where there was no room for all of it."""


def menu(state: State, staff: Iterable[str]) -> tuple[MenuEntry, ...]:
    """Return what can be chosen now; `staff` are the ids of those who work in the shop."""
    board = MenuEntry("Back to the bay board", "board")
    work_out = MenuEntry("Work out a sum…", "sum")
    ground = MenuEntry("Light or dark", "ground")
    look = (MenuEntry("Look at the photos…", "photos"),) if state.photos else ()
    beside = (MenuEntry("Read the earlier record…", "earlier"),) if state.opened.earlier else ()
    if state.status not in ("open", "paused"):
        return (
            board,
            *beside,
            MenuEntry("Look at the timeline…", "timeline"),
            work_out,
            *look,
            ground,
        )
    entries = [board, *beside]
    clear = job_forms.clear_form(state)
    if clear is not None:
        entries.append(MenuEntry("Clear a fault…", clear))
    others = tuple(name for name in staff if name != state.technician)
    if others:
        entries.append(MenuEntry("Hand the job over…", job_forms.hand_over_form(others)))
    return (
        *entries,
        MenuEntry("This step was done earlier…", "late"),
        MenuEntry("Copy from the paper form…", "paper"),
        *_circuits(state),
        MenuEntry("Take a splice plan…", "plan"),
        work_out,
        MenuEntry("Write the record as it stands", "record"),
        MenuEntry("Go on by a newer revision…", "revise"),
        MenuEntry("Give the job up…", job_forms.abandon_form()),
        *look,
        ground,
    )


def practice_menu(state: State) -> tuple[MenuEntry, ...]:
    """Return what can be chosen in practice: nothing that reaches the shop or changes hands."""
    board = MenuEntry("Leave; the practice can be gone on with", "board")
    work_out = MenuEntry("Work out a sum…", "sum")
    ground = MenuEntry("Light or dark", "ground")
    if state.status not in ("open", "paused"):
        return MenuEntry("Leave", "board"), work_out, ground
    clear = job_forms.clear_form(state)
    return (
        board,
        *((MenuEntry("Clear a fault…", clear),) if clear is not None else ()),
        *_circuits(state),
        work_out,
        MenuEntry("Give the practice up…", job_forms.abandon_form()),
        ground,
    )


def _circuits(state: State) -> tuple[MenuEntry, ...]:
    """Return what can be done with the register of borrowed circuits."""
    back = give_back_form(state)
    given_back = (MenuEntry("Give a circuit back…", back),) if back is not None else ()
    return MenuEntry("A circuit is borrowed…", borrow_form()), *given_back
