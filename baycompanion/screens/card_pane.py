"""The card on the screen: what to read, where to type, and the keys that answer."""

import json
from collections.abc import Mapping, Sequence

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import ItemGrid, Vertical, VerticalScroll
from textual.content import Content
from textual.events import Key as KeyPressed
from textual.message import Message
from textual.widgets import Button, Input, OptionList, Static
from textual.widgets.option_list import Option

from baycompanion.screens import shown
from baycompanion.screens.line_field import LineField
from baycompanion.screens.listing import Listing
from baycompanion.screens.outline import Outline
from baycompanion.views.card import MOST_KEYS, Card, Does, Entry, Key, ListEntry, Piece
from baycompanion.views.outline import HEIGHT, WIDTH
from baycompanion.views.sentence import first_sentence

LEAST_HEIGHT = HEIGHT + 6
"""Rows in which the drawing fits: its line, its hint, the heading and the keys besides it."""

BORDER = 2
"""Columns of the pane that hold no text."""


class CardPane(Vertical):
    """Shows one card, and says what the person chose on it."""

    class Chosen(Message):
        """A key was pressed, or an entry was finished: `does` is what it stands for."""

        def __init__(self, does: Does) -> None:
            """Say that the person chose `does`."""
            super().__init__()
            self.does = does

    class Unusable(Message):
        """What was typed cannot be used; `sentence` says why."""

        def __init__(self, sentence: str) -> None:
            """Say that the entry cannot be used."""
            super().__init__()
            self.sentence = sentence

    class Typed(Message):
        """Something was typed, or taken back."""

    BINDINGS = [Binding("tab", "other_view", show=False)]

    def __init__(self) -> None:
        """Make an empty pane."""
        super().__init__(id="card")
        self._card = Card("", "", "")
        self._row = 0
        self._as_list = False
        """Whether lines that have a place in a drawing are shown as a list all the same."""
        self._entries: tuple[str, ...] = ()

    def compose(self) -> ComposeResult:
        """Lay the card out: the reading scrolls, what is typed and pressed stays in sight."""
        yield Static("", id="heading", markup=False)
        with VerticalScroll(id="reading", can_focus=False):
            for part in ("before", "title", "pieces", "why", "entries"):
                yield Static("", id=part, markup=False)
        yield Outline()
        yield Listing(id="rows", compact=True, markup=False)
        yield Static("", id="entry-label", markup=False)
        yield LineField(id="entry", compact=True, select_on_focus=False)
        yield Static("", id="says", markup=False)
        with ItemGrid(id="keys", min_column_width=24, stretch_height=False):
            for number in range(MOST_KEYS):
                yield Button("", id=f"key-{number}", compact=True)

    def on_mount(self) -> None:
        """Let a list take each line at once."""
        self.query_one("#entry", LineField).takes_line = self._take_line

    def on_resize(self) -> None:
        """Find out anew whether the drawing has room, and the list below it."""
        outline = self.query_one(Outline)
        was_chosen_in = outline.has_focus
        self._show_rows()
        if was_chosen_in and not outline.display:
            self.take_focus()

    # --- showing -------------------------------------------------------------------------------

    def show(self, card: Card, why: str) -> None:
        """Show `card`, with `why` below what it says; a new card begins at its top."""
        new = card.topic != self._card.topic
        self._card = card
        self.set_class(card.kind in ("caution", "gate", "unsettled"), "-stop")
        self._put("heading", card.heading)
        self._put("before", shown.pieces(card.before) if card.before else "")
        self._put("title", card.title)
        self._put("pieces", shown.pieces(card.pieces) if card.pieces else "")
        self._put("why", shown.piece(Piece("why", f"Why: {why}")) if why else "")
        if new:
            self._as_list = False
            wrong = next((n for n, row in enumerate(card.rows) if row.sign == "!"), 0)
            self._row = next((n for n, row in enumerate(card.rows) if not row.answered), wrong)
            self.query_one("#reading", VerticalScroll).scroll_home(animate=False)
        self._show_rows()
        self._show_entry()
        self._show_keys()

    def _put(self, name: str, content: str | Content) -> None:
        widget = self.query_one(f"#{name}", Static)
        widget.update(content)
        widget.display = bool(content)

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
        self._row = panels.index(event.panel)
        self._as_list = False
        self._show_rows()
        self._show_keys()
        self.take_focus()

    @on(Outline.Entered)
    def _panel_entered(self, event: Outline.Entered) -> None:
        event.stop()
        self._enter_row()

    @property
    def _entry(self) -> Entry | None:
        """The value that is asked for: the card's own, or that of the row in hand."""
        return self._card.rows[self._row].entry if self._card.rows else self._card.entry

    def _show_entry(self) -> None:
        entry, listed = self._entry, self._card.list_entry
        self.query_one("#entry", Input).display = entry is not None or listed is not None
        self._put("entry-label", listed.label if listed else _label(entry))
        self._put("entries", _list_text(self._entries, listed) if listed else "")
        self._say_of_entry()

    def _say_of_entry(self) -> None:
        asked = self._card.list_entry or self._entry
        text = self.query_one("#entry", Input).value
        if not text and self._card.list_entry is not None and self._entries:
            text = self._entries[-1]  # said until the next entry is begun
        said = asked.says(text) if asked else None
        self._put("says", shown.piece(said) if said else "")

    @property
    def _keys(self) -> list[Key]:
        """The keys that work now: those of the row in hand, then the card's own."""
        row: Sequence[Key] = self._card.rows[self._row].keys if self._card.rows else ()
        return [*row, *self._card.keys][:MOST_KEYS]

    def _show_keys(self) -> None:
        keys = self._keys
        for number in range(MOST_KEYS):
            button = self.query_one(f"#key-{number}", Button)
            button.display = number < len(keys)
            if number < len(keys):
                key = keys[number]
                name = "Enter" if key.enter and not self._card.rows else key.key
                button.label = Content(f"{name}  {key.label}")

    def take_focus(self) -> None:
        """Put the focus where the next key belongs."""
        if self._entry is not None or self._card.list_entry is not None:
            self.query_one("#entry").focus()
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
        for key in self._keys:
            if key.key == pressed or (pressed == "enter" and key.enter):
                self.post_message(self.Chosen(key.does))
                return True
        return False

    @on(Button.Pressed)
    def _button(self, event: Button.Pressed) -> None:
        event.stop()
        number = int((event.button.id or "key-0").removeprefix("key-"))
        if number < len(self._keys):
            self.post_message(self.Chosen(self._keys[number].does))

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
            self.post_message(self.Unusable(says))

    # --- typing --------------------------------------------------------------------------------

    @property
    def typed(self) -> dict[str, str]:
        """What is half typed; empty when nothing is."""
        value = self.query_one("#entry", Input).value
        if not value and not self._entries:
            return {}
        return {"entry": value, "entries": json.dumps(self._entries)}

    def put_back(self, typed: Mapping[str, str]) -> None:
        """Put back what was half typed, or with nothing in `typed` clear the field."""
        try:
            self._entries = tuple(map(str, json.loads(typed.get("entries", "[]"))))
        except (ValueError, TypeError):
            self._entries = ()
        field = self.query_one("#entry", Input)
        with field.prevent(Input.Changed):
            field.value = typed.get("entry", "")
        field.cursor_position = len(field.value)

    @on(Input.Changed, "#entry")
    def _changed(self, event: Input.Changed) -> None:
        event.stop()
        self._say_of_entry()
        self.post_message(self.Typed())

    @on(Input.Submitted, "#entry")
    def _entered(self, event: Input.Submitted) -> None:
        event.stop()
        entry, text = self._entry, event.value
        if self._card.list_entry is not None:
            self._finish_list()
        elif entry is None or (self._card.rows and not text.strip()):
            self.press("enter")
        else:
            self._finish_entry(entry, text)

    def _finish_entry(self, entry: Entry, text: str) -> None:
        try:
            does: Does = entry.make(text)
        except ValueError as error:
            self.post_message(self.Unusable(first_sentence(error)))
            return
        self.post_message(self.Chosen(does))

    @property
    def takes_at_once(self) -> bool:
        """Whether Enter has taken what was typed, so that more may stand in the field since."""
        return self._entry is not None and self._entry.at_once

    def _take_line(self, text: str) -> bool:
        """Take what Enter ends before the next key is looked at; return whether it was taken."""
        entry = self._entry
        if entry is None or not entry.at_once or not text.strip():
            return self._enter_in_list(text)
        self.query_one("#entry", Input).value = ""
        self._finish_entry(entry, text)
        return True

    def _enter_in_list(self, text: str) -> bool:
        """Add one entry to the list, and return whether it is one; an empty line saves the list."""
        if self._card.list_entry is None or not text.strip():
            return False
        self._entries = (*self._entries, self._card.list_entry.tidy(text.strip()))
        self.query_one("#entry", Input).value = ""
        self._show_entry()
        self.post_message(self.Typed())
        return True

    def _finish_list(self) -> None:
        listed = self._card.list_entry
        assert listed is not None
        try:
            deed = listed.make(self._entries)
        except ValueError as error:
            self.post_message(self.Unusable(first_sentence(error)))
            return
        self.post_message(self.Chosen(deed))

    def on_key(self, event: KeyPressed) -> None:
        """Take the last entry of a list back into the field when backspace finds it empty.

        While codes are read, the arrows choose the line that a typed answer is for.
        """
        field = self.query_one("#entry", Input)
        if event.key in ("up", "down") and self.takes_at_once and field.has_focus:
            event.stop()
            self._row += 1 if event.key == "down" else -1
            self._row = min(max(self._row, 0), len(self._card.rows) - 1)
            self._show_rows()
            self._show_entry()
            self._show_keys()
            return
        if event.key != "backspace" or not self._entries or not field.has_focus or field.value:
            return
        event.prevent_default()
        event.stop()
        *rest, last = self._entries
        self._entries = tuple(rest)
        field.value = last
        field.cursor_position = len(last)
        self._show_entry()


def _label(entry: Entry | None) -> str:
    if entry is None:
        return ""
    return f"{entry.label}  ({entry.hint})" if entry.hint else entry.label


def _list_text(entries: tuple[str, ...], listed: ListEntry) -> str:
    """Return the list so far, beside the earlier one if there is one."""
    before = listed.before
    if not before:
        lines = [
            f"{n:>2}. {entry}{' !' if listed.says(entry) else ''}"
            for n, entry in enumerate(entries, start=1)
        ]
        return "\n".join(lines) or "–"
    width = max(len(entry) for entry in (*before, "before"))
    lines = [f"    {'before':<{width}}  now"]
    for n in range(max(len(before), len(entries))):
        old = before[n] if n < len(before) else "–"
        new = entries[n] if n < len(entries) else "·"
        same = " " if new == "·" else "✓" if listed.same(old, new) else "!"
        lines.append(f"{n + 1:>2}. {old:<{width}}  {new} {same}")
    return "\n".join(lines)
