"""Which leads belong together: those of one function, and those that name each other."""

from collections.abc import Iterator, Sequence

from baycompanion.text.problem import BadFile, Problem, nearest, quoted
from baycompanion.wiring.connector import Connector, Lead
from baycompanion.wiring.model import NO_JOIN

Key = tuple[str, str]


def grouped(leads: Sequence[Lead]) -> list[tuple[Lead, ...]]:
    """Return `leads` in groups, each lead in just one; both keep the order of `leads`."""
    named = {lead.name: lead for lead in leads}
    groups: dict[Key, list[Lead]] = {}
    for lead in leads:
        groups.setdefault(_key(lead, named), []).append(lead)
    return [tuple(group) for group in groups.values()]


def _key(lead: Lead, named: dict[str, Lead]) -> Key:
    """Return what all leads of a group share: where following `join:` comes to an end."""
    passed: list[str] = []
    while lead.join is not None and lead.join != NO_JOIN:
        if lead.name in passed:  # they name each other, in a ring
            return "ring", min(passed[passed.index(lead.name) :])
        passed.append(lead.name)
        if lead.join not in named:  # it was set aside
            return "alone", lead.name
        lead = named[lead.join]
    return ("alone", lead.name) if lead.join == NO_JOIN else ("function", lead.function)


def refuse_names(connectors: Sequence[Connector]) -> None:
    """Refuse connectors that share a name, and each `join:` that leads nowhere.

    Raises:
        BadFile: With all of these.
    """
    problems = [*_shared(connectors)]
    leads = {lead.name: lead for each in connectors for lead in each.leads}
    for lead in leads.values():
        if lead.join is not None and lead.join != NO_JOIN:
            problems += _nowhere(lead, lead.join, leads)
    if problems:
        raise BadFile(problems)


def _shared(connectors: Sequence[Connector]) -> Iterator[Problem]:
    first: dict[str, Connector] = {}
    for each in sorted(connectors, key=lambda each: (each.id, each.place)):
        before = first.setdefault(each.id, each)
        if before is not each:
            what = f"A connector {quoted(each.id)} stands in {before.place.file} too"
            yield Problem(each.place, what, "Give each a name of its own, and each file once")


def _nowhere(lead: Lead, target: str, leads: dict[str, Lead]) -> Iterator[Problem]:
    if target not in leads:
        what = f"{lead.name} is to join {quoted(target)}, and there is no such lead"
        yield Problem(lead.place, what, nearest(target, sorted(leads.keys() - {lead.name})))
    elif target == lead.name:
        yield Problem(lead.place, f"{lead.name} is to join itself", "Name another lead")
    elif leads[target].join == NO_JOIN:
        what = f"{lead.name} is to join {target}, which is left over by its own join: none"
        yield Problem(lead.place, what, "Delete one of the two")
