"""What a count of fasteners lacks: the panel of a line, or a name that the vehicle leaves free."""

import re
from collections.abc import Iterator

from baycompanion.procedure.checks.findings import Findings
from baycompanion.procedure.steps import Count
from baycompanion.procedure.walk import items_at, steps_at
from baycompanion.text.problem import Problem, quoted

_KEPT = re.compile(r"t[1-9][0-9]*")
"""Names that lines get which are added at the vehicle."""


def check_tray(findings: Findings) -> Iterator[Problem]:
    """Yield a problem for each line whose panel nobody knows, or whose name another may get."""
    for at in steps_at(findings.procedure):
        if not isinstance(at.step, Count):
            continue
        for below, item in items_at(at.step):
            path = (*at.path, *below, "item")
            if _KEPT.fullmatch(item.item):
                what = f"{quoted(item.item)} is a name for lines that are added at the vehicle"
                yield findings.error(path, what, "Give this line another name")
            if not item.group:
                what = f"The line {quoted(item.item)} does not say which panel it comes off"
                yield findings.warning(path, what, "Write group: and the panel")
