"""The job: one thing to do now, the sequence beside it, and what holds it up."""

import json
from collections.abc import Callable, Sequence
from datetime import datetime

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, ItemGrid, Vertical, VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.timer import Timer
from textual.widgets import Button, Footer, Input, OptionList, Static
from textual.widgets.option_list import Option

from baycompanion.job.actions import FindGap
from baycompanion.job.draft import Refused
from baycompanion.screens import shown
from baycompanion.screens.form import FormScreen
from baycompanion.screens.job_menu import JobMenu
from baycompanion.store.open_job import OpenJob
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble
from baycompanion.views import forms, place
from baycompanion.views.card import Again, Card, Deed, Does, Entry, Form, GoTo, Key, Piece
from baycompanion.views.cards import again_card, job_card, look_card

MOST_KEYS = 6
UNNOTICED = 120
"""Seconds between two ticks of the screen's own clock after which the laptop must have slept."""


class JobScreen(Screen[None]):
    """Walks a person through one job."""

    CSS_PATH = "job.tcss"
    AUTO_FOCUS = None
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
        self._with_why = (
            shop.staff[job.state.technician].role == "trainee"
            if (job.state.technician in shop.staff)
            else False
        )
        self._entries: tuple[str, ...] = ()
        self._row = 0
        self._shown_for: tuple[str | None, str] | None = None
        self._lines: list[place.Line] = []
        self._ticked_at = now()
        self._draft_timer: Timer | None = None

    @property
    def card(self) -> Card:
        """What stands in the middle right now."""
        procedure, state = self.job.procedure, self.job.state
        if self._looking is not None:
            return look_card(procedure, state, procedure.steps[self._looking])
        if self._again and state.current is not None:
            return again_card(procedure, state, self.now())
        return job_card(procedure, state, self.shop.reasons, self.now())

    def compose(self) -> ComposeResult:
        """Lay the screen out."""
        yield Static("", id="where", markup=False)
        yield Static("", id="phase", markup=False)
        yield Static("", id="standing", markup=False)
        with Horizontal(id="middle"):
            yield OptionList(id="sequence", compact=True, markup=False)
            with Vertical(id="card"):
                yield Static("", id="heading", markup=False)
                with VerticalScroll(id="reading", can_focus=False):
                    yield Static("", id="before", markup=False)
                    yield Static("", id="title", markup=False)
                    yield Static("", id="pieces", markup=False)
                    yield Static("", id="why", markup=False)
                    yield Static("", id="entries", markup=False)
                yield OptionList(id="rows", compact=True, markup=False)
                yield Static("", id="entry-label", markup=False)
                yield Input(id="entry", compact=True, select_on_focus=False)
                yield Static("", id="says", markup=False)
                with ItemGrid(id="keys", min_column_width=24, stretch_height=False):
                    for number in range(MOST_KEYS):
                        yield Button("", id=f"key-{number}", compact=True)
        yield Static("", id="message", markup=False)
        yield Static("", id="gate", markup=False)
        yield Static("", id="last", markup=False)
        yield Footer(show_command_palette=False)

    def on_mount(self) -> None:
        """Show the job, say what happened while it was away, and start the clock."""
        self._fill_sequence()
        self.show()
        said = []
        if self.job.torn:
            said.append("The last line of the journal was cut off by a crash and is set aside.")
        if self.job.events[-1].seq > 1:
            said.append(f"Last entry {self.job.left_at[:16].replace('T', ' ')} UTC.")
        self.say(" ".join(said))
        self.set_interval(1.0, self._tick)

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
        self._show_sequence(card)

    def _put(self, name: str, content: str | Content) -> None:
        widget = self.query_one(f"#{name}", Static)
        widget.update(content)
        widget.display = bool(content)

    def _show_card(self, card: Card) -> None:
        new = self._shown_for != (card.step, card.kind)
        self._shown_for = (card.step, card.kind)
        self.query_one("#card").set_class(card.kind in ("caution", "gate", "unsettled"), "-stop")
        self._put("heading", card.heading)
        self._put("before", shown.pieces(card.before) if card.before else "")
        self._put("title", card.title)
        self._put("pieces", shown.pieces(card.pieces) if card.pieces else "")
        self._put("why", self._why(card))
        if new:
            self._row = next((n for n, row in enumerate(card.rows) if not row.answered), 0)
            self._take_up_draft(card)
        self._show_rows(card)
        self._show_entry(card)
        self._show_keys(card)
        if new:
            self.query_one("#reading", VerticalScroll).scroll_home(animate=False)
            self._focus(card)

    def _why(self, card: Card) -> Content | str:
        step = self.job.procedure.steps.get(card.step) if card.step else None
        if step is None or not step.why or not self._with_why:
            return ""
        return shown.piece(Piece("why", f"Why: {step.why}"))

    def _show_rows(self, card: Card) -> None:
        rows = self.query_one("#rows", OptionList)
        rows.display = bool(card.rows)
        if not card.rows:
            rows.clear_options()
            return
        options = [shown.row(row) for row in card.rows]
        if rows.option_count == len(options):
            for index, option in enumerate(options):
                rows.replace_option_prompt_at_index(index, option)
        else:
            rows.clear_options()
            rows.add_options([Option(option) for option in options])
        self._row = min(self._row, len(options) - 1)
        rows.highlighted = self._row

    def _entry(self, card: Card) -> Entry | None:
        """Return the value that is asked for: the card's own, or that of the row in hand."""
        return card.rows[self._row].entry if card.rows else card.entry

    def _show_entry(self, card: Card) -> None:
        field = self.query_one("#entry", Input)
        entry, listed = self._entry(card), card.list_entry
        field.display = entry is not None or listed is not None
        label = (
            f"{entry.label}  ({entry.hint})"
            if entry and entry.hint
            else entry.label
            if entry
            else ""
        )
        self._put("entry-label", listed.label if listed else label)
        self._put("entries", _list_text(self._entries, listed.before) if listed else "")
        self._say_of_entry(card)

    def _say_of_entry(self, card: Card) -> None:
        entry = self._entry(card)
        said = entry.says(self.query_one("#entry", Input).value) if entry else None
        self._put("says", shown.piece(said) if said else "")

    def _keys(self, card: Card) -> list[Key]:
        """Return the keys that work now: those of the row in hand, then the card's own."""
        row: Sequence[Key] = card.rows[self._row].keys if card.rows else ()
        return [*row, *card.keys][:MOST_KEYS]

    def _show_keys(self, card: Card) -> None:
        keys = self._keys(card)
        for number in range(MOST_KEYS):
            button = self.query_one(f"#key-{number}", Button)
            button.display = number < len(keys)
            if number < len(keys):
                key = keys[number]
                name = "Enter" if key.enter and not card.rows else key.key
                button.label = Content(f"{name}  {key.label}")

    def _focus(self, card: Card) -> None:
        if self._looking is not None:
            self.query_one("#sequence").focus()
        elif self._entry(card) is not None or card.list_entry is not None:
            self.query_one("#entry").focus()
        elif card.rows:
            self.query_one("#rows").focus()
        else:
            self.set_focus(None)

    def _fill_sequence(self) -> None:
        self._lines = list(place.sequence(self.job.procedure, self.job.state))
        sequence = self.query_one("#sequence", OptionList)
        sequence.clear_options()
        sequence.add_options(
            [Option(shown.line(line), disabled=line.kind != "step") for line in self._lines]
        )

    def _show_sequence(self, card: Card) -> None:
        sequence = self.query_one("#sequence", OptionList)
        lines = place.sequence(self.job.procedure, self.job.state)
        if len(lines) != len(self._lines):
            self._fill_sequence()
        for index, (old, new) in enumerate(zip(self._lines, lines, strict=False)):
            if old != new:
                sequence.replace_option_prompt_at_index(index, shown.line(new))
        self._lines = list(lines)
        step = card.step or self._where_held()
        at = next((n for n, line in enumerate(lines) if line.name == step), None)
        if at is not None and sequence.highlighted != at:
            with sequence.prevent(OptionList.OptionHighlighted):
                sequence.highlighted = at

    def _where_held(self) -> str | None:
        return next(
            (line.name for line in self._lines if line.sign in ("■", "▶") and line.kind == "step"),
            None,
        )

    def say(self, message: str) -> None:
        """Show one sentence until the next key that does something."""
        self._put("message", message)

    # --- the clock -----------------------------------------------------------------------------

    def _tick(self) -> None:
        """Move the clocks on, and notice that the laptop slept."""
        now = self.now()
        passed = (now - self._ticked_at).total_seconds()
        self._ticked_at = now
        state = self.job.state
        running = state.status == "open" and state.gap is None and state.accepted_at is not None
        if running and passed > UNNOTICED:
            self._act(Deed(FindGap(gap="slept", seconds=int(passed))))
            return
        self._put("phase", place.phase_line(self.job.procedure, state, now))
        step = self.job.procedure.steps.get(state.current or "")
        if self._looking is None and ((step and step.verb == "wait") or state.status == "paused"):
            self._show_card(self.card)

    # --- answering -----------------------------------------------------------------------------

    def action_press(self, pressed: str) -> None:
        """Do what `pressed` stands for on the card now shown."""
        if self.app.too_small:  # type: ignore[attr-defined]
            return
        for key in self._keys(self.card):
            if key.key == pressed or (pressed == "enter" and key.enter):
                self._do(key.does)
                return
        if pressed == "enter" and self._looking is not None:
            self.action_return()

    @on(Button.Pressed)
    def _button(self, event: Button.Pressed) -> None:
        event.stop()
        number = int((event.button.id or "key-0").removeprefix("key-"))
        keys = self._keys(self.card)
        if number < len(keys):
            self._do(keys[number].does)

    def _do(self, does: Does) -> None:
        if isinstance(does, Deed):
            self._act(does)
        elif isinstance(does, Form):
            self.ask(does)
        elif isinstance(does, Again):
            self._again = True
            self.show()
        elif isinstance(does, GoTo):
            self._looking = does.step
            self.show()

    def ask(self, form: Form) -> None:
        """Put a form in front; it stays until its deed is done or the person goes back."""

        def submit(answers: dict[str, str]) -> str | None:
            try:
                deed = form.make(answers)
            except ValueError as error:
                return _first_sentence(error)
            return self._carry_out(deed)

        def done(did: bool | None) -> None:
            if did:
                self._after()
            else:
                self._focus(self.card)

        self.app.push_screen(FormScreen(form, submit), done)

    def _act(self, deed: Deed) -> None:
        refusal = self._carry_out(deed)
        if refusal is None:
            self._after()
        else:
            self.say(refusal)
            self.app.bell()

    def _carry_out(self, deed: Deed) -> str | None:
        """Make the deed durable; return the sentence that says why not, or None."""
        try:
            who = self.shop.person(deed.by or self.job.state.technician)
            result = self.job.act(deed.action, who, self.now())
        except StoreTrouble as trouble:
            return str(trouble)
        return _refusal(result) if isinstance(result, Refused) else None

    def _after(self) -> None:
        """Show the state that the deed led to, and forget what was typed for it."""
        self._looking = None
        self._again = False
        if (
            self.job.state.current is None
            or self._shown_for != (self.job.state.current, "step")
            or not self.card.rows
        ):
            self._forget_draft()
        self.say("")
        card = self.card
        if card.rows and self._shown_for == (card.step, card.kind):
            self._next_row(card)
        self.show()
        self._focus(card)

    def _next_row(self, card: Card) -> None:
        """Go on to the next line that has no answer, from the one in hand."""
        self.query_one("#entry", Input).value = ""
        order = [*range(self._row, len(card.rows)), *range(self._row)]
        self._row = next((n for n in order if not card.rows[n].answered), self._row)

    # --- typing --------------------------------------------------------------------------------

    @on(Input.Changed, "#entry")
    def _typed(self, event: Input.Changed) -> None:
        card = self.card
        self._say_of_entry(card)
        if self._draft_timer is not None:
            self._draft_timer.stop()
        self._draft_timer = self.set_timer(0.4, self._keep_draft)

    @on(Input.Submitted, "#entry")
    def _entered(self, event: Input.Submitted) -> None:
        event.stop()
        card, text = self.card, event.value
        entry = self._entry(card)
        if card.list_entry is not None:
            self._enter_in_list(text)
        elif entry is None or (card.rows and not text.strip()):
            self.action_press("enter")
        else:
            try:
                deed = entry.make(text)
            except ValueError as error:
                self.say(_first_sentence(error))
                return
            self._act(deed)

    def _enter_in_list(self, text: str) -> None:
        """Add one entry to the list; an empty line saves it."""
        listed = self.card.list_entry
        assert listed is not None
        if not text.strip():
            self._act(listed.make(self._entries))
            return
        self._entries = (*self._entries, text.strip())
        self.query_one("#entry", Input).value = ""
        self._keep_draft()
        self.show()

    def on_key(self, event: object) -> None:
        """Take the last entry of a list back into the field when backspace finds it empty."""
        key = getattr(event, "key", "")
        field = self.query_one("#entry", Input)
        if key == "backspace" and self._entries and field.has_focus and not field.value:
            *rest, last = self._entries
            self._entries = tuple(rest)
            field.value = last
            field.cursor_position = len(last)
            self.show()
            getattr(event, "prevent_default", lambda: None)()

    def _keep_draft(self) -> None:
        state, field = self.job.state, self.query_one("#entry", Input)
        if state.current is None or not field.display:
            return
        kept = {"entry": field.value, "entries": json.dumps(self._entries)}
        self.job.keep_draft(state.current, kept if field.value or self._entries else {})

    def _take_up_draft(self, card: Card) -> None:
        """Put back what was half typed for this step when the job was left."""
        kept = self.job.draft_for(card.step) if card.step and card.kind == "step" else {}
        try:
            self._entries = tuple(map(str, json.loads(kept.get("entries", "[]"))))
        except (ValueError, TypeError):
            self._entries = ()
        field = self.query_one("#entry", Input)
        with field.prevent(Input.Changed):
            field.value = kept.get("entry", "")
        field.cursor_position = len(field.value)

    def _forget_draft(self) -> None:
        if self._draft_timer is not None:
            self._draft_timer.stop()
        self._entries = ()
        field = self.query_one("#entry", Input)
        with field.prevent(Input.Changed):
            field.value = ""
        self.job.keep_draft("", {})

    # --- looking -------------------------------------------------------------------------------

    @on(OptionList.OptionHighlighted, "#sequence")
    def _look_at(self, event: OptionList.OptionHighlighted) -> None:
        line = self._lines[event.option_index]
        if self.query_one("#sequence").has_focus and line.kind == "step":
            self._looking = line.name if line.name != self.job.state.current else None
            self.show()

    @on(OptionList.OptionSelected, "#sequence")
    def _selected(self, event: OptionList.OptionSelected) -> None:
        line = self._lines[event.option_index]
        self._looking = line.name if line.name != self.job.state.current else None
        self.show()

    def action_look(self, by: int) -> None:
        """Look at the step before or after, without moving the one in hand."""
        steps = list(self.job.procedure.steps)
        at = self._looking or self.job.state.current or self._where_held() or steps[0]
        target = min(max(steps.index(at) + by, 0), len(steps) - 1)
        self._keep_draft()
        self._looking = steps[target] if steps[target] != self.job.state.current else None
        self.show()

    def action_return(self) -> None:
        """Go back to the one thing to do now."""
        self._looking = None
        self._again = False
        self.say("")
        self.show()
        self._focus(self.card)

    @on(OptionList.OptionHighlighted, "#rows")
    def _row_in_hand(self, event: OptionList.OptionHighlighted) -> None:
        if event.option_index != self._row:
            self._row = event.option_index
            card = self.card
            self._show_entry(card)
            self._show_keys(card)

    @on(OptionList.OptionSelected, "#rows")
    def _row_entered(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        self._row = event.option_index
        card = self.card
        if card.kind == "step" and all(row.answered for row in card.rows):
            self.action_press("0")
        else:
            keys = card.rows[self._row].keys
            if keys:
                self._do(keys[0].does)

    def action_scroll_card(self, by: int) -> None:
        """Scroll the card by a page."""
        card = self.query_one("#reading", VerticalScroll)
        if by > 0:
            card.scroll_page_down(animate=False)
        else:
            card.scroll_page_up(animate=False)

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
        from baycompanion.views.cards import last_finished

        name = self._looking or last_finished(self.job.state)
        if name is None or not self.job.state.track(name).finished:
            self.say("Look at a finished step first (arrow keys), then press F6.")
            return
        self.ask(forms.reopen_form(self.job.procedure, self.job.procedure.steps[name]))

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
            entries.append(("Write the record as it stands", self._write_record))
            entries.append(("Give the job up…", lambda: self.ask(forms.abandon_form())))
        entries.append(("Light or dark", self.app.switch_ground))  # type: ignore[attr-defined]
        return tuple(entries)

    def _write_record(self) -> None:
        try:
            self.say(f"Written, marked provisional: {self.job.write_record()}")
        except StoreTrouble as trouble:
            self.say(str(trouble))

    def action_help(self) -> None:
        """Say what the keys do."""
        from baycompanion.screens.help import HelpScreen

        self.app.push_screen(HelpScreen())

    def leave(self) -> None:
        """Give the job back and go to the board; everything is on the disk already."""
        self._keep_draft()
        self.job.leave()
        self.dismiss(None)


def _label(entry: Entry | None) -> str:
    if entry is None:
        return ""
    return f"{entry.label}  ({entry.hint})" if entry.hint else entry.label


def _list_text(entries: tuple[str, ...], before: tuple[str, ...]) -> str:
    """Return the list so far, beside the earlier one if there is one."""
    if not before:
        return "\n".join(f"{n:>2}. {entry}" for n, entry in enumerate(entries, start=1)) or "–"
    width = max(len(entry) for entry in (*before, "before"))
    lines = [f"    {'before':<{width}}  now"]
    for n in range(max(len(before), len(entries))):
        old = before[n] if n < len(before) else "–"
        new = entries[n] if n < len(entries) else "·"
        same = "✓" if old.casefold() == new.casefold() else " " if new == "·" else "!"
        lines.append(f"{n + 1:>2}. {old:<{width}}  {new} {same}")
    return "\n".join(lines)


def _refusal(refused: Refused) -> str:
    things = " · ".join(thing.words for thing in refused.opens_by if thing.words)
    return f"{refused.why} {things}".strip()


def _first_sentence(error: ValueError) -> str:
    """Return what a model or a reader says of an entry, in one line."""
    from pydantic import ValidationError

    if isinstance(error, ValidationError):
        own = error.errors()[0].get("ctx", {}).get("error")
        if isinstance(own, ValueError) and own.args:
            return (
                ". ".join(map(str, own.args[0])) + "."
                if isinstance(own.args[0], tuple)
                else f"{own}."
            )
        return f"{error.errors()[0]['msg']}."
    return f"{error}".rstrip(".") + "."
