"""Doing what was chosen on a job's screen: a deed, a form, or what has to be asked before it."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from baycompanion.screens.form.form import FormScreen, ask, show_form
from baycompanion.store.trouble import StoreTrouble
from baycompanion.views.card.card import Again, Aside, Deed, Does, First, Form, GoTo, Return

if TYPE_CHECKING:  # the screen does through this, and is shown anew by it
    from baycompanion.screens.job.job import JobScreen


class Doing:
    """What can be done on one job's screen."""

    def __init__(self, screen: "JobScreen") -> None:
        """Act for whoever sits before `screen`."""
        self._screen = screen

    def do(self, does: Does) -> None:
        """Do what a key or an entry stands for."""
        screen = self._screen
        if isinstance(does, Deed):
            self._act(does)
        elif isinstance(does, Form):
            self.ask(does)
        elif isinstance(does, First):
            self._ask_first(does, screen.after)
        elif isinstance(does, Aside):
            does.do()
            screen.after()
        elif isinstance(does, Again):
            screen.work.again = True
            screen.show()
        elif isinstance(does, GoTo):
            screen.look_at(does.step)
        elif isinstance(does, Return):
            screen.action_return()

    def ask(self, form: Form[Deed]) -> None:
        """Put a form in front; it stays until its deed is done or the person goes back."""
        job, before = self._screen.job, self._screen.job.state
        asked = FormScreen(form, self.carry_out, job.form_for(form.title), job.keep_form)
        show_form(
            self._screen.app, asked, lambda: self._screen.saved(before), self._screen.take_focus
        )

    def _ask_first(self, first: First, then: Callable[[], None]) -> None:
        """Ask what comes before something else, which is done then."""
        ask(self._screen.app, first.form, first.take, then, self._screen.take_focus)

    def _act(self, deed: Deed) -> None:
        why_not = self.carry_out(deed)
        if why_not is None:
            self._screen.after_deed()
        elif isinstance(why_not, First):
            self._ask_first(why_not, lambda: self._act(deed))
        else:
            self._screen.say(why_not, "bad")
            self._screen.app.bell()

    def carry_out(self, deed: Deed) -> str | First | None:
        """Make the deed durable; return the sentence that says why not, what comes first, None."""
        try:  # or the time asleep would count as work on what is answered now
            self._screen.notice_sleep()
        except StoreTrouble as trouble:
            return str(trouble)
        return self._screen.work.carry_out(deed)
