"""Whether the log of the staff file is still the chain that it was written as."""

from collections.abc import Iterator
from pathlib import Path

from baycompanion.audit.chains.chain_break import How, first_break
from baycompanion.audit.chains.integrity import ASK, told_break
from baycompanion.audit.findings import Finding, Rule
from baycompanion.store.reading import read_bytes
from baycompanion.store.staff.staff_log import NAME, read_staff_log
from baycompanion.store.trouble import StoreTrouble

BROKEN: dict[How, Rule] = {
    "changed": Rule("staff-log-changed", "grave"),
    "missing": Rule("staff-log-missing", "grave"),
    "extra": Rule("staff-log-extra", "grave"),
    "reordered": Rule("staff-log-reordered", "grave"),
}
TORN = Rule("staff-log-torn", "minor")


def audit_staff_log(shop: Path) -> Iterator[Finding | StoreTrouble]:
    """Yield where the log in the folder `shop` breaks, and whether its end is torn.

    A shop without one has changed nobody's entry by command, and nothing is told.
    """
    path = shop / NAME
    if not path.exists():
        return
    try:
        whole, newline, torn = read_bytes(path).rpartition(b"\n")
        broken = first_break(whole.split(b"\n") if newline else ())
        if broken is None:
            read_staff_log(path)
    except StoreTrouble as trouble:
        yield trouble
        return
    if broken is not None:
        told = told_break(broken, "line", NAME)
        yield Finding(
            BROKEN[broken.how],
            f"{told} It says who changed whose entry in staff.yaml; compare the two. {ASK}",
        )
    if torn:
        yield Finding(
            TORN,
            f"{NAME} ends with {len(torn)} bytes that are no whole line. A crash leaves this, and "
            "the next change sets them aside; look whether the last change of the staff is there.",
        )
