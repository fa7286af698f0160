"""What the menu of a job offers besides its forms: late entries, paper, records, revisions."""

from collections.abc import Callable
from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING

from textual.content import Content

from baycompanion.procedure.steps import Wait
from baycompanion.screens.form.form import ask
from baycompanion.screens.job.standing import standing_page
from baycompanion.screens.page import Page
from baycompanion.screens.shown import pieces
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.problem import BadFile
from baycompanion.views.card.card import Deed, First
from baycompanion.views.card.menu import Service
from baycompanion.views.earlier import earlier_pieces
from baycompanion.views.forms import answer_forms, job_forms
from baycompanion.views.forms.signing import LOCKED
from baycompanion.working.at_work import AtWork

if TYPE_CHECKING:  # the screen offers the services, and they act on it
    from baycompanion.screens.job.job import JobScreen


class JobServices:
    """The services of one job's screen."""

    def __init__(self, screen: "JobScreen") -> None:
        """Serve whoever sits before `screen`."""
        self._screen = screen
        self._work = screen.work

    def serve(self, service: Service) -> None:
        """Do what was chosen from the menu."""
        served: dict[Service, Callable[[], None]] = {
            "board": self._screen.leave,
            "sum": self._work_sum,
            "late": self._enter_late,
            "paper": self._copy_from_paper,
            "plan": self._take_plan,
            "standing": self._read_standing,
            "photos": self._look_at_photos,
            "timeline": self._look_at_timeline,
            "earlier": self._read_earlier,
            "record": self._write_record,
            "revise": self._revise,
            "ground": self._screen.app.switch_ground,  # type: ignore[attr-defined]
        }
        served[service]()

    # --- sums ----------------------------------------------------------------------------------

    def _work_sum(self) -> None:
        """Offer the sums; only a job that is open can keep one."""
        from baycompanion.screens.sums import BenchSums

        keep = self._keep if self._work.job.state.status == "open" else None
        figures = self._screen.shop.figures
        BenchSums(self._screen.app, figures, keep, self._sum_worked).choose()

    def _keep(self, deed: Deed) -> str | None:
        why_not = self._screen.doing.carry_out(deed)
        return f"{LOCKED} Sign on first." if isinstance(why_not, First) else why_not

    def _sum_worked(self, kept: bool) -> None:
        if kept:
            self._screen.after()
            self._screen.say("The sum is kept as a note of the job.")
        else:
            self._screen.take_focus()

    # --- late entries --------------------------------------------------------------------------

    def _enter_late(self) -> None:
        def take(claimed: datetime) -> None:
            self._work.date_back(claimed, on_paper=False)

        def done() -> None:
            self._screen.take_focus()
            self._screen.say("")

        ask(self._screen.app, job_forms.late_form(self._screen.now()), take, done, done)

    @property
    def reminder(self) -> str:
        """The way out of a job that has ended; else what the next answer is dated to, if it is."""
        if self._work.job.ended:
            return "Esc leads to the bay board."
        dated = self._work.dated_back
        return f"{dated} Esc: no, now." if dated else ""

    def copy_on(self) -> None:
        """Ask for the time of the next step, while steps are copied from paper."""
        if self._work.copies_on:
            self._copy_from_paper()

    def _copy_from_paper(self) -> None:
        """Ask when the step in hand was done by hand; a wait is answered by that at once."""
        now, step = self._screen.now(), self._work.step_to_copy()
        if step is None:
            self._screen.say(job_forms.NO_STEP_TO_COPY)
        elif isinstance(step, Wait):
            self._screen.doing.ask(answer_forms.paper_wait_form(step, now))
        else:
            form = job_forms.paper_form(now, self._work.copied_last)
            ask(self._screen.app, form, self._take_time, self._time_taken, self._not_taken)

    def _take_time(self, claimed: datetime) -> None:
        self._work.date_back(claimed, on_paper=True)

    def _time_taken(self) -> None:
        self._screen.take_focus()
        self._screen.say("")

    def _not_taken(self) -> None:
        self._screen.take_focus()
        self._work.date_now()
        self._screen.say("Nothing more is copied from paper.")

    def _take_plan(self) -> None:
        """Ask for the connectors that the job's splice plan is made of."""
        from baycompanion.working.planning import plan_form

        self._screen.doing.ask(plan_form(self._screen.shop))

    # --- reading and writing -------------------------------------------------------------------

    def _read_standing(self) -> None:
        job = self._work.job
        self._screen.app.push_screen(Page(standing_page(job.procedure, job.state)))

    def _read_earlier(self) -> None:
        """Show the record of the earlier job beside this one."""
        job = self._work.job
        head = Content.styled("The earlier record (arrows read on)\n", "bold")
        told = pieces(earlier_pieces(job.procedure, job.state))
        self._screen.app.push_screen(Page(Content("\n").join((head, told))))

    def _look_at_photos(self) -> None:
        """Offer the photos of the job; the list goes back to the work by itself."""
        from baycompanion.screens.job.photos import PhotoList

        job, now = self._work.job, self._screen.now()
        self._screen.app.push_screen(PhotoList(job.procedure, job.state, job.photos, now))

    def _look_at_timeline(self) -> None:
        """Show what the hours of the job went to; it goes back to the job by itself."""
        from baycompanion.screens.job.timeline import TimelineScreen

        job = self._work.job
        self._screen.app.push_screen(TimelineScreen(job.procedure, job.events, job.state))

    def _write_record(self) -> None:
        try:
            written = self._work.job.write_record()
        except StoreTrouble as trouble:
            self._screen.say(str(trouble), "bad")
        else:
            self._screen.say(f"Written, marked provisional: {written}")

    def _revise(self) -> None:
        """Say what the newer revision on the shelf changes, and ask why the job goes on by it."""
        from baycompanion.working.revising import (
            go_on_by,
            newer_revision,
            revise_form,
            why_not_now,
        )

        work = self._work
        if not isinstance(work, AtWork):
            self._screen.say("A practice keeps the revision that it began with.")
            return
        try:
            newer = newer_revision(work)
            why_not = why_not_now(work, newer) if newer is not None else ""
        except (StoreTrouble, BadFile) as trouble:
            self._screen.say(str(trouble).splitlines()[0], "bad")
            return
        if newer is None:
            self._screen.say("The shelf holds no newer revision of this procedure.")
            return
        if why_not:
            self._screen.say(why_not, "bad")
            return
        form = revise_form(work, newer)
        take = partial(go_on_by, work, newer)
        ask(self._screen.app, form, take, self._screen.after, self._screen.take_focus)
