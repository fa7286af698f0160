"""Everything that one procedure file says otherwise than another, and which gates got weaker."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, get_args

from pydantic import BaseModel

from baycompanion.procedure.comparing.weakening import Weakening, weakened
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.said import said

Kind = Literal[
    "hazards",
    "choices",
    "tools",
    "parts",
    "standing conditions",
    "phases",
    "steps",
    "gates",
    "lines for the owner",
]

KINDS: tuple[Kind, ...] = get_args(Kind)
"""In the order of a file."""


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing that is said otherwise: what it is about, what stood there, what stands there."""

    about: str
    was: tuple[str, ...] = ()
    """What stood there and stands there no more, a line each; empty where there was nothing."""
    now: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Changed:
    """One named thing that is in both, and its differences."""

    name: str
    differences: tuple[Difference, ...]


@dataclass(frozen=True, slots=True)
class Section:
    """What became of the things of one kind, by their names."""

    kind: Kind
    added: tuple[str, ...] = ()
    gone: tuple[str, ...] = ()
    moved: tuple[str, ...] = ()
    """In both, and in another order or another phase than before."""
    changed: tuple[Changed, ...] = ()

    @property
    def empty(self) -> bool:
        """Whether nothing is different."""
        return not (self.added or self.gone or self.moved or self.changed)


@dataclass(frozen=True, slots=True)
class Comparison:
    """All that is different between two procedures."""

    weakened: tuple[Weakening, ...]
    whole: tuple[Difference, ...]
    """Of the procedure itself: its title, its revision, what it fits."""
    sections: tuple[Section, ...]
    """Those with a difference, in the order of a file."""

    @property
    def empty(self) -> bool:
        """Whether nothing is different."""
        return not (self.weakened or self.whole or self.sections)


_WHOLE = ("procedure", "title", "revision", "fits")
_APART = "steps"
"""What a phase holds is told for itself."""


def compare(old: Procedure, new: Procedure) -> Comparison:
    """Return everything that `new` says otherwise than `old`.

    Compared the other way round, what was added is gone, and what was stands for what is now; only
    what is weaker is not told of the gates that got stricter.
    """
    sections = (_section(kind, old, new) for kind in KINDS)
    return Comparison(
        weakened(old, new),
        tuple(_differences(old, new, old, new, set(_WHOLE))),
        tuple(section for section in sections if not section.empty),
    )


def _by_name(things: Sequence[BaseModel], name: str) -> dict[str, BaseModel]:
    return {str(getattr(thing, name)): thing for thing in things}


def _things(procedure: Procedure, kind: Kind) -> Mapping[str, BaseModel]:
    """Return the things of this kind by their names, in their order."""
    match kind:
        case "hazards":
            return {f"{h.signal.upper()}  {h.hazard}": h for h in procedure.hazards}
        case "choices":
            return _by_name(procedure.choices, "choice")
        case "tools":
            return _by_name(procedure.tools, "tool")
        case "parts":
            return _by_name(procedure.parts, "part")
        case "standing conditions":
            return _by_name(procedure.standing, "standing")
        case "phases":
            return procedure.phase_named
        case "steps":
            return procedure.steps
        case "gates":
            return procedure.all_gates
        case "lines for the owner":
            return _by_name(procedure.for_the_owner, "tell")


def _section(kind: Kind, old: Procedure, new: Procedure) -> Section:
    was, now = _things(old, kind), _things(new, kind)
    changed = (
        Changed(name, tuple(_differences(old, new, was[name], now[name], None)))
        for name in now
        if name in was and was[name] != now[name]
    )
    return Section(
        kind,
        added=tuple(name for name in now if name not in was),
        gone=tuple(name for name in was if name not in now),
        moved=_moved(kind, old, new),
        changed=tuple(each for each in changed if each.differences),
    )


def _moved(kind: Kind, old: Procedure, new: Procedure) -> tuple[str, ...]:
    """Return the phases and steps that stand elsewhere, in the order of `new`."""
    if kind not in ("phases", "steps"):
        return ()
    was = [name for name in _things(old, kind) if name in _things(new, kind)]
    now = [name for name in _things(new, kind) if name in _things(old, kind)]
    stayed = set(in_one_order(was, now))
    return tuple(
        name
        for name in now
        if name not in stayed or (kind == "steps" and _in_another_phase(old, new, name))
    )


def _in_another_phase(old: Procedure, new: Procedure, step: str) -> bool:
    """Return whether `step` went to another phase; a phase by another name is no other."""
    was, now = old.phase_of[step].phase, new.phase_of[step].phase
    return was != now and (was in new.phase_named or now in old.phase_named)


def in_one_order(these: Sequence[str], those: Sequence[str]) -> tuple[str, ...]:
    """Return the most names that stand in one order in both; both hold the same names once.

    Of several answers as long, the first by the alphabet, so that it does not matter which list
    comes first.
    """
    place = {name: number for number, name in enumerate(those)}
    best: dict[str, tuple[int, tuple[str, ...]]] = {}
    for name in reversed(these):
        after = [best[other] for other in best if place[other] > place[name]]
        length, names = min(after, default=(0, ()))
        best[name] = (length - 1, (name, *names))
    return min(best.values(), default=(0, ()))[1]


def _differences(
    old: Procedure, new: Procedure, was: BaseModel, now: BaseModel, only: set[str] | None
) -> Iterator[Difference]:
    """Yield what two things of one name say otherwise, key by key."""
    fields = dict.fromkeys([*type(was).model_fields, *type(now).model_fields])
    for name in fields:
        if (only is not None and name not in only) or name == _APART:
            continue
        before, after = getattr(was, name, None), getattr(now, name, None)
        if before == after:
            continue
        yield _difference(name, said(old, name, before), said(new, name, after))


def _difference(name: str, was: tuple[str, ...], now: tuple[str, ...]) -> Difference:
    """Return the lines that only one of them has; all of them where only the order is another."""
    about = name.replace("_", " ")
    before = tuple(line for line in was if line not in now)
    after = tuple(line for line in now if line not in was)
    return Difference(about, before, after) if before or after else Difference(about, was, now)
