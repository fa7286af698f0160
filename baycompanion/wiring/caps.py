"""The cap of each join: chosen by the sum `splice`, or what is missing for that."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from baycompanion.trade.splicing import MOST_CAPS, MOST_LEADS, Cap, read_cap
from baycompanion.wiring.connector import Lead


@dataclass(frozen=True, slots=True)
class CapChoice:
    """Which cap holds a join."""

    verdict: Literal["good", "bad", "not-known"]
    name: str | None
    """The cap to take; None where none fits, or where it is not known."""
    area_cmil: Decimal | None
    """The copper of all leads, in circular mils; None where it is not known."""
    because: str
    """The verdict in words, or what is missing."""


def read_caps(text: str) -> tuple[Cap, ...]:
    """Return the caps in a text like `grey 1500-6500, red 800-3000`.

    Raises:
        ValueError: One of them is no cap, two share a name, or there are none or more than 20;
            the message is one sentence.
    """
    typed = [each.strip() for each in text.split(",")]
    if not 1 <= len(typed) <= MOST_CAPS:
        raise ValueError(f"These are {len(typed)} caps. Type {MOST_CAPS} at most, those in use.")
    caps = tuple(_read(each) for each in typed)
    names = [cap.name.casefold() for cap in caps]
    for name in names:
        if names.count(name) > 1:
            raise ValueError(f"Two caps are called “{name}”. Give each its own name.")
    return caps


def _read(text: str) -> Cap:
    try:
        cap = read_cap(text)
    except ValueError:
        raise ValueError(
            f"“{text[:40]}” is no cap. Type its name and its least and most circular mils, from "
            "100 to 500000, like grey 1500-6500."
        ) from None
    assert isinstance(cap, Cap)
    return cap


def choose_cap(leads: Sequence[Lead], caps: Sequence[Cap]) -> CapChoice:
    """Return the cap of `caps` that holds `leads`, by the sum `splice`."""
    from baycompanion.trade.catalogue import work  # with every sum, and only here

    without = [lead.name for lead in leads if lead.wire is None]
    if without:
        return _not_known(f"The gauge is not known of {', '.join(without)}.")
    if not caps:
        return _not_known("No caps are given: write the shop's own.")
    if len(leads) > MOST_LEADS:
        return _not_known(f"{len(leads)} leads are too many for one cap: split the splice.")
    worked = work(
        "splice",
        {
            "awg": ",".join(str(lead.wire) for lead in leads),
            "caps": ",".join(map(str, caps)),
        },
    )
    return CapChoice(
        worked.verdict,
        worked.results.get("cap"),
        Decimal(worked.results["area_cmil"]),
        worked.because,
    )


def _not_known(because: str) -> CapChoice:
    return CapChoice("not-known", None, None, because)
