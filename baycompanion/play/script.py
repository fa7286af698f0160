"""What a play script may say: a job, and the actions that people take in it, one after another."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import AfterValidator, AwareDatetime, Field, create_model

from baycompanion.job.actions import (
    ACTIONS,
    Action,
    AddPhoto,
    PlanSplices,
)
from baycompanion.procedure.fields import Line, Some, Span
from baycompanion.procedure.model import Procedure
from baycompanion.store.staff.staff import StaffId
from baycompanion.text.problem import Place, Problem, nearest, quoted
from baycompanion.text.to_model import Written, first_key, one_of, place_of, to_model, wrong
from baycompanion.text.yaml_nodes import Node, read_yaml

FORMAT = 1
"""The format of scripts that is read now."""

PACE = 30
"""Seconds before each action of a script that gives no pace. Own choice."""


def _check_format(number: int) -> int:
    if number != FORMAT:
        raise wrong(f"Scripts of format {number} are not known here", f"Write script: {FORMAT}")
    return number


class ScriptVehicle(Written):
    """The vehicle that the job is about."""

    description: Line
    vin: Line | None = None
    plate: Line | None = None


class Timed(Written):
    """What may stand beside any action of a script."""

    after: Span | None = None
    """The time before the action; left out, the script's pace."""
    by: StaffId | None = None
    """Who takes the action; left out, the technician who has the job by then."""


class TakePhoto(Written):
    """Add a picture to the job."""

    photo: Line
    """Its file, by its path from the folder of the script."""


class TakePlan(Written):
    """Give the job its splice plan."""

    splice_plan: Annotated[tuple[Line, ...], Some]
    """The connector files, by their paths from the folder of the script."""


def _timed(kind: type[Written]) -> type[Written]:
    """Return `kind` as a script may write it: with its time and its person."""
    return create_model(kind.__name__, __base__=(kind, Timed), __doc__=kind.__doc__)


# In place of the actions that tell of files copied or read stand those that name the files.
_KINDS: dict[str, type[Written]] = {
    first_key(kind): kind
    for kind in (*ACTIONS, TakePhoto, TakePlan)
    if kind not in (AddPhoto, PlanSplices)
}
_TIMED = {key: _timed(kind) for key, kind in _KINDS.items()}
_Entry: Any = one_of("action", _TIMED)


class Script(Written):
    """One whole script, as its file says it."""

    script: Annotated[
        int, AfterValidator(_check_format), Field(json_schema_extra={"const": FORMAT})
    ]
    """The format of the script, which is 1."""
    procedure: Line
    """The id of a procedure on the shelf, or the path of one from the folder of the script."""
    work_order: Line
    vehicle: ScriptVehicle
    order: Line | None = None
    """The order of the parts, by the path of its file from the folder of the script."""
    earlier: Line | None = None
    """The earlier job that the vehicle comes back from: a job of the shop that it is played in, or
    the path of its folder from the folder of the script."""
    technician: StaffId
    """Who takes the keys."""
    mentor: StaffId | None = None
    """Who stands beside a trainee."""
    start: AwareDatetime | None = None
    """When the keys came in; left out, the moment at which the script is played."""
    pace: Span = PACE
    """The time before each action that gives none of its own."""
    actions: Annotated[tuple[_Entry, ...], Some]


@dataclass(frozen=True, slots=True)
class Move:
    """One action of a script: what, when, by whom, and where it stands in the file."""

    act: Action | TakePhoto | TakePlan
    after: int
    """Seconds since the action before."""
    by: str | None
    """A staff id; None for the technician who has the job by then."""
    place: Place


@dataclass(frozen=True, slots=True)
class ScriptRead:
    """A script with the node it was read from, so that a refusal has a place."""

    script: Script
    node: Node

    @property
    def moves(self) -> tuple[Move, ...]:
        """The actions of the script, in order."""
        return tuple(self._move(number) for number in range(len(self.script.actions)))

    @property
    def lasts(self) -> int:
        """Seconds from the start of the script to its last action."""
        return sum(move.after for move in self.moves)

    def place(self, *path: int | str) -> Place:
        """Return where the value at `path` stands."""
        return place_of(self.node, path)

    def _move(self, number: int) -> Move:
        entry = self.script.actions[number]
        key = next(key for key, kind in _TIMED.items() if type(entry) is kind)
        kind = _KINDS[key]
        said = {name: getattr(entry, name) for name in kind.model_fields}
        after = self.script.pace if entry.after is None else entry.after
        act: Any = kind(**said)
        return Move(act, after, entry.by, self.place("actions", number))


def read_script(text: str, file: str) -> ScriptRead:
    """Return the script in `text`; `file` names it in places.

    Raises:
        BadFile: With every problem that the YAML reader or the models found.
    """
    node = read_yaml(text, file)
    return ScriptRead(to_model(Script, node), node)


_STEP_KEYS = (
    "acknowledge",
    "answer",
    "tick",
    "tick_rest",
    "scan",
    "add_to_tray",
    "set_wait",
    "settle",
    "reopen",
)


def names_that_lead_nowhere(read: ScriptRead, procedure: Procedure) -> Iterator[Problem]:
    """Yield a problem for each step, gate or standing condition that `procedure` does not have."""
    known = {
        **{key: ("step", list(procedure.steps)) for key in _STEP_KEYS},
        "confirm": ("standing condition", [each.standing for each in procedure.standing]),
        "override": ("gate", list(procedure.all_gates)),
    }
    for move in read.moves:
        field = first_key(type(move.act)).replace("-", "_")
        what, names = known.get(field, ("", []))
        name = str(getattr(move.act, field))
        if what and name not in names:
            said = f"{procedure.procedure} has no {what} {quoted(name)}"
            yield Problem(move.place, said, nearest(name, names))
