"""The joins that are never made, each rule with what to do in its place.

Common practice, no source, where a rule names none. A join that breaks several is told by the
first, which says most.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from baycompanion.trade.model import plain
from baycompanion.wiring.connector import Lead
from baycompanion.wiring.functions import ANTENNA, BRAKE, DIMMER, GROUND, LIT_DASH, TRIGGER, Kind

_OUTPUTS = {ANTENNA, TRIGGER}


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why leads are not joined."""

    rule: str
    what: str
    instead: str


def refusal(leads: Sequence[Lead]) -> Refusal | None:
    """Return why `leads` may not come together, or None where they may."""
    for rule in RULES:
        told = rule(leads)
        if told is not None:
            return Refusal(rule.__name__.replace("_", "-"), *told)
    return None


Told = tuple[str, str] | None


def lit_dash_to_ground(leads: Sequence[Lead]) -> Told:
    """Refuse the lamps' feed on ground: it blows their fuse as soon as they are lit."""
    return _one_on_ground(
        _of_function(leads, LIT_DASH),
        leads,
        "blows the lamps' fuse when they are lit",
        "Insulate it, or join it to the vehicle's lit-dash-feed",
    )


def dimmer_to_ground(leads: Sequence[Lead]) -> Told:
    """Refuse a dimmer on ground: some work on the return of the lamps, and are shorted there."""
    return _one_on_ground(
        _of_function(leads, DIMMER),
        leads,
        "shorts the vehicle's dimmer",
        "Insulate it; the equipment's ground goes to a ground of the vehicle",
    )


def parking_brake_to_ground(leads: Sequence[Lead]) -> Told:
    """Refuse the brake's lead on ground: pictures would show while the vehicle is driven.

    Local codes forbid that in many places. A lead that its switch grounds is not `grounded`.
    """
    return _one_on_ground(
        _of_function(leads, BRAKE),
        leads,
        "tells the equipment that the vehicle always stands",
        "Join it to the switch of the parking brake",
    )


def speaker_minus_to_ground(leads: Sequence[Lead]) -> Told:
    """Refuse a speaker's minus on ground: a bridged output drives both leads, and burns out."""
    minus = _of_kind(leads, "speaker-minus")
    if not minus or not _grounds(leads):
        return None
    driving = [lead for lead in _of_kind(leads, "speaker-minus") if lead.supplies]
    if driving and all(lead.bridged is False for lead in driving):
        return None
    bridged = [lead for lead in driving if lead.bridged]
    said = (
        f"{bridged[0].name} is a bridged output"
        if bridged
        else "nothing here says that the output is not bridged"
    )
    return (
        f"The minus of a speaker comes to ground at {_names(_grounds(leads))}, and {said}",
        "Run both leads of the speaker to the output; if its maker says that it is not bridged, "
        "write bridged: no",
    )


def speaker_plus_to_ground(leads: Sequence[Lead]) -> Told:
    """Refuse a speaker's plus on ground: it is a short, whatever the output."""
    return _one_on_ground(
        _of_kind(leads, "speaker-plus"), leads, "shorts the output", "Run it to the speaker's plus"
    )


def feed_to_ground(leads: Sequence[Lead]) -> Told:
    """Refuse a feed on ground: it is a short."""
    return _one_on_ground(
        _of_kind(leads, "feed", "output"),
        leads,
        "is a short circuit",
        "Measure both leads, and mend the file that is wrong",
    )


def feed_to_speaker(leads: Sequence[Lead]) -> Told:
    """Refuse a feed on a speaker's lead: it burns out the output, or the speaker."""
    fed = _of_kind(leads, "feed", "output")
    speakers = _of_kind(leads, "speaker-plus", "speaker-minus")
    if not fed or not speakers:
        return None
    what = f"{_said(fed[0])} comes to a lead of a speaker, {_said(speakers[0])}: that burns it out"
    return what, "Measure both leads, and mend the file that is wrong"


def feeds_of_different_kind(leads: Sequence[Lead]) -> Told:
    """Refuse feeds of different kind: one would feed what the other turns off, past its fuse."""
    functions = dict.fromkeys(lead.function for lead in _of_kind(leads, "feed", "output"))
    if len(functions) < 2 or set(functions) == _OUTPUTS:
        return None
    return (
        f"Two feeds of different kind come together, {' and '.join(functions)}: "
        f"{_names(_of_kind(leads, 'feed', 'output'))}",
        "Join each to its own kind",
    )


def speakers_crossed(leads: Sequence[Lead]) -> Told:
    """Refuse leads of different speakers: they short an output, or drive two against each other."""
    functions = dict.fromkeys(
        lead.function for lead in _of_kind(leads, "speaker-plus", "speaker-minus")
    )
    if len(functions) < 2:
        return None
    return (
        f"Leads of speakers that differ come together, {' and '.join(functions)}",
        "Join each to its own kind",
    )


def functions_that_differ(leads: Sequence[Lead]) -> Told:
    """Refuse a join across functions that is no known exception: it is never guessed safe."""
    functions = dict.fromkeys(lead.function for lead in leads)
    minus = {lead.function for lead in _of_kind(leads, "speaker-minus")}
    if len(functions) < 2 or set(functions) == _OUTPUTS or set(functions) == {GROUND, *minus}:
        return None
    return (
        f"These leads have functions that differ, {' and '.join(functions)}: {_names(leads)}",
        "Delete join:, or mend the function that is wrong",
    )


def two_supply(leads: Sequence[Lead]) -> Told:
    """Refuse two that supply: they bypass each other's fuse, or drive against each other."""
    givers = _givers(leads)
    if len(givers) < 2:
        return None
    if givers[0].means.kind in ("speaker-plus", "speaker-minus"):
        instead = (
            "Plan what goes into an amplifier and what comes out of it apart: write join: on both"
            " ends of each pair"
        )
    else:
        instead = "Write join: none on each that is not used"
    return f"{len(givers)} leads supply {givers[0].function}: {_names(givers)}", instead


def above_its_current(leads: Sequence[Lead]) -> Told:
    """Refuse leads that together draw more than the one that supplies them can give."""
    givers = [lead for lead in _givers(leads) if lead.means.kind in ("feed", "output")]
    if not givers:
        return None
    giver, drawing = givers[0], [lead for lead in leads if lead not in givers]
    unknown = [lead for lead in (giver, *drawing) if lead.current_a is None]
    if unknown and {lead.function for lead in leads} == _OUTPUTS:
        return (
            f"An {ANTENNA} and an {TRIGGER} come together, and the current of "
            f"{_names(unknown)} is not known",
            "Write current-a: what the one can give and the others draw, by their makers",
        )
    drawn = sum((lead.current_a or Decimal() for lead in drawing), Decimal())
    if giver.current_a is None or drawn <= giver.current_a:
        return None
    return (
        f"{_names(drawing)} may draw {plain(drawn)} A, and {_said(giver)} gives "
        f"{plain(giver.current_a)} A at most",
        "Put a relay with a fused feed of its own between them",
    )


RULES: tuple[Callable[[Sequence[Lead]], Told], ...] = (
    lit_dash_to_ground,
    dimmer_to_ground,
    parking_brake_to_ground,
    speaker_minus_to_ground,
    speaker_plus_to_ground,
    feed_to_ground,
    feed_to_speaker,
    feeds_of_different_kind,
    speakers_crossed,
    functions_that_differ,
    two_supply,
    above_its_current,
)
"""Every rule, the one that says most before those that say less."""


def _one_on_ground(found: list[Lead], leads: Sequence[Lead], harm: str, instead: str) -> Told:
    grounds = _grounds(leads)
    if not found or not grounds:
        return None
    if found[0] in grounds:
        return f"{_said(found[0])} is tied to ground, which {harm}", instead
    return f"{_said(found[0])} comes to ground at {_names(grounds)}, which {harm}", instead


def _grounds(leads: Sequence[Lead]) -> list[Lead]:
    return [lead for lead in leads if lead.function == GROUND or lead.grounded]


def _givers(leads: Sequence[Lead]) -> list[Lead]:
    return [lead for lead in leads if lead.supplies and lead.function != GROUND]


def _of_function(leads: Sequence[Lead], word: str) -> list[Lead]:
    return [lead for lead in leads if lead.function == word]


def _of_kind(leads: Sequence[Lead], *kinds: Kind) -> list[Lead]:
    return [lead for lead in leads if lead.means.kind in kinds]


def _said(lead: Lead) -> str:
    return f"{lead.name} ({lead.function})"


def _names(leads: Sequence[Lead]) -> str:
    """Return the names of some leads, the first six of many."""
    more = f" and {len(leads) - 6} more" if len(leads) > 6 else ""
    return ", ".join(lead.name for lead in leads[:6]) + more
