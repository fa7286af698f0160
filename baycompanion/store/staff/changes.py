"""Changing the staff file by command: who joins, retires, has a new PIN; each change is logged."""

from collections.abc import Callable, Mapping
from datetime import datetime
from pathlib import Path
from typing import Any

from baycompanion.job.deciding.releases import Release
from baycompanion.job.events.data import Data
from baycompanion.learning.watched import Watched
from baycompanion.store.durable import write_whole
from baycompanion.store.reading import read_text
from baycompanion.store.staff import staff_log
from baycompanion.store.staff.pin_tries import forget_tries
from baycompanion.store.staff.rewriting import rewritten
from baycompanion.store.staff.staff import NAME, Member, staff_in
from baycompanion.store.trouble import StoreTrouble
from baycompanion.store.turn import turn
from baycompanion.text.clean import clean_line
from baycompanion.text.problem import nearest, quoted


def add_member(folder: Path, new: Member, by: str, now: datetime) -> None:
    """Add `new` at the end of the staff file in the shop `folder`, on the word of `by`.

    Raises:
        StoreTrouble: Somebody has that id, `by` may not, or a file cannot be read or written.
        BadFile: The staff file does not say what it should.
    """
    with turn(folder / NAME):
        text, members = _read(folder)
        refuse_taken(folder, members, new.id)
        _refuse_word(members, by)
        said = staff_log.Added(who=new.id, role=new.role)
        _keep(folder, text, {**members, new.id: new}, said, by, now)


def refuse_taken(folder: Path, members: Mapping[str, Member], wanted: str) -> None:
    """Refuse an id that somebody has or had, in whatever case: old jobs are read by it.

    Raises:
        StoreTrouble: It is taken.
    """
    for known in members.values():
        if known.id.casefold() == wanted.casefold():
            there = f"{known.id} is in {folder / NAME} already"
            if known.active:
                raise StoreTrouble(f"{there}. Choose another id.")
            raise StoreTrouble(
                f"{there}, and retired. Take “active: no” out of it there to have them back, or "
                "choose another id."
            )


def give_pin(folder: Path, who: str, kept: str, by: str, now: datetime) -> None:
    """Let `kept`, by `hash_pin`, be what is kept of the PIN of `who`; wrong tries are forgotten.

    Raises:
        StoreTrouble: Nobody active has that id, or a file cannot be read or written.
        BadFile: The staff file does not say what it should.
    """
    _change(folder, who, lambda _: {"pin": kept}, staff_log.PinGiven(who=who), by, now)
    forget_tries(folder, who)


def release(
    folder: Path, who: str, procedures: tuple[str, ...] | None, by: str, now: datetime
) -> None:
    """Release `who` for these procedures and no other; None stands for every one.

    Raises:
        StoreTrouble: Nobody active has that id, or a file cannot be read or written.
        BadFile: The staff file does not say what it should.
    """
    said = staff_log.Released(who=who, procedures=procedures)
    _change(folder, who, lambda _: {"released_for": procedures}, said, by, now)


def sign_off(
    folder: Path, who: str, release: Release, watched: Watched, by: str, now: datetime
) -> None:
    """Let the trainee `who` have `release`, in place of any other for that procedure.

    Whether the job that it names bears it, `releases.watched_job` has asked.

    Raises:
        StoreTrouble: Nobody active has that id, they are no trainee, or a file cannot be read or
            written.
        BadFile: The staff file does not say what it should.
    """
    said = staff_log.SignedOff(
        who=who,
        procedure=release.procedure,
        revision=release.revision,
        job=release.job,
        until=release.until.isoformat(),
        watched_as=watched.stood_as,
        words=watched.words or None,
    )

    def released(known: Member) -> dict[str, Any]:
        if known.role != "trainee":
            raise StoreTrouble(
                f"{who} is a {known.role}, and needs no sign-off: it lets a trainee work without a "
                f"mentor. For others there is baycompanion staff release {who}."
            )
        return {"releases": (*_others(known, release.procedure), release)}

    _change(folder, who, released, said, by, now)


def take_back(folder: Path, who: str, procedure: str, by: str, now: datetime) -> None:
    """Take the release for `procedure` back from `who`, who then works beside a mentor again.

    Raises:
        StoreTrouble: Nobody active has that id, there is no such release, or a file cannot be read
            or written.
        BadFile: The staff file does not say what it should.
    """

    def left(known: Member) -> dict[str, Any]:
        refuse_no_release(known, procedure)
        return {"releases": _others(known, procedure)}

    said = staff_log.TakenBack(who=who, procedure=procedure)
    _change(folder, who, left, said, by, now)


def refuse_no_release(known: Member, procedure: str) -> None:
    """Refuse where `known` has no release for `procedure`.

    Raises:
        StoreTrouble: They have none.
    """
    if known.release(procedure) is None:
        have = [each.procedure for each in known.releases]
        raise StoreTrouble(
            f"{known.id} has no release for {quoted(clean_line(procedure))}. "
            f"{nearest(procedure, have) if have else 'There is none to take back.'}"
        )


def _others(known: Member, procedure: str) -> tuple[Release, ...]:
    return tuple(each for each in known.releases if each.procedure != procedure)


def set_guidance(folder: Path, who: str, times: int | None, by: str, now: datetime) -> None:
    """Let the guidance of `who` fade after so many `times` right in a row; None is the shop's own.

    Raises:
        StoreTrouble: Nobody active has that id, or a file cannot be read or written.
        BadFile: The staff file does not say what it should.
    """
    said = staff_log.GuidanceSet(who=who, times=times)
    _change(folder, who, lambda _: {"fade_after": times}, said, by, now)


def retire(folder: Path, who: str, by: str, now: datetime) -> None:
    """Let `who` work here no more; the entry stays, so that old jobs can be read.

    Raises:
        StoreTrouble: Nobody active has that id, no supervisor with a PIN would be left, or a file
            cannot be read or written.
        BadFile: The staff file does not say what it should.
    """
    _change(folder, who, lambda _: {"active": False}, staff_log.Retired(who=who), by, now)


def refuse_last(members: Mapping[str, Member], who: str) -> None:
    """Refuse to let `who` go where nobody else could change the staff.

    Raises:
        StoreTrouble: They are the last supervisor with a PIN.
    """
    if supervisors(members) == (who,):
        raise StoreTrouble(_last_supervisor(who))


def _last_supervisor(who: str) -> str:
    return (
        f"{who} is the last supervisor with a PIN, so nobody could change the staff any more. Add "
        "another supervisor first."
    )


def supervisors(members: Mapping[str, Member]) -> tuple[str, ...]:
    """Return the ids of the active supervisors who have a PIN: those who may change the staff."""
    return tuple(
        member.id
        for member in members.values()
        if member.active and member.role == "supervisor" and member.pin is not None
    )


def _refuse_word(members: Mapping[str, Member], by: str) -> None:
    """Refuse the word of `by` where others have it, as the staff file stands at this moment.

    That the PIN was given, whoever calls has seen to.
    """
    able = supervisors(members)
    if able and by not in able:
        raise StoreTrouble(
            f"{by} is no supervisor with a PIN, and cannot change the staff. {nearest('', able)}"
        )


def _change(
    folder: Path,
    who: str,
    fields: Callable[[Member], dict[str, Any]],
    said: Data,
    by: str,
    now: datetime,
) -> None:
    """Change those fields of the entry of `who` that `fields` makes of it as it stands."""
    with turn(folder / NAME):
        text, before = _read(folder)
        known = before.get(who)
        if known is None or not known.active:
            active = [member.id for member in before.values() if member.active]
            raise StoreTrouble(
                f"{quoted(clean_line(who))} is not on the staff of this shop. {nearest('', active)}"
            )
        own = isinstance(said, staff_log.PinGiven) and by == who and known.pin is not None
        if not own:
            _refuse_word(before, by)
        after = {**before, who: known.model_copy(update=fields(known))}
        if supervisors(before) and not supervisors(after):
            raise StoreTrouble(_last_supervisor(who))
        _keep(folder, text, after, said, by, now)


def _read(folder: Path) -> tuple[str, Mapping[str, Member]]:
    path = folder / NAME
    text = read_text(path)
    return text, staff_in(text, str(path))


def _keep(
    folder: Path, text: str, after: Mapping[str, Member], said: Data, by: str, now: datetime
) -> None:
    """Write the staff file `text` anew so that it says `after`; the log of it comes first.

    A crash between the two leaves a line too many in the log, never a change without one.
    """
    path = folder / NAME
    new = rewritten(text, after, str(path))
    staff_log.log_change(folder / staff_log.NAME, said, by, now)
    write_whole(path, new.encode())
