"""Speakers of which one lead would be joined and the other not: neither is, on a bridged output.

Where a vehicle's speakers return through the body, it has no minus to join. The plus of a bridged
output would then drive the speaker against ground. Common practice, no source.
"""

from collections.abc import Mapping, Sequence

from baycompanion.wiring.connector import Lead
from baycompanion.wiring.never import Refusal

_OTHER = {"plus": "minus", "minus": "plus"}


def half_joined(function: str, leads: Sequence[Lead], joins: Mapping[str, int]) -> Refusal | None:
    """Return why the join of `leads` may not stand alone, or None where it may.

    `joins` counts the joins that are to be made of each function.
    """
    place, _, sign = function.rpartition("-")
    driving = [lead for lead in leads if lead.supplies and lead.function == function]
    if sign not in _OTHER or all(lead.bridged is False for lead in driving):
        return None
    other = f"{place}-{_OTHER[sign]}"
    if joins.get(other, 0) >= joins[function]:
        return None
    return Refusal(
        "speaker-half-joined",
        f"The {sign} of this speaker would be joined and its {_OTHER[sign]} not, "
        f"{' with '.join(lead.name for lead in leads)}: a bridged output drives both",
        f"Find the lead that is {other}; where the speaker returns through the body, run two "
        "leads to it, or write bridged: no if the output's maker says so",
    )
