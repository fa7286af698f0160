"""The job: one thing to do now, the sequence beside it, and what holds it up."""

from collections.abc import Callable
from datetime import datetime

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal
from textual.content import Content
from textual.screen import Screen
from textual.timer import Timer
from textual.widgets import Footer, Static

from baycompanion.job.actions import Action, Answer, FindGap
from baycompanion.job.draft import Refused
from baycompanion.job.timing import seconds_since_last
from baycompanion.screens import shown
from baycompanion.screens.card_pane import CardPane
from baycompanion.screens.form import FormScreen
from baycompanion.screens.job_menu import JobMenu
from baycompanion.screens.sentence import refusal
from baycompanion.screens.sequence import Sequence
from baycompanion.store.open_job import OpenJob
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble
from baycompanion.views import forms, place
from baycompanion.views.card import Again, Card, Deed, Does, Form, GoTo, Piece, Tone
from baycompanion.views.cards import again_card, job_card, last_finished, look_card

UNNOTICED = 120
"""Seconds between two ticks of the screen's own clock after which the laptop must have slept."""


class JobScreen(Screen[None]):
    """Walks a person through one job."""

    CSS_PATH = "job.tcss"
    AUTO_FOCUS = ""  # the card decides; None would mean the first widget that can
    BINDINGS = [
        Binding("f1", "help", "Help", id="job.help"),
        Binding("f2", "note", "Note", id="job.note"),
        Binding("f3", "photo", "Photo", id="job.photo"),
        Binding("f4", "pause", "Pause", id="job.pause"),
        Binding("f5", "fault", "Fault", id="job.fault"),
        Binding("f6", "reopen", "Reopen", id="job.reopen"),
        Binding("f8", "why", "Why", id="job.why"),
        Binding("f9", "menu", "More", id="job.menu"),
        Binding("escape", "return", "To the step now", show=False, id="job.return"),
        Binding("up", "look(-1)", "Look back", show=False, id="job.up"),
        Binding("down", "look(1)", "Look ahead", show=False, id="job.down"),
        Binding("pageup", "scroll_card(-1)", "Scroll", show=False, id="job.pageup"),
        Binding("pagedown", "scroll_card(1)", "Scroll", show=False, id="job.pagedown"),
        Binding("enter", "press('enter')", "Answer", show=False, id="job.enter"),
        Binding("f7", "press('F7')", "Cannot", show=False, id="job.cannot"),
        *(
            Binding(str(digit), f"press('{digit}')", "Answer", show=False, id=f"job.{digit}")
            for digit in range(10)
        ),
    ]

    def __init__(self, shop: Shop, job: OpenJob, now: Callable[[], datetime]) -> None:
        """Show `job`; `now` is the clock that stamps what is done."""
        super().__init__()
        self.shop = shop
        self.job = job
        self.now = now
        self._looking: str | None = None
        self._again = False
        technician = shop.staff.get(job.state.technician)
        self._with_why = technician is not None and technician.role == "trainee"
        self._in_hand: tuple[str | None, str] | None = None
        """The step and the kind of card now shown, to tell a new card from a changed one."""
        self._answered_before: tuple[object, ...] = ()
        self._typed_for: str | None = None
        """The step that stands half typed in the field, even while another is looked at."""
        self._claimed: datetime | None = None
        """For a late entry, when the step in hand was really done."""
        self._ticked_at = now()
        self._draft_timer: Timer | None = None

    @property
    def card(self) -> Card:
        """What stands in the middle right now."""
        procedure, state = self.job.procedure, self.job.state
        if self._looking is not None:
            return look_card(procedure, state, procedure.steps[self._looking], self.now())
        if self._again and state.current is not None:
            return again_card(procedure, state, self.now())
        return job_card(procedure, state, self.shop.reasons, self.now())

    def compose(self) -> ComposeResult:
        """Lay the screen out."""
        yield Static("", id="where", markup=False)
        yield Static("", id="phase", markup=False)
        yield Static("", id="standing", markup=False)
        with Horizontal(id="middle"):
            yield Sequence()
            yield CardPane()
        yield Static("", id="message", markup=False)
        yield Static("", id="gate", markup=False)
        yield Static("", id="last", markup=False)
        yield Footer(show_command_palette=False)

    def on_mount(self) -> None:
        """Show the job, say what happened while it was away, and start the clock."""
        self.show()
        new = self.job.events[-1].seq == 1
        back = place.return_line(self.job.left_at, bool(self.job.torn), self.now())
        self.say("" if new else back)
        self.set_interval(1.0, self.tick)

    # --- showing -------------------------------------------------------------------------------

    def show(self) -> None:
        """Bring every part of the screen in line with the state of the job."""
        procedure, state, now = self.job.procedure, self.job.state, self.now()
        card = self.card
        self._put("where", place.where(procedure, state))
        self._put("phase", place.phase_line(procedure, state, now))
        self._put("standing", place.standing_line(procedure, state))
        self._put("gate", place.gate_ahead(procedure, state))
        self._put("last", place.last_line(procedure, state))
        self._show_card(card)
        self.query_one(Sequence).show(place.sequence(procedure, state), card.step)

    def _put(self, name: str, content: str | Content) -> None:
        widget = self.query_one(f"#{name}", Static)
        widget.update(content)
        widget.display = bool(content)

    def _show_card(self, card: Card) -> None:
        pane = self.query_one(CardPane)
        new = self._in_hand != (card.step, card.kind)
        self._in_hand = (card.step, card.kind)
        if card.kind == "step" and card.step is not None and card.step != self._typed_for:
            self._typed_for = card.step
            pane.put_back(self.job.draft_for(card.step))
        pane.show(card, self._why(card))
        if new:
            self._take_focus()

    def _why(self, card: Card) -> str:
        step = self.job.procedure.steps.get(card.step) if card.step else None
        return step.why or "" if step is not None and self._with_why else ""

    def _take_focus(self) -> None:
        if self._looking is not None:
            self.query_one(Sequence).focus()
        else:
            self.query_one(CardPane).take_focus()

    def say(self, message: str, tone: Tone = "label") -> None:
        """Show one sentence until the next key that does something."""
        self._put("message", shown.piece(Piece(tone, message)) if message else "")

    # --- the clock -----------------------------------------------------------------------------

    def tick(self) -> None:
        """Move the clocks on, and notice that the laptop slept."""
        try:
            if self._notice_sleep():
                return
        except StoreTrouble as trouble:
            self.say(str(trouble), "bad")
            return
        state = self.job.state
        self._put("phase", place.phase_line(self.job.procedure, state, self.now()))
        step = self.job.procedure.steps.get(state.current or "")
        if self._looking is None and ((step and step.verb == "wait") or state.status == "paused"):
            self._show_card(self.card)

    def _notice_sleep(self) -> bool:
        """Set aside the time that the laptop slept, if it did; return whether it did.

        Raises:
            StoreTrouble: It could not be saved; it is noticed again next time.
        """
        now, state = self.now(), self.job.state
        passed = min(int((now - self._ticked_at).total_seconds()), seconds_since_last(state, now))
        running = state.status == "open" and state.gap is None and state.accepted_at is not None
        slept = running and passed > UNNOTICED
        if slept:
            who = self.shop.person(state.technician)
            self.job.act(FindGap(gap="slept", seconds=passed), who, now)
        self._ticked_at = now
        if slept:
            self._answered_before = self._answered()
            self._after()
        return slept

    # --- answering -----------------------------------------------------------------------------

    def action_press(self, pressed: str) -> None:
        """Do what `pressed` stands for on the card now shown."""
        found = self.query_one(CardPane).press(pressed)
        if not found and pressed == "enter" and self._looking is not None:
            self.action_return()

    @on(CardPane.Chosen)
    def _chosen(self, event: CardPane.Chosen) -> None:
        self._do(event.does)

    @on(CardPane.Unusable)
    def _unusable(self, event: CardPane.Unusable) -> None:
        self.say(event.sentence, "bad")

    def _do(self, does: Does) -> None:
        if isinstance(does, Deed):
            self._act(does)
        elif isinstance(does, Form):
            self.ask(does)
        elif isinstance(does, Again):
            self._again = True
            self.show()
        elif isinstance(does, GoTo):
            self._look(does.step)

    def ask(self, form: Form[Deed]) -> None:
        """Put a form in front; it stays until its deed is done or the person goes back."""

        def done(did: bool | None) -> None:
            if did:
                self._after()
            else:
                self._take_focus()

        self.app.push_screen(FormScreen(form, self._carry_out), done)

    def _act(self, deed: Deed) -> None:
        why_not = self._carry_out(deed)
        if why_not is None:
            self._after()
        else:
            self.say(why_not, "bad")
            self.app.bell()

    def _carry_out(self, deed: Deed) -> str | None:
        """Make the deed durable; return the sentence that says why not, or None."""
        try:
            self._notice_sleep()  # or the time asleep would count as work on what is answered now
            self._answered_before = self._answered()
            who = self.shop.person(deed.by or self.job.state.technician)
            result = self.job.act(self._dated(deed.action), who, self.now())
        except StoreTrouble as trouble:
            return str(trouble)
        return refusal(result) if isinstance(result, Refused) else None

    def _dated(self, action: Action) -> Action:
        """Return `action`, an answer with the time claimed for it if it is a late entry."""
        if isinstance(action, Answer) and self._claimed is not None:
            return action.model_copy(update={"claimed": self._claimed})
        return action

    def _answered(self) -> tuple[object, ...]:
        """Return what was answered on the step in hand; a note, say, leaves it as it is."""
        current = self.job.state.current
        track = self.job.state.track(current or "")
        return current, track.attempts, dict(track.ticks)

    def _after(self) -> None:
        """Show the state that the deed led to; forget what was typed once it is answered."""
        self._looking = None
        self.say("")
        before, now = self._answered_before, self._answered()
        if now != before:
            only_a_line = now[:2] == before[:2]
            self._again = self._again and only_a_line
            self._claimed = self._claimed if only_a_line else None
            self._forget_draft()
        card = self.card
        if self._in_hand == (card.step, card.kind):
            self.query_one(CardPane).next_row(card)
        self.show()
        self._take_focus()

    # --- what is half typed --------------------------------------------------------------------

    @on(CardPane.Typed)
    def _typed(self) -> None:
        if self._draft_timer is not None:
            self._draft_timer.stop()
        self._draft_timer = self.set_timer(0.4, self._keep_draft)

    def _keep_draft(self) -> None:
        step = self.job.state.current
        if step is not None and self._looking is None:
            self.job.keep_draft(step, self.query_one(CardPane).typed)

    def _forget_draft(self) -> None:
        if self._draft_timer is not None:
            self._draft_timer.stop()
        self.query_one(CardPane).put_back({})
        self.job.keep_draft("", {})

    # --- looking -------------------------------------------------------------------------------

    @on(Sequence.Looked)
    def _look_at(self, event: Sequence.Looked) -> None:
        self._look(event.step)

    def _look(self, step: str) -> None:
        self._keep_draft()
        self._looking = step if step != self.job.state.current else None
        self.show()

    def action_look(self, by: int) -> None:
        """Look at the step before or after, without moving the one in hand."""
        steps = list(self.job.procedure.steps)
        at = self._looking or self.query_one(Sequence).now or steps[0]
        self._look(steps[min(max(steps.index(at) + by, 0), len(steps) - 1)])

    def action_return(self) -> None:
        """Go back to the one thing to do now."""
        self._looking = None
        self._again = False
        self.say("")
        self.show()
        self._take_focus()

    def action_scroll_card(self, by: int) -> None:
        """Scroll the card by a page."""
        self.query_one(CardPane).scroll_page(by)

    # --- from any step -------------------------------------------------------------------------

    def action_note(self) -> None:
        """Write a note."""
        self.ask(forms.note_form())

    def action_photo(self) -> None:
        """Add a photo by its path, or the newest from the watched folder."""
        from baycompanion.screens.photo import photo_form

        self.ask(photo_form(self.shop, self.job))

    def action_pause(self) -> None:
        """Stop for a while."""
        self.ask(forms.pause_form())

    def action_fault(self) -> None:
        """Say that something was found wrong."""
        self.ask(forms.fault_form())

    def action_reopen(self) -> None:
        """Reopen the step looked at, or the one finished last."""
        name = self._looking or last_finished(self.job.state)
        if name is None or not self.job.state.track(name).finished:
            self.say("Look at a finished step first (arrow keys), then press F6.")
            return
        procedure, state = self.job.procedure, self.job.state
        self.ask(forms.reopen_form(procedure, state, procedure.steps[name]))

    def action_why(self) -> None:
        """Show or hide why the step is done."""
        self._with_why = not self._with_why
        self.show()
        if self._with_why and not self._why(self.card):
            self.say("The procedure gives no why for this step.")

    def action_menu(self) -> None:
        """Offer everything else."""

        def chosen(does: Callable[[], None] | None) -> None:
            if does is not None:
                does()

        self.app.push_screen(JobMenu(self._menu()), chosen)

    def _menu(self) -> tuple[tuple[str, Callable[[], None]], ...]:
        state = self.job.state
        entries: list[tuple[str, Callable[[], None]]] = [("Back to the bay board", self.leave)]
        others = tuple(name for name in self.shop.staff if name != state.technician)
        clear = forms.clear_form(state)
        if state.status in ("open", "paused"):
            if clear is not None:
                entries.append(("A fault was put right…", lambda: self.ask(clear)))
            if others:
                form = forms.hand_over_form(others)
                entries.append(("Hand the job over…", lambda: self.ask(form)))
            entries.append(("This step was done earlier…", self._enter_late))
            entries.append(("Write the record as it stands", self._write_record))
            entries.append(("Give the job up…", lambda: self.ask(forms.abandon_form())))
        entries.append(("Light or dark", self.app.switch_ground))  # type: ignore[attr-defined]
        return tuple(entries)

    def _enter_late(self) -> None:
        def take(claimed: datetime) -> None:
            self._claimed = claimed

        def done(did: bool | None) -> None:
            self._take_focus()
            if did and self._claimed is not None:
                self.say(f"Late entry: the next answer counts as done at {self._claimed:%H:%M}.")

        self.app.push_screen(FormScreen(forms.late_form(self.now()), take), done)

    def _write_record(self) -> None:
        try:
            self.say(f"Written, marked provisional: {self.job.write_record()}")
        except StoreTrouble as trouble:
            self.say(str(trouble), "bad")

    def action_help(self) -> None:
        """Say what the keys do."""
        from baycompanion.screens.help import HelpScreen

        self.app.push_screen(HelpScreen())

    def leave(self) -> None:
        """Give the job back and go to the board."""
        self.give_back()
        self.dismiss(None)

    def give_back(self) -> None:
        """Keep what is half typed, and let others open the job; all else is on the disk already."""
        self._keep_draft()
        self.job.leave()
