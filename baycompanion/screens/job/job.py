"""The job: one thing to do now, the sequence beside it, and what holds it up."""

from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal
from textual.events import Key as KeyPressed
from textual.screen import Screen
from textual.widgets import Input

from baycompanion.job.state.state import State
from baycompanion.screens import shown
from baycompanion.screens.board.past_reading import DoneRead, read_done
from baycompanion.screens.job.card_entry import CardEntry
from baycompanion.screens.job.card_pane import CardPane
from baycompanion.screens.job.doing import Doing
from baycompanion.screens.job.half_typed import HalfTyped
from baycompanion.screens.job.held_enter import HeldEnter
from baycompanion.screens.job.phase_line import PhaseLine
from baycompanion.screens.job.sequence import Sequence
from baycompanion.screens.job.services import JobServices
from baycompanion.screens.job.standing import StandingStrip
from baycompanion.screens.key_strip import KeyStrip
from baycompanion.screens.menu import Menu
from baycompanion.screens.page import Page
from baycompanion.screens.words import Words, put
from baycompanion.store.trouble import StoreTrouble
from baycompanion.views.card import place
from baycompanion.views.card.card import Card, Deed, Form, Piece, Tone
from baycompanion.views.card.cards import last_finished
from baycompanion.views.card.kept import kept_besides
from baycompanion.views.card.menu import ALL_STANDING, MenuEntry, Service, refused_now
from baycompanion.views.card.parts import takes_codes, why_parts_stop
from baycompanion.views.forms import job_forms
from baycompanion.views.vehicle_in import vehicle_warning
from baycompanion.working.at_work import AtWork
from baycompanion.working.guidance import Guidance

if TYPE_CHECKING:  # few jobs are practice
    from baycompanion.working.practice.practising import AtPractice


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
        # A field takes the sign = for itself, and some terminals take F10: between them both work.
        Binding("f10,equals_sign", "sum", "Work out a sum", show=False, id="job.sum"),
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

    def __init__(self, work: "AtWork | AtPractice") -> None:
        """Show the job that `work` is about."""
        super().__init__()
        self.work = work
        self.shop, self.job, self.now = work.shop, work.job, work.now
        self._looking: str | None = None
        self._guidance = Guidance(self.shop, self.job)
        self._with_why = self._guidance.opens_why
        self._topic: object = None
        """That of the card now shown, to tell a new card from a changed one."""
        self._pane = CardPane()
        self.doing = Doing(self)
        self._services = JobServices(self)
        self._half_typed = HalfTyped(self.job, self._pane.entry)
        self._held_enter = HeldEnter(self.now)
        self._status = self.job.state.status
        """How the job stood when its keys were offered last."""

    @property
    def topic(self) -> object:
        """That of the card now shown, and what Enter does on it: another one is another answer."""
        return self._topic, self._pane.enter_does

    @property
    def card(self) -> Card:
        """What stands in the middle right now."""
        if self._looking is not None:
            return self.work.look_card(self.job.procedure.steps[self._looking])
        return self.work.card

    def compose(self) -> ComposeResult:
        """Lay the screen out."""
        yield Words("where")
        yield PhaseLine(self.shop, self.job, self.now)
        yield StandingStrip()
        with Horizontal(id="middle"):
            yield Sequence()
            yield self._pane
        yield Words("message")
        yield Words("gate")
        yield Words("last")
        yield KeyStrip()

    def on_mount(self) -> None:
        """Show the job, say what happened while it was away, and start the clock."""
        self.show()
        new = self.job.events[-1].seq == 1
        back = place.return_line(self.job.left_at, bool(self.job.torn), self.now())
        opened = self.job.state.opened
        first = vehicle_warning(opened.vehicle, opened.earlier) if new else back
        self.say("" if self.job.ended and not self.job.torn else first)
        self.set_interval(1.0, self.tick)
        read_done(self, self._guidance)

    @on(DoneRead)
    def _done_read(self, event: DoneRead) -> None:
        self._guidance.know(event.who, event.past)
        self._show_card(self.card)

    def on_resize(self) -> None:
        """Find out anew how much of what must stay true has room."""
        self.query_one(StandingStrip).show(self.job.procedure, self.job.state)

    # --- showing -------------------------------------------------------------------------------

    def show(self) -> None:
        """Bring every part of the screen in line with the state of the job."""
        procedure, state = self.job.procedure, self.job.state
        card = self.card
        put(self, "where", place.where(procedure, state))
        self.query_one(PhaseLine).show()
        self.query_one(StandingStrip).show(procedure, state)
        put(self, "gate", place.gate_ahead(procedure, state))
        put(self, "last", place.last_line(procedure, state))
        self._show_card(card)
        self.query_one(Sequence).show(place.sequence(procedure, state), card.step)

    def _show_card(self, card: Card) -> None:
        new = self._topic != card.topic
        self._topic = card.topic
        if card.kind == "step" and card.step is not None:
            self._half_typed.turn_to(card.step)
        guided = self._guidance.shown(card, self._with_why)
        self._pane.show(guided.card, guided.why)
        if new:
            self._held_enter.card_came()
            self.take_focus()

    def take_focus(self) -> None:
        """Put the focus where the next key belongs."""
        if self._looking is not None:
            self.query_one(Sequence).focus()
        else:
            self._pane.take_focus()

    def say(self, message: str, tone: Tone = "label") -> None:
        """Show one sentence until the next key that does something, then what must be minded."""
        said = message or self._services.reminder
        put(self, "message", shown.piece(Piece(tone, said)) if said else "")

    def takes_code(self, code: str) -> str:
        """Return which step takes `code`, and how, as a sentence."""
        return takes_codes(self.job.procedure, self.job.state, code)

    # --- the clock -----------------------------------------------------------------------------

    def tick(self) -> None:
        """Move the clocks on, and notice that the laptop slept."""
        try:
            if self.notice_sleep():
                return
        except StoreTrouble as trouble:
            self.say(str(trouble), "bad")
            return
        if self.work.seat.lock_if_idle():
            self.show()
            self.take_focus()
        state = self.job.state
        self.query_one(PhaseLine).show()
        step = self.job.procedure.steps.get(state.current or "")
        if self._looking is None and ((step and step.verb == "wait") or state.status == "paused"):
            self._show_card(self.card)

    def notice_sleep(self) -> bool:
        """Return whether the laptop slept, once that is kept and shown.

        Raises:
            StoreTrouble: It cannot be kept.
        """
        slept = self.work.notice_sleep()
        if slept:
            self.after()
        return slept

    # --- answering -----------------------------------------------------------------------------

    def on_key(self, event: KeyPressed) -> None:
        """Keep an Enter that is held down from answering the next step too; fields take it all."""
        if self._held_enter.repeats(event.key) and not isinstance(self.focused, Input):
            event.stop()
            self.say("Enter came again at once, and answers nothing here. Read, then press it.")

    def action_press(self, pressed: str) -> None:
        """Do what `pressed` stands for on the card now shown."""
        self._pane.press(pressed)

    @on(CardPane.Chosen)
    @on(CardEntry.Made)
    def _chosen(self, event: CardPane.Chosen | CardEntry.Made) -> None:
        does = self._pane.meant(event) if isinstance(event, CardPane.Chosen) else event.does
        if does is not None:
            self.doing.do(does)

    @on(CardPane.NoAnswer)
    @on(CardEntry.Unusable)
    def _unusable(self, event: CardPane.NoAnswer | CardEntry.Unusable) -> None:
        self.say(event.sentence, "bad")

    def saved(self, before: State) -> None:
        """Show what a form led to after `before`; the Enter that saved it answers nothing more."""
        self._held_enter.repeats("enter")
        self.after_deed()
        kept = kept_besides(before, self.job.state)
        if kept is not None:
            self.say(kept.words, kept.tone)

    def after_deed(self) -> None:
        """Show the state that the deed led to; forget what was typed once it is answered."""
        more_typed = self.work.answered == "a line" and self._pane.entry.takes_at_once
        if self.work.answered_step and not more_typed:
            self._half_typed.forget()
        self.after()

    def after(self) -> None:
        """Show the state that was come to, by a deed or, as by signing on, by none."""
        self._looking = None
        self.say("")
        card = self.card
        if self._topic == card.topic:
            self._pane.next_row(card)
        self.show()
        if self._status != self.job.state.status:
            self._status = self.job.state.status
            self.refresh_bindings()
        self.take_focus()
        self._services.copy_on()
        read_done(self, self._guidance)

    @on(CardEntry.Typed)
    def _typed(self) -> None:
        self._held_enter.repeats("a letter")  # which the field keeps to itself
        self._half_typed.rest()

    # --- looking -------------------------------------------------------------------------------

    @on(Sequence.Looked)
    def _looked(self, event: Sequence.Looked) -> None:
        self.look_at(event.step)

    def look_at(self, step: str) -> None:
        """Look at another step, without moving the one in hand."""
        if self._looking is None:
            self._half_typed.keep()
        self._looking = step if step != self.job.state.current else None
        card = self.card
        self.query_one(Sequence).turn_to(card.step)
        self._show_card(card)

    def action_look(self, by: int) -> None:
        """Look at the step before or after, without moving the one in hand."""
        steps = list(self.job.procedure.steps)
        at = self._looking or self.query_one(Sequence).now or steps[0]
        self.look_at(steps[min(max(steps.index(at) + by, 0), len(steps) - 1)])

    def action_return(self) -> None:
        """Go back to the one thing to do now; where all is done, to the board."""
        if self._looking is None and self.job.ended:
            self.leave()
            return
        if self._looking is None and not self.work.again:
            self.work.date_now()
        self._looking = None
        self.work.again = False
        self.say("")
        self.show()
        self.take_focus()

    def action_scroll_card(self, by: int) -> None:
        """Scroll the card by a page."""
        self._pane.scroll_page(by)

    # --- from any step -------------------------------------------------------------------------

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer what adds to the job only while it is taken."""
        return action not in refused_now(self.job.state)

    def action_note(self) -> None:
        """Write a note."""
        self.doing.ask(job_forms.note_form())

    def action_photo(self) -> None:
        """Add a photo by its path, or the newest from the watched folder."""
        from baycompanion.working.photo import photo_form

        self.doing.ask(photo_form(self.shop))

    def action_pause(self) -> None:
        """Stop for a while."""
        self.doing.ask(job_forms.pause_form(why_parts_stop(self.job.procedure, self.job.state)))

    def action_fault(self) -> None:
        """Say that something was found wrong."""
        self.doing.ask(job_forms.fault_form())

    def action_reopen(self) -> None:
        """Reopen the step looked at, or the one finished last."""
        name = self._looking or last_finished(self.job.state)
        if name is None or not self.job.state.track(name).finished:
            self.say("Look at a finished step first (arrow keys), then press F6.")
            return
        procedure, state = self.job.procedure, self.job.state
        self.doing.ask(job_forms.reopen_form(procedure, state, procedure.steps[name]))

    def action_why(self) -> None:
        """Show or hide why the step is done; of a card that is shown short, everything."""
        card = self.card
        if self._guidance.turn(card, self._with_why):
            self.show()
            return
        self._with_why = not self._with_why
        self.show()
        if self._with_why and not self._guidance.shown(card, self._with_why).why:
            self.say(card.no_why)

    def action_sum(self) -> None:
        """Work out a sum of the trade, while the step waits."""
        self._services.serve("sum")

    @property
    def menu_entries(self) -> tuple[MenuEntry, ...]:
        """Everything else that can be done now."""
        entries = self.work.menu
        return (*entries, ALL_STANDING) if self.query_one(StandingStrip).cut else entries

    def action_menu(self) -> None:
        """Offer everything else."""
        entries = [(entry.label, entry.does) for entry in self.menu_entries]
        self.app.push_screen(Menu(entries), self.choose)

    def choose(self, does: Form[Deed] | Service | None) -> None:
        """Do what was chosen from the menu, if anything was."""
        if isinstance(does, Form):
            self.doing.ask(does)
        elif does is not None:
            self._services.serve(does)

    def action_help(self) -> None:
        """Say what the keys do."""
        from baycompanion.screens.help import help_page

        self.app.push_screen(Page(help_page()))

    def leave(self) -> None:
        """Give the job back and go to the board."""
        self.give_back()
        self.dismiss(None)

    def keep_half_typed(self) -> None:
        """Keep what is half typed on the card, at once."""
        if self.is_mounted:  # a window can be closed before the job stands in it
            self._half_typed.keep()

    def give_back(self) -> None:
        """Keep what is half typed, and let others open the job; all else is on the disk already."""
        self.keep_half_typed()
        self.job.leave()
