"""What is said of a join beside its leads, and why a lead joins nothing."""

from collections.abc import Sequence

from baycompanion.wiring.connector import Lead
from baycompanion.wiring.functions import ANTENNA, GROUND, TRIGGER
from baycompanion.wiring.model import NO_JOIN

_SPEAKER = ("speaker-plus", "speaker-minus")
_OTHER_OUTPUT = {ANTENNA: TRIGGER, TRIGGER: ANTENNA}


def notes_on(leads: Sequence[Lead]) -> tuple[str, ...]:
    """Return what whoever makes this join should know."""
    notes = []
    colours = dict.fromkeys(lead.colours for lead in leads if lead.colour)
    if len(colours) > 1:
        notes.append(f"Colours differ ({', '.join(colours)}): the function counts.")
    speakers = [lead for lead in leads if lead.side == "vehicle" and lead.means.kind in _SPEAKER]
    if len(speakers) > 1:
        notes.append(
            f"{len(speakers)} speaker leads of the vehicle share one output: work out the load "
            "with the sum speaker-load first."
        )
    functions = dict.fromkeys(lead.function for lead in leads)
    if len(functions) > 1:
        notes.append(f"Functions differ ({', '.join(functions)}): a file joins them.")
    return tuple(notes)


def comes_together(group: Sequence[Lead]) -> bool:
    """Return whether these leads meet: on two sides, or because one names another."""
    if len(group) < 2:
        return False
    sides = {lead.side for lead in group}
    return len(sides) > 1 or any(lead.join is not None for lead in group)


def has_supply(group: Sequence[Lead]) -> bool:
    """Return whether a lead gives what the others need, where their function needs any."""
    needing = [lead for lead in group if lead.means.supplied_by and lead.function != GROUND]
    grounds = [lead for lead in group if lead.function == GROUND]
    if needing:
        return any(lead.supplies for lead in needing)
    return not grounds or any(lead.supplies for lead in grounds)


def why_left_over(lead: Lead, group: Sequence[Lead], leads: Sequence[Lead]) -> str:
    """Return why `lead`, whose group has not become a join, joins nothing."""
    if lead.join == NO_JOIN:
        return "Its file leaves it over."
    if lead.join is not None and len(group) == 1:
        return f"It waits for {lead.join}, which joins nothing before it is known."
    if comes_together(group):
        return f"Nothing here supplies it.{_missing(lead)}"
    return f"Only the {lead.side} side has it.{_missing(lead)}{_hint(lead, leads)}"


def _missing(lead: Lead) -> str:
    """Return what it means that the equipment does without, and what to do."""
    said = lead.means.missing if lead.side != "vehicle" else ""
    return f" {said[0].upper()}{said[1:]}." if said else ""


def _hint(lead: Lead, leads: Sequence[Lead]) -> str:
    """Return which output may do for one that is not there, where currents allow it."""
    other = _OTHER_OUTPUT.get(lead.function)
    for each in leads:
        if each.function == other and each.supplies and not lead.supplies and each.join != NO_JOIN:
            return (
                f" Its join: may be {each.name} ({other}), if current-a on both shows that the "
                "current is enough."
            )
    return ""
