"""A few questions, one below the other; Enter goes on, the last one saves, Escape goes back."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Any

from textual import on
from textual.app import App, ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.content import Content
from textual.events import Click
from textual.message import Message
from textual.screen import ModalScreen
from textual.timer import Timer
from textual.widget import Widget
from textual.widgets import Button, Input, OptionList, Static
from textual.widgets.option_list import Option

from baycompanion.screens.form.questions import ChosenAnswer, TypedAnswer
from baycompanion.screens.job.half_typed import REST
from baycompanion.screens.shown import pieces
from baycompanion.store.job.draft import keep_own, typed_of
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.clean import clean_line
from baycompanion.text.problem import BadFile
from baycompanion.views.card.card import Field, First, Form, Piece
from baycompanion.views.sentence import first_sentence

Take = Callable[[Any], str | First | None]
"""Takes what the answers make; returns why the form stays open: a sentence, or what comes first."""

Keep = Callable[[str, Mapping[str, str]], None]
"""Keeps what is typed in the form of a title; nothing typed is to be forgotten."""

Question = TypedAnswer | ChosenAnswer

MOST_OPEN = 3
"""Answers that a list shows on a low screen even where another question is in hand."""
BESIDE_FIELDS = 10
"""Rows of a form that are no question's: its border, its title, an error in full, its buttons."""

MORE_ABOVE = "PgUp: more stands above"
"""Said where what comes before the first question has no room beside it."""

LEFT_TYPED = Piece("why", "Typed before this window was closed. Look it over.")


class FormScreen(ModalScreen[bool]):
    """Asks the questions of a form; dismissed with whether its deed was done."""

    CSS_PATH = "form.tcss"
    BINDINGS = [
        Binding("escape", "back", "Back", id="form.back"),
    ]

    def __init__(
        self,
        form: Form[Any],
        take: Take,
        typed: Mapping[str, str] = MappingProxyType({}),
        keep: Keep = lambda title, typed: None,
    ) -> None:
        """Ask `form`, and hand what its answers make to `take`.

        `typed` is what was typed in it before a window was closed; `keep` keeps it for the next.
        """
        super().__init__()
        self._form = form
        self._take = take
        self._typed = typed
        self._keep = keep
        self._resting: Timer | None = None
        self._error = ""
        self._refused: Question | None = None
        """The one question that the error is about, if it is about one."""
        self._done = False
        """Whether the deed was done, or given up: keys of the same burst may still come."""

    @property
    def topic(self) -> object:
        """The question in hand: another one is another answer, and stands elsewhere."""
        return self.focused

    def compose(self) -> ComposeResult:
        """Lay the questions out."""
        with Vertical(id="form"):
            yield Static(self._form.title, id="form-title", markup=False)
            with VerticalScroll(id="form-fields", can_focus=False):
                if self._form.lead:
                    yield Static(pieces(self._form.lead), id="form-lead")
                for field in self._form.fields:
                    yield Static(_label(field), classes="form-label", markup=False)
                    yield self._widget(field)
            yield Static("", id="form-error", markup=False)
            with Horizontal(id="form-buttons"):
                yield Button(Content(f"Enter  {self._form.accept}"), id="form-accept")
                yield Button(Content("Esc  Back"), id="form-back")

    def on_mount(self) -> None:
        """Begin at the first question."""
        self.set_focus(self._questions()[0])
        self.watch(self.query_one("#form-fields"), "scroll_y", self._tell_above, init=False)

    def on_resize(self) -> None:
        """Keep the error, the buttons and the question in hand in sight, however many there are."""
        beside = BESIDE_FIELDS if self._error else BESIDE_FIELDS - 2
        self.query_one("#form-fields").styles.max_height = max(3, self.size.height - beside)
        self.call_after_refresh(self._show_in_hand)

    def on_click(self, event: Click) -> None:
        """Take the question in hand whose words were touched: its field is one row high."""
        if event.widget is not None and event.widget.has_class("form-label"):
            fields = self.query_one("#form-fields").children
            self.set_focus(fields[fields.index(event.widget) + 1])

    def on_descendant_focus(self) -> None:
        """Show what is asked, too: the library scrolls as far as the field alone.

        A list stays open until another question is in hand: folded by the finger on a button, it
        would draw the button away from under it.
        """
        in_hand = self.focused
        if isinstance(in_hand, TypedAnswer | ChosenAnswer):
            for question in self._questions():
                question.set_class(question is in_hand, "-in-hand")
        self._tell_above()
        self.call_after_refresh(self._show_in_hand)

    def _show_in_hand(self) -> None:
        """Scroll to the question in hand: where there is less room now, it may be out of sight."""
        in_hand = self.focused
        if isinstance(in_hand, TypedAnswer | ChosenAnswer):
            fields = self.query_one("#form-fields")
            asked = fields.children[fields.children.index(in_hand) - 1]
            for shown in (asked, in_hand):  # at once: a scroll under way would mislead them
                fields.scroll_to_widget(shown, animate=False, immediate=True)

    def _tell_above(self) -> None:
        """Say so where what is to be read before the first question is out of sight."""
        unread = self._form.lead and self.focused is self._questions()[0]
        above = self.query_one("#form-fields").scroll_offset.y > 0
        self.query_one("#form").border_title = MORE_ABOVE if unread and above else ""

    def _asked(self) -> list[tuple[Field, Question]]:
        """Return what is asked, each with where it is answered."""
        return list(zip(self._form.fields, self._questions(), strict=True))

    def _questions(self) -> list[Question]:
        return [
            widget
            for widget in self.query("#form-fields > *")
            if isinstance(widget, TypedAnswer | ChosenAnswer)
        ]

    def _widget(self, field: Field) -> Question:
        name = f"field-{field.name}"
        value = self._typed.get(field.name, field.value)
        if not field.choices:
            return TypedAnswer(
                self._go_on, value=value, id=name, compact=True, password=field.secret
            )
        options = [Option(Content(clean_line(choice))) for choice in field.choices]
        listed = ChosenAnswer(self._go_on, *options, id=name, compact=True)
        listed.set_class(len(options) > MOST_OPEN, "-long")
        listed.highlighted = field.choices.index(value) if value in field.choices else 0
        return listed

    # --- half typed ----------------------------------------------------------------------------

    @on(Input.Changed)
    @on(OptionList.OptionHighlighted)
    def _rest(self, event: Message) -> None:
        """Keep what is typed as soon as the hands rest."""
        event.stop()
        if self._resting is not None:
            self._resting.stop()
        self._resting = self.set_timer(REST, self.keep)

    def keep(self) -> None:
        """Keep what is typed, but for what is shown nowhere; what is done with is forgotten."""
        if not self.is_mounted:
            return
        typed = {
            field.name: _answer(field, widget)
            for field, widget in self._asked()
            if not field.secret and _answer(field, widget) != _untouched(field)
        }
        self._keep(self._form.title, {} if self._done else typed)

    # --- answering -----------------------------------------------------------------------------

    @on(OptionList.OptionSelected)
    def _touched(self, event: OptionList.OptionSelected) -> None:
        """Go to the question after a list that was touched; what saves has a place of its own."""
        event.stop()
        after = self._after(event.option_list)
        if after is not None:
            self.set_focus(after)

    def _go_on(self, answered: Widget) -> None:
        """Go to the question after the one that was `answered`, or after the last one save."""
        if isinstance(answered, ChosenAnswer) and self._refuses(answered):
            return
        if self._lacks_secret(answered):
            return
        after = self._after(answered)
        if after is None:
            self.action_save()
            return
        self.set_focus(after)
        if answered is self._refused and self._has_answer(answered):
            self._say("")

    def _after(self, answered: Widget) -> Question | None:
        questions = self._questions()
        place = next(n for n, question in enumerate(questions) if question is answered)
        return questions[place + 1] if place + 1 < len(questions) else None

    @on(Button.Pressed, "#form-accept")
    def action_save(self) -> None:
        """Hand the answers in, once; the form stays open, as typed, when they are refused."""
        if self._done or any(
            self._refuses(each) for each in self._questions() if isinstance(each, ChosenAnswer)
        ):
            return
        answers = {field.name: _answer(field, widget) for field, widget in self._asked()}
        empty = [
            (field, widget)
            for field, widget in self._asked()
            if not answers[field.name].strip() and not field.may_be_empty
        ]
        if empty:
            self._say_missing(*empty[0])
            self.set_focus(empty[0][1])
            return
        try:
            error = self._take(self._form.make(answers))
        except ValueError as wrong:
            error = first_sentence(wrong)
        except (StoreTrouble, BadFile) as trouble:
            error = str(trouble).splitlines()[0]
        if error is None:
            self._leave(True)
        elif isinstance(error, First):
            self._ask_first(error)
        else:
            self._say(error)
            self._ask_secret_again()

    def _lacks_secret(self, answered: Widget) -> bool:
        """Return whether a PIN that must be given is not, once that is said.

        Gone past by an Enter too many, it would be typed in clear into the field after it.
        """
        for field, widget in self._asked():
            must = widget is answered and field.secret and not field.may_be_empty
            if must and not _answer(field, widget).strip():
                self._say_missing(field, widget)
                return True
        return False

    def _has_answer(self, question: Widget) -> bool:
        return any(
            each is question and _answer(field, each).strip() for field, each in self._asked()
        )

    def _say_missing(self, field: Field, question: Question) -> None:
        self._say(f"{field.label.rstrip('?')}: nothing is entered yet.", question)

    def _refuses(self, chosen: ChosenAnswer) -> bool:
        """Return whether something else was typed than what is `chosen`, once that is said."""
        if not chosen.fits_none:
            return False
        typed = clean_line(chosen.fits_none)
        told = f"“{typed}” is none of them. Choose with the arrows, or type how it begins."
        self._say(told, chosen)
        chosen.type_anew()
        self.set_focus(chosen)
        return True

    def _ask_secret_again(self) -> None:
        """Go back to what is shown nowhere: typed once more in another field, it would stand there.

        What is typed takes its place, and Enter alone keeps it, where something else was refused.
        """
        for field, widget in self._asked():
            if field.secret and isinstance(widget, Input):
                self.set_focus(widget)
                widget.select_all()

    def _ask_first(self, first: First) -> None:
        """Ask what comes before this form, and then hand its answers in again."""
        ask(self.app, first.form, first.take, self.action_save)

    def _say(self, error: str, refused: Question | None = None) -> None:
        """Say why the form stays, and leave the button, if it was touched, for what was in hand.

        Where one question alone was `refused`, it is told until that is answered.
        """
        self._error = error
        self._refused = refused
        self.on_resize()
        self.query_one("#form-error", Static).update(error)
        if not isinstance(self.focused, TypedAnswer | ChosenAnswer):
            questions = self._questions()
            in_hand = (each for each in questions if each.has_class("-in-hand"))
            self.set_focus(next(in_hand, questions[0]))

    @on(Button.Pressed, "#form-back")
    def action_back(self) -> None:
        """Leave without doing anything."""
        self._leave(False)

    def _leave(self, did: bool) -> None:
        self._done = True
        self.keep()
        self.dismiss(did)


def ask(
    app: App[Any],
    form: Form[Any],
    take: Take,
    then: Callable[[], object],
    back: Callable[[], object] | None = None,
) -> None:
    """Put `form` in front; `then` follows once its answers are taken.

    `back` follows where the person goes back without an answer.
    """
    show_form(app, _with_kept(app, form, take), then, back)


def _with_kept(app: App[Any], form: Form[Any], take: Take) -> FormScreen:
    """Return the screen of a form outside of a job, with what a closed window has left in it.

    Where nothing is written in words, nothing is kept.
    """
    written = any(not field.choices and not field.secret for field in form.fields)
    said = "\n".join((form.title, *(piece.words for piece in form.lead)))
    place = app.own_place(said) if written else None  # type: ignore[attr-defined]
    if place is None:
        return FormScreen(form, take)
    typed = typed_of(place, {})
    lead = (*form.lead, LEFT_TYPED) if typed else form.lead
    shown = replace(form, lead=lead)
    return FormScreen(shown, take, typed, lambda title, fields: keep_own(place, fields))


def show_form(
    app: App[Any],
    form: FormScreen,
    then: Callable[[], object],
    back: Callable[[], object] | None,
) -> None:
    """Put `form` in front; `then` and `back` follow as in `ask`."""

    def done(did: bool | None) -> None:
        if did:
            then()
        elif back is not None:
            back()

    app.push_screen(form, done)


def _label(field: Field) -> str:
    hint = f"  ({field.hint})" if field.hint else ""
    may = "  (may stay empty)" if field.may_be_empty and not field.hint else ""
    return f"{field.label}{hint}{may}"


def _untouched(field: Field) -> str:
    """Return the answer of a field to which nobody has done anything."""
    return field.value if not field.choices or field.value in field.choices else field.choices[0]


def _answer(field: Field, widget: Question) -> str:
    if isinstance(widget, TypedAnswer):
        return widget.value
    return field.choices[widget.highlighted or 0]
