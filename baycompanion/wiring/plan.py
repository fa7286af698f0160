"""The splice plan: which leads come together, which are left over, and what keeps others apart."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from baycompanion.text.problem import Place, Problem
from baycompanion.trade.splicing import Cap
from baycompanion.wiring.caps import CapChoice, choose_cap
from baycompanion.wiring.connector import Connector, Lead, Order
from baycompanion.wiring.functions import GROUND, PLACES, UNKNOWN
from baycompanion.wiring.grouping import grouped, refuse_names
from baycompanion.wiring.measuring import HOW_TO_MEASURE, IN_THE_LEAFLET, YELLOW
from baycompanion.wiring.never import Refusal, refusal
from baycompanion.wiring.notes import comes_together, has_supply, notes_on, why_left_over
from baycompanion.wiring.pairs import half_joined


@dataclass(frozen=True, slots=True)
class Join:
    """Leads that come together in one splice."""

    id: str
    """Its name in small letters: its function, numbered from the second of that function on."""
    function: str
    leads: tuple[Lead, ...]
    cap: CapChoice
    notes: tuple[str, ...]

    def __str__(self) -> str:
        """Return one line that says what is joined, for a tick beside it."""
        return f"{self.id}: {' with '.join(map(_told, self.leads))}"


@dataclass(frozen=True, slots=True)
class LeftOver:
    """A lead that joins nothing, and is insulated by itself."""

    lead: Lead
    why: str

    def __str__(self) -> str:
        """Return one line that says which lead it is, for a tick beside it."""
        return f"{_told(self.lead)}: {self.lead.function}, {self.lead.side} side"


@dataclass(frozen=True, slots=True)
class Trouble:
    """Leads that may not be joined, or not before more is known."""

    kind: Literal["forbidden", "unknown"]
    rule: str
    """The rule that is broken, or `unknown-function`."""
    leads: tuple[Lead, ...]
    what: str
    instead: str
    place: Place
    how: tuple[str, ...] = ()
    """How to measure the lead, step by step; empty where that is of no use."""

    def __str__(self) -> str:
        """Return it as a problem of a file is told."""
        return str(Problem(self.place, self.what, self.instead))


@dataclass(frozen=True, slots=True)
class Plan:
    """The whole of it: every lead stands in just one of the three."""

    joins: tuple[Join, ...]
    left_over: tuple[LeftOver, ...]
    problems: tuple[Trouble, ...]


def plan_splices(connectors: Sequence[Connector], caps: Sequence[Cap] = ()) -> Plan:
    """Return the plan that joins the leads of `connectors` by function.

    The order of the connectors does not matter, and colours change no join. Without `caps`, or
    where a gauge is not known, a join says what is missing for its cap.

    Raises:
        BadFile: Two connectors share a name, or a `join:` leads nowhere.
    """
    refuse_names(connectors)
    leads = sorted((lead for each in connectors for lead in each.leads), key=_order)
    problems = [trouble for lead in leads if (trouble := _set_aside(lead))]
    aside = {trouble.leads[0] for trouble in problems}
    joined: list[tuple[Lead, ...]] = []
    left: list[LeftOver] = []
    for group in grouped([lead for lead in leads if lead not in aside]):
        if comes_together(group) and (trouble := _forbidden(group)):
            problems.append(trouble)
        elif comes_together(group) and has_supply(group):
            joined.append(group)
        else:
            left += [LeftOver(lead, why_left_over(lead, group, leads)) for lead in group]
    whole, halves = _speakers_whole(joined)
    problems += halves
    return Plan(
        tuple(_joins(whole, caps)),
        tuple(sorted(left, key=lambda each: _order(each.lead))),
        tuple(sorted(problems, key=lambda each: (each.kind, _order(each.leads[0])))),
    )


def _order(lead: Lead) -> Order:
    return lead.order


def _set_aside(lead: Lead) -> Trouble | None:
    """Return why `lead` comes into no join, whatever its file says, or None."""
    if lead.side == "vehicle" and lead.sleeve == YELLOW:
        what = f"{lead.name} is in a yellow sleeve, which marks airbag circuits on many vehicles"
        instead = "Neither measure it nor join it; ask the vehicle maker's diagram what it is"
        return Trouble("forbidden", "yellow-sleeve", (lead,), what, instead, lead.place)
    if lead.function != UNKNOWN:
        return None
    what = f"The function of {lead.name} is not known, so it joins nothing"
    on_vehicle = lead.side == "vehicle"
    instead = "Measure it, and write the function that you find" if on_vehicle else IN_THE_LEAFLET
    how = HOW_TO_MEASURE if on_vehicle else ()
    return Trouble("unknown", "unknown-function", (lead,), what, instead, lead.place, how)


def _forbidden(group: tuple[Lead, ...]) -> Trouble | None:
    refused = refusal(group)
    return None if refused is None else _refused(group, refused)


def _refused(group: tuple[Lead, ...], why: Refusal) -> Trouble:
    asking = next((lead for lead in group if lead.join is not None), group[-1])
    return Trouble("forbidden", why.rule, group, why.what, why.instead, asking.place)


def _speakers_whole(
    groups: Sequence[tuple[Lead, ...]],
) -> tuple[list[tuple[Lead, ...]], list[Trouble]]:
    """Return the groups that may be joined, and why speakers that are only half there may not."""
    counted = Counter(map(_function, groups))
    whole, halves = [], []
    for group in groups:
        refused = half_joined(_function(group), group, counted)
        if refused is None:
            whole.append(group)
        else:
            halves.append(_refused(group, refused))
    return whole, halves


def _joins(groups: Sequence[tuple[Lead, ...]], caps: Sequence[Cap]) -> Iterator[Join]:
    """Yield the joins in the order of their functions, then of their first leads."""
    counted: Counter[str] = Counter()
    ordered = sorted(groups, key=lambda group: (PLACES[_function(group)], _order(group[0])))
    for group in ordered:
        word = _function(group)
        counted[word] += 1
        name = word if counted[word] == 1 else f"{word}-{counted[word]}"
        yield Join(name, word, group, choose_cap(group, caps), notes_on(group))


def _function(group: tuple[Lead, ...]) -> str:
    """Return the function of a join: that of the lead that supplies it, else of the first."""
    ordered = sorted(group, key=lambda lead: (lead.function == GROUND, not lead.supplies))
    return ordered[0].function


def _told(lead: Lead) -> str:
    return f"{lead.connector} {lead.pin} {lead.colours}".rstrip()
