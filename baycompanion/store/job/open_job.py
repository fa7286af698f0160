"""A job open for work: the one way in which an action becomes durable events."""

import contextlib
from collections.abc import Callable, Mapping
from datetime import datetime
from pathlib import Path

from baycompanion.job.actions import Action
from baycompanion.job.deciding.decide import Decided, catch_up, decide, notice_clock
from baycompanion.job.deciding.draft import Person, Refused
from baycompanion.job.deciding.revising import revise
from baycompanion.job.deciding.shop_lists import ShopLists, refused_by_lists, refused_revision
from baycompanion.job.events.event import Event
from baycompanion.job.events.hands_kinds import GapFound
from baycompanion.job.events.moment import write_moment
from baycompanion.job.hands_actions import FindGap
from baycompanion.job.record.making import make_record
from baycompanion.job.state.state import State
from baycompanion.job.state.timing import seconds_since_last
from baycompanion.learning.practice.summary import summarise
from baycompanion.procedure.load import Loaded, hash_of
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Record
from baycompanion.store.durable import write_whole
from baycompanion.store.job.draft import (
    CARD,
    FORM,
    forget_typed,
    keep_typed,
    keep_typed_at,
    typed_at,
    typed_of,
)
from baycompanion.store.job.folder import (
    PHOTOS,
    JobRead,
    has_record,
    pinned_path,
    read_job,
    refuse_errors,
    write_record,
)
from baycompanion.store.job.journal import (
    NAME,
    Journal,
    JournalWriter,
    read_journal,
    set_torn_aside,
)
from baycompanion.store.job.lock import JobLock
from baycompanion.store.ledger.entering import enter
from baycompanion.store.practice_file import write_summary
from baycompanion.store.trouble import StoreTrouble

UNNOTICED = 120
"""Seconds without an event, while the program was not running, that pass as work. Own choice."""


class OpenJob:
    """One job that this process may write to, until `leave` is called."""

    def __init__(
        self,
        folder: Path,
        lists: ShopLists,
        who: Person,
        when: datetime,
        read: Callable[[Path], JobRead] = read_job,
    ) -> None:
        """Open the job in `folder` for `who` at `when`, taking its lock.

        `read` reads what may lie there: a job, unless practice is opened.

        A torn last line is set aside; time that passed while the job was open and no program
        ran is set aside too, until somebody says what it was.

        Raises:
            StoreTrouble: Somebody else has it open, or a file cannot be read or written.
        """
        self.folder = folder
        self.lists = lists
        self._lock = JobLock(folder, who.id, write_moment(when))
        with contextlib.ExitStack() as given_back:
            given_back.callback(self._lock.release)
            mended = _mend(folder)
            self.torn = mended.torn
            job = read(folder)
            self.procedure: Procedure = job.procedure
            self.state: State = job.state
            self.events: list[Event] = list(job.events)
            last = job.events[-1]  # that time is missing is said by the program, and no entry
            self.left_at = last.data.since if isinstance(last.data, GapFound) else last.at
            self._journal = JournalWriter(folder / NAME, mended.size)
            given_back.callback(self._journal.close)
            self._begin_again(who, when)
            given_back.pop_all()

    def _begin_again(self, who: Person, when: datetime) -> None:
        """Account for the time since the newest event, and say what should have followed it."""
        away = seconds_since_last(self.state, when)
        running = self.state.status == "open" and not self.is_practice
        if running and self.state.accepted_at and away > UNNOTICED:
            self.act(FindGap(gap="left", seconds=away), who, when)
        followed = catch_up(self.procedure, self.state, who, when)
        self._keep(followed.events, followed.state)
        if self.ended and self.is_practice:
            self.write_summary()
        elif self.ended:
            if not has_record(self.folder, self.state.head):
                self.write_record()
            with contextlib.suppress(StoreTrouble):  # the job opens all the same; the board tells
                enter(self.folder, when)

    @property
    def is_practice(self) -> bool:
        """Whether it is practice on a made-up vehicle, and no job."""
        return self.state.opened.practice is not None

    @property
    def ended(self) -> bool:
        """Whether the job is closed or abandoned."""
        return self.state.status in ("closed", "abandoned")

    def act(self, action: Action, who: Person, when: datetime) -> State | Refused:
        """Decide `action`, make what follows durable, and return the new state or the refusal.

        Raises:
            StoreTrouble: The disk refused; nothing has changed, and the action can be repeated.
                Or the job is ended and only its record could not be written, or its entry in the
                ledger, as it says.
        """
        refused = refused_by_lists(self.lists, self.procedure, self.state, action, when.date())
        if refused is not None:
            return refused
        decided = decide(self.procedure, self.state, action, who, when)
        if isinstance(decided, Refused):
            noticed = notice_clock(self.procedure, self.state, who, when)
            self._keep(noticed.events, noticed.state)
            return decided
        self._keep(decided.events, decided.state)
        if self.ended:
            forget_typed(self.folder / CARD)
        if self.ended and self.is_practice:
            self.write_summary()
        elif self.ended:
            self._settle_end(when)
        return self.state

    def refused(self, action: Action, who: Person, when: datetime) -> Refused | None:
        """Return why `action` would be refused now, without doing it; None where it would not."""
        refused = refused_by_lists(self.lists, self.procedure, self.state, action, when.date())
        if refused is not None:
            return refused
        decided = decide(self.procedure, self.state, action, who, when)
        return decided if isinstance(decided, Refused) else None

    def revise(self, loaded: Loaded, words: str, who: Person, when: datetime) -> State | Refused:
        """Let the job go on by the newer revision in `loaded`, and return as `act` does.

        Raises:
            BadFile: The newer revision has errors.
            StoreTrouble: The disk refused; the job follows the revision that it had.
        """
        decided = self._revised(loaded, words, who, when)
        if isinstance(decided, Refused):
            return decided
        pinned = loaded.pinned_text
        # Pinned first: what a crash leaves behind without its event is written over next time.
        write_whole(pinned_path(self.folder, len(self.state.revisions) + 1), pinned.encode())
        self._keep(decided.events, decided.state)
        self.procedure = loaded.procedure
        return self.state

    def revision_refused(self, loaded: Loaded, who: Person, when: datetime) -> Refused | None:
        """Return why the job would not go on by `loaded`, whatever the reason given for it.

        Raises:
            BadFile: The newer revision has errors.
        """
        decided = self._revised(loaded, "any", who, when)
        return decided if isinstance(decided, Refused) else None

    def _revised(
        self, loaded: Loaded, words: str, who: Person, when: datetime
    ) -> Decided | Refused:
        refuse_errors(loaded)
        refused = refused_revision(self.lists, loaded.procedure, self.state, when.date())
        if refused is not None:
            return refused
        pinned, new = hash_of(loaded.pinned_text), loaded.procedure
        return revise(self.procedure, new, pinned, self.state, words, who, when)

    def _settle_end(self, when: datetime) -> None:
        """Write the record of the ended job and enter it; opening the job again does so too."""
        try:
            self.write_record()
        except StoreTrouble as trouble:
            raise StoreTrouble(
                f"The job is {self.state.status}, but not its record: {trouble} "
                "Make room and open the job again; the record is written then."
            ) from None
        try:
            enter(self.folder, when)
        except StoreTrouble as trouble:
            raise StoreTrouble(
                f"The job is {self.state.status}, but not entered in the ledger: {trouble} "
                "It is entered when the board or the job is opened again."
            ) from None

    def _keep(self, events: tuple[Event, ...], state: State) -> None:
        if events:
            self._journal.append(events)
            self.events.extend(events)
            had_it, self.state = self.state.technician, state
            if state.technician != had_it:  # whoever finds it open elsewhere asks who has it now
                with contextlib.suppress(StoreTrouble):
                    self._lock.name(state.technician, events[-1].at)

    def write_record(self) -> Path:
        """Write the job's record as it stands, and return where.

        Raises:
            StoreTrouble: It is practice, or it cannot be written; the journal holds everything it
                is made from.
        """
        if self.is_practice:
            raise StoreTrouble("This is practice on a made-up vehicle; it makes no job record.")
        record = make_record(self.procedure, self.state, self.events)
        return write_record(self.folder, record)

    def write_summary(self) -> Path:
        """Write what came of the practice as it stands, and return where.

        Raises:
            StoreTrouble: It cannot be written; the journal holds everything it is made from.
        """
        return write_summary(self.folder, summarise(self.procedure, self.events))

    @property
    def photos(self) -> Path:
        """The folder of the job's photos."""
        return self.folder / PHOTOS

    def keep_draft(self, step: str, fields: Mapping[str, str]) -> None:
        """Keep a half-typed entry for `step`, unless it is private; without fields, forget it.

        What is half typed at other steps stays.
        """
        keep_typed_at(self.folder / CARD, step, {} if self._is_private(step) else fields)

    def draft_for(self, step: str) -> dict[str, str]:
        """Return the half-typed entry kept for `step`, empty where there is none."""
        return typed_at(self.folder / CARD, step)

    def keep_form(self, title: str, fields: Mapping[str, str]) -> None:
        """Keep a half-typed form of that `title`, unless the step in hand is private.

        Without fields, forget it; one of another title stays.
        """
        kept = {} if self._is_private(self.state.current or "") else fields
        if kept or self.form_for(title):
            keep_typed(self.folder / FORM, {"form": title}, kept)

    def form_for(self, title: str) -> dict[str, str]:
        """Return what was kept of the form of that `title`, empty where there is nothing."""
        return typed_of(self.folder / FORM, {"form": title})

    def _is_private(self, step: str) -> bool:
        known = self.procedure.steps.get(step)
        return isinstance(known, Record) and known.private

    def leave(self) -> None:
        """Give the job back; everything is on the disk already."""
        self._journal.close()
        self._lock.release()


def _mend(folder: Path) -> Journal:
    """Set a torn last line of the journal aside, and return what the journal held."""
    held = read_journal(folder / NAME)
    if held.torn:
        set_torn_aside(folder / NAME, held.torn, held.size)
    return held
