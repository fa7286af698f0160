"""The card on the screen: what to read, its lines, and the keys that answer."""

from collections.abc import Sequence

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical, VerticalScroll
from textual.message import Message
from textual.widgets import Button, OptionList
from textual.widgets.option_list import Option

from baycompanion.screens import shown
from baycompanion.screens.job.card_entry import CardEntry
from baycompanion.screens.job.card_keys import CardKeys, place_of
from baycompanion.screens.job.card_room import give_keys_room
from baycompanion.screens.job.card_rows import CardRows
from baycompanion.screens.job.outline import Outline
from baycompanion.screens.words import Words, put
from baycompanion.views.card.card import MOST_KEYS, Card, Does, Entry, GoTo, Key, Piece
from baycompanion.views.card.outline import HEIGHT, WIDTH

LEAST_HEIGHT = HEIGHT + 8
"""Rows in which the drawing fits: its line and hint, the heading, what is read, three of keys."""

BORDER = 2
"""Columns of the pane that hold no text."""


class CardPane(Vertical):
    """Shows one card, and says what the person chose on it."""

    class Chosen(Message):
        """A key was pressed: `does` is what it stands for."""

        def __init__(self, does: Does, pressed: str = "", topic: object = None) -> None:
            """Say that the person chose `does`, by the key `pressed` on the card about `topic`."""
            super().__init__()
            self.does = does
            self.pressed = pressed
            self.topic = topic

    class NoAnswer(Message):
        """Enter answers nothing on the line in hand; `sentence` says what does."""

        def __init__(self, sentence: str) -> None:
            """Say that Enter answers nothing."""
            super().__init__()
            self.sentence = sentence

    BINDINGS = [Binding("tab", "other_view", show=False)]

    def __init__(self) -> None:
        """Make an empty pane."""
        super().__init__(id="card")
        self._card = Card("", "", "")
        self._row = 0
        self._with_why = False
        """Whether the why was shown last."""
        self._as_list = False
        """Whether lines that have a place in a drawing are shown as a list all the same."""
        self.entry = CardEntry()
        """Where something is typed."""

    def compose(self) -> ComposeResult:
        """Lay the card out: the reading scrolls, what is typed and pressed stays in sight."""
        yield Words("heading")
        with VerticalScroll(id="reading", can_focus=False):
            for part in ("before", "title", "pieces", "why", "entries"):
                yield Words(part)
        yield Outline()
        yield CardRows(id="rows", compact=True, markup=False)
        yield self.entry
        yield CardKeys()

    def on_resize(self) -> None:
        """Find out anew whether the drawing has room, and the list below it."""
        outline = self.query_one(Outline)
        was_chosen_in = outline.has_focus
        self._show_rows()
        give_keys_room(self, self.query_one("#rows"), self.query_one(CardKeys))
        if was_chosen_in and not outline.display:
            self.take_focus()

    # --- showing -------------------------------------------------------------------------------

    def show(self, card: Card, why: str) -> None:
        """Show `card`, with `why` below what it says; a new card begins at its top.

        A why that is asked for on the same card is scrolled to: there may be no room above a list.
        """
        new = card.topic != self._card.topic
        with_why, self._with_why = self._with_why, bool(why)
        self._card = card
        self.set_class(card.kind in ("caution", "gate", "unsettled"), "-stop")
        self.set_class(bool(card.before and card.rows), "-cautioned")
        put(self, "heading", card.heading)
        put(self, "before", shown.pieces(card.before) if card.before else "")
        put(self, "title", card.title)
        put(self, "pieces", shown.pieces(card.pieces) if card.pieces else "")
        put(self, "why", shown.piece(Piece("why", f"Why: {why}")) if why else "")
        if new:
            self._as_list = False
            wrong = next((n for n, row in enumerate(card.rows) if row.sign == "!"), 0)
            self._row = next((n for n, row in enumerate(card.rows) if not row.answered), wrong)
        if new or (with_why and not why):
            self.query_one("#reading", VerticalScroll).scroll_home(animate=False)
        self._show_rows()
        self._show_entry()
        self._show_keys()
        if why and not (with_why or new):
            self.call_after_refresh(self.query_one("#why").scroll_visible, animate=False)

    def _show_rows(self) -> None:
        rows = self.query_one("#rows", OptionList)
        rows.display = bool(self._card.rows) and not (self._drawn and self._low)
        prompts = [shown.row(row) for row in self._card.rows]
        if rows.option_count != len(prompts):
            rows.clear_options()
            rows.add_options([Option(prompt) for prompt in prompts])
        else:
            for index, prompt in enumerate(prompts):
                rows.replace_option_prompt_at_index(index, prompt)
        if prompts:
            self._row = min(self._row, len(prompts) - 1)
            rows.highlighted = self._row
        self._show_outline()

    @property
    def _drawn(self) -> bool:
        """Whether the line in hand is chosen in the drawing."""
        rows = self._card.rows
        wanted = bool(rows) and not self._as_list and self._has_room
        return wanted and rows[self._row].panel is not None

    @property
    def _has_room(self) -> bool:
        """Whether the drawing fits; before the pane has a size it is taken to."""
        return not self.size or (self.size.width >= WIDTH and self.size.height >= LEAST_HEIGHT)

    @property
    def _low(self) -> bool:
        """Whether drawing and list have no room below each other."""
        return not self.screen.has_class("-high")

    def _show_outline(self) -> None:
        """Draw the panels, if the lines have any; on a low screen in place of the list."""
        outline = self.query_one(Outline)
        panels = any(row.panel is not None for row in self._card.rows)
        outline.display = panels and self._has_room and (self._drawn or not self._low)
        self.set_class(outline.display, "-drawn")
        fills = outline.display and self._low
        self.screen.set_class(fills, "-outline-fills")
        if outline.display:
            room = self.screen.size.width - BORDER if fills else 0
            outline.show(self._card.rows, self._card.rows[self._row], room)

    def action_other_view(self) -> None:
        """Turn from the drawing to the list and back, or where there is none to the next widget."""
        if not any(row.panel is not None for row in self._card.rows):
            self.screen.focus_next()
            return
        self._as_list = self._drawn
        self._show_rows()
        self.take_focus()

    @on(Outline.Chosen)
    def _panel_chosen(self, event: Outline.Chosen) -> None:
        event.stop()
        panels = [row.panel for row in self._card.rows]
        self._take_in_hand(panels.index(event.panel))

    @on(Outline.LineTouched)
    def _line_touched(self, event: Outline.LineTouched) -> None:
        event.stop()
        self._take_in_hand(self._card.rows.index(event.row))

    def _take_in_hand(self, row: int) -> None:
        """Take a line in hand that was chosen in the drawing, or beside it."""
        self._row = row
        self._as_list = False
        self._show_rows()
        self._show_keys()
        self.take_focus()

    @on(Outline.Entered)
    def _panel_entered(self, event: Outline.Entered) -> None:
        event.stop()
        self._enter_row()

    def _show_entry(self) -> None:
        """Ask for what is typed: the card's own value, or that of the row in hand."""
        card = self._card
        asked: Entry | None = card.rows[self._row].entry if card.rows else card.entry
        self.entry.show(asked, card.list_entry, of_a_line=bool(card.rows))
        # With the focus on lines that are typed for, what is typed would go nowhere.
        self.query_one("#rows").can_focus = asked is None or asked.at_once
        self._show_list()

    @on(CardEntry.Listed)
    def _show_list(self) -> None:
        put(self, "entries", self.entry.list_so_far)

    @property
    def _keys(self) -> list[Key]:
        """The keys that work now: those of the row in hand, then the card's own."""
        row: Sequence[Key] = self._card.rows[self._row].keys if self._card.rows else ()
        return [*row, *self._card.keys][:MOST_KEYS]

    @property
    def _to_touch(self) -> list[Key | None]:
        """The keys as they are touched; None is the Enter of the field.

        It stands in place of the card's own, which Enter presses only where nothing is typed.
        """
        keys = self._keys
        by_card = any(key.enter for key in keys) and not self.entry.is_begun
        if by_card or not self.entry.enter_does:
            return [*keys]
        of_row = len(self._card.rows[self._row].keys) if self._card.rows else 0
        return [*keys[:of_row], None, *(key for key in keys[of_row:] if not key.enter)]

    @property
    def enter_does(self) -> str:
        """What the key called Enter does, in a few words; empty where there is none."""
        named = (self._named(key).partition("  ") for key in self._to_touch)
        return next((does for name, _, does in named if name == "Enter"), "")

    def _show_keys(self) -> None:
        if self.query_one(CardKeys).show([self._named(key) for key in self._to_touch]):
            give_keys_room(self, self.query_one("#rows"), self.query_one(CardKeys))

    def _named(self, key: Key | None) -> str:
        if key is None:
            return f"Enter  {self.entry.enter_does}"
        by_enter = self.entry.asks or not self._card.rows  # a field takes a digit for itself
        return f"{'Enter' if key.enter and by_enter else key.key}  {key.label}"

    def take_focus(self) -> None:
        """Put the focus where the next key belongs."""
        if self.entry.asks:
            self.entry.take_focus()
        elif self._drawn:
            self.query_one(Outline).focus()
        elif self._card.rows:
            self.query_one("#rows").focus()
        else:
            self.screen.set_focus(None)

    def scroll_page(self, by: int) -> None:
        """Read on by a page, or back."""
        reading = self.query_one("#reading", VerticalScroll)
        if by > 0:
            reading.scroll_page_down(animate=False)
        else:
            reading.scroll_page_up(animate=False)

    # --- answering -----------------------------------------------------------------------------

    def press(self, pressed: str) -> bool:
        """Choose what the key `pressed` stands for; return whether it stands for anything."""
        does = self._does(pressed)
        if does is None:
            return False
        self.post_message(self.Chosen(does, pressed, self._card.topic))
        return True

    def _does(self, pressed: str) -> Does | None:
        for key in self._keys:
            if key.key == pressed or (pressed == "enter" and key.enter):
                return key.does
        return None

    def meant(self, chosen: Chosen) -> Does | None:
        """Return what was `chosen` on the line in hand by now, None where that is past.

        On a busy machine two keys come together. The first takes the list on to its next line, so
        the second is for that line; where the first brought another card, nobody has read it.
        """
        does: Does | None = chosen.does
        if chosen.pressed:
            past = chosen.topic != self._card.topic or self.app.screen is not self.screen
            does = None if past else self._does(chosen.pressed)
        return does if self._is_seen(does) else None

    def _is_seen(self, does: Does | None) -> bool:
        """Return whether what `does` answers was in sight; bring there what was scrolled away."""
        lines = self.query_one("#rows", CardRows)
        row = self._card.rows[self._row] if self._card.rows and lines.display else None
        if row is None or lines.in_hand_is_seen or all(key.does is not does for key in row.keys):
            return True
        lines.scroll_to_highlight()
        named = row.text.rstrip(".")
        self.post_message(
            self.NoAnswer(f"The line in hand stood out of sight: {named}. Look, then answer it.")
        )
        return False

    @on(Button.Pressed)
    def _button(self, event: Button.Pressed) -> None:
        event.stop()
        place = place_of(event.button)
        for key in self._to_touch[place : place + 1]:
            if key is None:
                self.entry.press_enter()
            else:
                self.post_message(self.Chosen(key.does))

    def next_row(self, card: Card) -> None:
        """Go on to the next line of `card` that has no answer, from the one in hand."""
        order = [*range(self._row, len(card.rows)), *range(self._row)]
        self._row = next((n for n in order if not card.rows[n].answered), self._row)

    @on(OptionList.OptionHighlighted, "#rows")
    def _row_in_hand(self, event: OptionList.OptionHighlighted) -> None:
        event.stop()
        if event.option_index != self._row:
            self._row = event.option_index
            self._show_outline()
            self._show_entry()
            self._show_keys()

    @on(OptionList.OptionSelected, "#rows")
    def _row_entered(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        self._row = event.option_index
        self._enter_row()

    @on(CardRows.Touched)
    def _row_touched(self, event: CardRows.Touched) -> None:
        """Answer by touch only where the line is the answer itself, or where nothing is kept.

        Any other line may be touched to be answered badly, or anew, or is typed for.
        """
        event.stop()
        row = self._card.rows[event.index]
        keys = () if row.entry is not None else row.keys
        if len(keys) == 1 or (keys and isinstance(keys[0].does, GoTo)):
            self.post_message(self.Chosen(keys[0].does))
        self.take_focus()

    def _enter_row(self) -> None:
        """Do what Enter does on a line: answer it well, or finish a list that is answered."""
        if all(row.answered for row in self._card.rows) and self.press("0"):
            return
        row = self._card.rows[self._row]
        if row.keys and row.by_enter:
            self.post_message(self.Chosen(row.keys[0].does))
        elif row.keys:
            first = row.keys[0]
            says = f"Enter answers nothing here. Press {first.key} for {first.label.lower()}."
            self.post_message(self.NoAnswer(says))

    @on(CardEntry.Typed)
    def _typed(self) -> None:
        self._show_keys()

    @on(CardEntry.EnteredNothing)
    def _nothing_typed(self, event: CardEntry.EnteredNothing) -> None:
        event.stop()
        if not self.press("enter") and self.entry.enter_does:
            self.post_message(self.NoAnswer("Nothing is typed yet."))

    @on(CardEntry.Moved)
    def _move(self, event: CardEntry.Moved) -> None:
        event.stop()
        self._row = min(max(self._row + event.by, 0), len(self._card.rows) - 1)
        self._show_rows()
        self._show_entry()
        self._show_keys()
