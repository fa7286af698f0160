"""Connector files, in the shop's own folder or anywhere, read into the splice plan of a job."""

import hashlib
from collections.abc import Iterable, Sequence
from pathlib import Path

from baycompanion.job.actions import PlannedFrom, PlannedLine, PlanSplices
from baycompanion.procedure.fields import LONGEST_LINE
from baycompanion.store.reading import files_in, read_text
from baycompanion.store.trouble import StoreTrouble
from baycompanion.store.typed_path import typed_path
from baycompanion.text.clean import clean_line
from baycompanion.text.problem import nearest, quoted
from baycompanion.trade.splicing import Cap, read_cap
from baycompanion.wiring.connector import read_connector
from baycompanion.wiring.plan import Join, Plan, plan_splices


def list_connectors(own: Path) -> dict[str, Path]:
    """Return the connector files in the shop's folder of connectors `own`, by their names.

    Raises:
        StoreTrouble: There is such a folder, and it cannot be looked into.
    """
    return {path.stem: path for path in files_in(own, ".yaml")}


def find_connectors(names: Iterable[str], own: Path) -> list[Path]:
    """Return the files that `names` stand for: names in the folder `own`, or paths.

    Raises:
        StoreTrouble: A name is neither.
    """
    shelf = list_connectors(own)
    found = []
    for name in names:
        if name in shelf:
            found.append(shelf[name])
        elif name.endswith((".yaml", ".yml")):
            found.append(typed_path(name))
        else:
            said = quoted(clean_line(name))
            instead = nearest(name, shelf) or "Type the path of its file, which ends in .yaml."
            raise StoreTrouble(f"There is no connector {said}. {instead}")
    return found


def read_plan(paths: Sequence[Path], caps: Sequence[str]) -> PlanSplices:
    """Return the action that gives a job the splice plan of the connectors in `paths`.

    Raises:
        StoreTrouble: A file cannot be read, or the plan holds leads that are never joined, or
            whose function is not known; the first is told, with how many more there are.
        BadFile: A file does not say what it should.
    """
    texts = [(path, read_text(path)) for path in paths]
    connectors = [read_connector(text, str(path)) for path, text in texts]
    shelf = [cap for cap in map(read_cap, caps) if isinstance(cap, Cap)]
    plan = plan_splices(connectors, shelf)
    _refuse_troubled(plan)
    return PlanSplices(
        splice_plan=tuple(_line(join.id, _told(join)) for join in plan.joins),
        left_over=tuple(_line(left.lead.id, str(left)) for left in plan.left_over),
        files=tuple(
            PlannedFrom(file=path.name, sha256=hashlib.sha256(text.encode()).hexdigest())
            for path, text in texts
        ),
    )


def _refuse_troubled(plan: Plan) -> None:
    if not plan.problems:
        return
    first, *more = plan.problems
    and_more = f" And {len(more)} more; baycompanion splice-plan lists them." if more else ""
    raise StoreTrouble(f"{first}{and_more}")


def _told(join: Join) -> str:
    """Return one join in words, with its cap where one is chosen."""
    cap = f", cap {join.cap.name}" if join.cap.name is not None else ""
    return f"{join}{cap}"


def _line(item: str, name: str) -> PlannedLine:
    return PlannedLine(item=item, name=name[:LONGEST_LINE])
