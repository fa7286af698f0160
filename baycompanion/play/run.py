"""Playing a script: its actions, one after another, through the core and the store."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from baycompanion.job.actions import Action
from baycompanion.job.deciding.draft import Refused
from baycompanion.job.deciding.opening import KeysIn
from baycompanion.job.events.carried import EarlierJob, Vehicle
from baycompanion.job.events.moment import read_moment
from baycompanion.job.state.gates import gates_holding, missing
from baycompanion.job.state.state import State
from baycompanion.play.script import (
    Move,
    Script,
    ScriptRead,
    TakePhoto,
    TakePlan,
    names_that_lead_nowhere,
)
from baycompanion.procedure.load import Loaded
from baycompanion.procedure.model import Procedure
from baycompanion.store.connectors import read_plan
from baycompanion.store.job.earlier import find_earlier
from baycompanion.store.job.folder import make_job
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.job.parts_orders import order_in
from baycompanion.store.job.photos import copy_photo
from baycompanion.store.shelf import find_procedure, read_procedure
from baycompanion.store.shop import Shop
from baycompanion.store.staff.taking import take_keys
from baycompanion.store.trouble import StoreTrouble
from baycompanion.store.typed_path import leads_to_file
from baycompanion.text.problem import BadFile, Place, Problem, nearest, quoted
from baycompanion.working.hand_over import leave_hand_over


@dataclass(frozen=True, slots=True)
class Stop:
    """Where a script came to a stop with its job not closed: why, and what would open the way."""

    place: Place
    why: str
    opens_by: tuple[str, ...] = ()

    def __str__(self) -> str:
        if not self.opens_by:
            return f"{self.place}: {self.why}"
        opening = "; ".join(words.rstrip(".") for words in self.opens_by)
        return f"{self.place}: {self.why} What would open the way: {opening}."


@dataclass(frozen=True, slots=True)
class Played:
    """A job that was played: where it lies, its state, and where it stopped short of its end."""

    folder: Path
    state: State
    stop: Stop | None
    no_sheet: str = ""
    """Why a job that has ended has no hand-over sheet, if it has none."""


def play(read: ScriptRead, beside: Path, shop: Shop, start: datetime) -> Played:
    """Make the job of a script in `shop` and play it; it begins at `start`, whatever it says.

    The script's pictures and procedure are looked for in the folder `beside`. The job is left as
    it stands after the last action, or before the first that is refused.

    Raises:
        BadFile: The script names a procedure, a step, a person or a picture that is not there;
            then no job is made.
        StoreTrouble: The shop folder cannot be written.
    """
    loaded = _check_names(read, beside, shop)
    script = read.script
    vehicle = _vehicle(script)
    technician = shop.person(script.technician)
    order = order_in(beside / script.order) if script.order else None
    follows = loaded.procedure.procedure, loaded.procedure.revision
    mentor = take_keys(shop, technician, follows, script.mentor or "", start.date())
    folder = make_job(
        shop.jobs,
        loaded,
        KeysIn(
            script.work_order,
            vehicle,
            technician,
            start,
            order=order,
            figures=shop.figures,
            mentor=mentor,
            earlier=_earlier_of(read, beside, shop),
        ),
    )
    job = OpenJob(folder, shop.lists, technician, start)
    no_sheet = ""
    try:
        stop = _play_all(read, beside, shop, job, start)
        if job.ended:
            no_sheet = leave_hand_over(shop, folder, read_moment(job.state.last_at).astimezone())
    finally:
        job.leave()
    return Played(folder, job.state, stop, no_sheet)


def procedure_of(read: ScriptRead, beside: Path, own: Path) -> Loaded:
    """Return the procedure that a script names: one on the shelf, or a file below `beside`.

    Raises:
        BadFile: There is none, with the place of the name; or it does not say what it should.
    """
    name = read.script.procedure
    try:
        if name.endswith((".yaml", ".yml")):
            return read_procedure(beside / name)
        return read_procedure(find_procedure(name, own))
    except StoreTrouble as trouble:
        what, _, instead = str(trouble).partition(". ")
        raise BadFile([Problem(read.place("procedure"), what, instead)]) from None


def _check_names(read: ScriptRead, beside: Path, shop: Shop) -> Loaded:
    """Return the procedure of the script, or refuse every name that leads nowhere."""
    loaded = procedure_of(read, beside, shop.procedures)
    problems = [
        *_strangers(read, shop),
        *_unreadable(read, beside, shop.caps),
        *_order(read, beside),
        *_earlier(read, beside, shop),
        *names_that_lead_nowhere(read, loaded.procedure),
    ]
    if problems:
        raise BadFile(problems)
    return loaded


def _strangers(read: ScriptRead, shop: Shop) -> Iterator[Problem]:
    """Yield a problem for each person who is not on the staff of `shop`."""
    named = [(read.script.technician, read.place("technician"))]
    named += [(move.by, move.place) for move in read.moves if move.by is not None]
    for name, place in named:
        if name not in shop.staff:
            what = f"{quoted(name)} is not on the staff of this shop"
            yield Problem(place, what, nearest(name, shop.staff))


def _order(read: ScriptRead, beside: Path) -> Iterator[Problem]:
    """Yield why the order of the parts cannot be read, where the script names one."""
    try:
        if read.script.order is not None:
            order_in(beside / read.script.order)
    except StoreTrouble as trouble:
        what, _, instead = str(trouble).partition(". ")
        yield Problem(read.place("order"), what, instead)
    except BadFile as bad:
        yield from bad.problems


def _vehicle(script: Script) -> Vehicle:
    said = script.vehicle
    return Vehicle(description=said.description, vin=said.vin or "", plate=said.plate or "")


def _earlier_of(read: ScriptRead, beside: Path, shop: Shop) -> EarlierJob | None:
    """Return the earlier job that the script names, None where it names none."""
    name = read.script.earlier
    if name is None:
        return None
    return find_earlier(shop.jobs, name, beside / name, _vehicle(read.script))


def _earlier(read: ScriptRead, beside: Path, shop: Shop) -> Iterator[Problem]:
    """Yield why the earlier job cannot lie beside this one, where the script names one."""
    try:
        _earlier_of(read, beside, shop)
    except StoreTrouble as trouble:
        what, _, instead = str(trouble).partition(". ")
        yield Problem(read.place("earlier"), what, instead)
    except BadFile as bad:
        yield from bad.problems


def _unreadable(read: ScriptRead, beside: Path, caps: tuple[str, ...]) -> Iterator[Problem]:
    """Yield a problem for each picture that is not there, and each plan that cannot be made."""
    for move in read.moves:
        if isinstance(move.act, TakePhoto) and not leads_to_file(beside / move.act.photo):
            what = f"There is no picture {quoted(move.act.photo)}"
            yield Problem(move.place, what, "Its path starts at the folder of the script")
        if isinstance(move.act, TakePlan):
            try:
                read_plan([beside / name for name in move.act.splice_plan], caps)
            except StoreTrouble as trouble:
                what, _, instead = str(trouble).partition(". ")
                yield Problem(move.place, what, instead)


def _play_all(
    read: ScriptRead, beside: Path, shop: Shop, job: OpenJob, start: datetime
) -> Stop | None:
    """Play every action; return where a refusal stopped the script, or that it ends too early."""
    when = start
    for move in read.moves:
        when += timedelta(seconds=move.after)
        who = shop.person(move.by or job.state.technician)
        result = job.act(_action(move, beside, job, shop.caps), who, when)
        if isinstance(result, Refused):
            return Stop(move.place, result.why, _opening(job, result))
    if job.state.status == "closed":
        return None
    why = f"The script ends here, and the job is {job.state.status}, not closed."
    return Stop(read.moves[-1].place, why, tuple(_next(job)))


def _action(move: Move, beside: Path, job: OpenJob, caps: tuple[str, ...]) -> Action:
    """Return the action of `move`, its picture copied into the job, its connectors read."""
    if isinstance(move.act, TakePhoto):
        return copy_photo(beside / move.act.photo, job.photos)
    if isinstance(move.act, TakePlan):
        return read_plan([beside / name for name in move.act.splice_plan], caps)
    return move.act


def _opening(job: OpenJob, refused: Refused) -> tuple[str, ...]:
    """Return what would open the way, in words; at a shut gate, all that it still waits for."""
    steps = job.procedure.steps
    said = [thing.words or steps[str(thing.step)].text for thing in refused.opens_by]
    return (*said, *_waiting_for(job.procedure, job.state))


def _waiting_for(procedure: Procedure, state: State) -> Iterator[str]:
    """Yield what the gates that hold the job right now wait for."""
    for name in gates_holding(procedure, state):
        for thing in missing(procedure, state, procedure.all_gates[name]):
            yield thing.words


def _next(job: OpenJob) -> Iterator[str]:
    """Yield what comes next in a job that is still under way."""
    state = job.state
    if state.status == "open" and state.current is not None:
        yield f"In hand is: {job.procedure.steps[state.current].text}"
    yield from _waiting_for(job.procedure, state)
