"""Where something is typed on a card: a value, or a list entry by entry, and what is said of it."""

from collections.abc import Mapping

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.events import Key as KeyPressed
from textual.message import Message
from textual.widgets import Input

from baycompanion.screens import shown
from baycompanion.screens.typed.line_field import LineField
from baycompanion.screens.words import Words, put
from baycompanion.views.card.card import Does, Entry, ListEntry
from baycompanion.views.sentence import first_sentence
from baycompanion.working.half_typed import HalfTyped, half_typed


class CardEntry(Vertical):
    """One field with its label; for a list, also what was entered so far."""

    class Made(Message):
        """What was typed is an answer: `does` is what it stands for."""

        def __init__(self, does: Does) -> None:
            """Say that what was typed makes `does`."""
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

    class Listed(Message):
        """The list has an entry more, or less."""

    class EnteredNothing(Message):
        """Enter was pressed where the field has nothing to give."""

    class Moved(Message):
        """An arrow was pressed in the field of a line: another line is meant."""

        def __init__(self, by: int) -> None:
            """Say that the line `by` further on is meant."""
            super().__init__()
            self.by = by

    def __init__(self) -> None:
        """Make an empty field."""
        super().__init__(id="typing")
        self._entry: Entry | None = None
        self._listed: ListEntry | None = None
        self._of_a_line = False
        """Whether it is for one line of several."""
        self._entries: tuple[str, ...] = ()

    def compose(self) -> ComposeResult:
        """Lay out the label, the field, and what is said of it."""
        yield Words("entry-label")
        yield LineField(id="entry", compact=True)
        yield Words("says")

    def on_mount(self) -> None:
        """Let a list take each line at once."""
        self.query_one(LineField).takes_line = self._take_line

    # --- showing -------------------------------------------------------------------------------

    def show(self, entry: Entry | None, listed: ListEntry | None, of_a_line: bool) -> None:
        """Ask for `entry`, which may be that of one line, or for the entries of `listed`."""
        self._entry, self._listed, self._of_a_line = entry, listed, of_a_line
        put(self, "entry-label", listed.label if listed else _label(entry))
        self._field.display = self.asks
        self._say()

    @property
    def asks(self) -> bool:
        """Whether anything is typed on the card."""
        return self._entry is not None or self._listed is not None

    @property
    def list_so_far(self) -> str:
        """The list as it was entered so far, empty where no list is asked for."""
        return _list_text(self._entries, self._listed) if self._listed else ""

    @property
    def takes_at_once(self) -> bool:
        """Whether Enter has taken what was typed, so that more may stand in the field since."""
        return self._entry is not None and self._entry.at_once

    @property
    def is_begun(self) -> bool:
        """Whether anything stands in the field."""
        return bool(self._field.value.strip())

    @property
    def enter_does(self) -> str:
        """What Enter does in the field as it stands, in a few words; empty where it does nothing.

        Where a line is typed for, the Enter of an empty field is that of the card.
        """
        if self._listed is not None:
            return "Add to the list" if self.is_begun else "Save the list"
        if self._entry is None or (self._entry.at_once and not self.is_begun):
            return ""
        return "Save"

    def press_enter(self) -> None:
        """Press Enter in the field, for whoever touches its key.

        The app presses it: sent by what the field stands in, the key would go no further than that.
        """
        self.take_focus()
        self.app.call_later(self.app.simulate_key, "enter")

    def take_focus(self) -> None:
        """Put the focus into the field."""
        self._field.focus()

    @property
    def _field(self) -> LineField:
        return self.query_one(LineField)

    def _say(self) -> None:
        """Say what can be said of a half-typed entry."""
        asked = self._listed or self._entry
        text = self._field.value
        if not text and self._listed is not None and self._entries:
            text = self._entries[-1]  # said until the next entry is begun
        said = asked.says(text) if asked else None
        put(self, "says", shown.piece(said) if said else "")

    # --- half typed ----------------------------------------------------------------------------

    @property
    def typed(self) -> dict[str, str]:
        """What is half typed; empty when nothing is."""
        return HalfTyped(self._field.value, self._entries).to_keep()

    def put_back(self, typed: Mapping[str, str]) -> None:
        """Put back what was half typed, or with nothing in `typed` clear the field."""
        entry, self._entries = half_typed(typed)
        with self._field.prevent(Input.Changed):
            self._field.value = entry
        self._field.cursor_position = len(self._field.value)

    # --- typing --------------------------------------------------------------------------------

    @on(Input.Changed)
    def _changed(self, event: Input.Changed) -> None:
        event.stop()
        self._say()
        self.post_message(self.Typed())

    @on(Input.Submitted)
    def _entered(self, event: Input.Submitted) -> None:
        event.stop()
        if self._listed is not None:
            self._finish_list(self._listed)
        elif self._entry is None or (self._of_a_line and not event.value.strip()):
            self.post_message(self.EnteredNothing())
        else:
            self._finish_entry(self._entry, event.value)

    def _finish_entry(self, entry: Entry, text: str) -> None:
        try:
            does: Does = entry.make(text)
        except ValueError as error:
            self.post_message(self.Unusable(first_sentence(error)))
            return
        self.post_message(self.Made(does))

    def _finish_list(self, listed: ListEntry) -> None:
        try:
            deed = listed.make(self._entries)
        except ValueError as error:
            self.post_message(self.Unusable(first_sentence(error)))
            return
        self.post_message(self.Made(deed))

    def _take_line(self, text: str) -> bool:
        """Take what Enter ends before the next key is looked at; return whether it was taken."""
        entry = self._entry
        if entry is None or not entry.at_once or not text.strip():
            return self._enter_in_list(text)
        self._field.value = ""
        self._finish_entry(entry, text)
        return True

    def _enter_in_list(self, text: str) -> bool:
        """Add one entry to the list, and return whether it is one; an empty line saves the list."""
        if self._listed is None or not text.strip():
            return False
        self._entries = (*self._entries, self._listed.tidy(text.strip()))
        self._field.value = ""
        self._say()
        self.post_message(self.Listed())
        self.post_message(self.Typed())
        return True

    def on_key(self, event: KeyPressed) -> None:
        """Take the last entry of a list back into the field when backspace finds it empty.

        Where the field is that of a line, the arrows choose the line that is typed for.
        """
        if event.key in ("up", "down") and self._of_a_line and self._field.has_focus:
            event.stop()
            self.post_message(self.Moved(1 if event.key == "down" else -1))
            return
        empty = self._field.has_focus and not self._field.value
        if event.key != "backspace" or not self._entries or not empty:
            return
        event.prevent_default()
        event.stop()
        *rest, last = self._entries
        self._entries = tuple(rest)
        self._field.value = last
        self._field.cursor_position = len(last)
        self._say()
        self.post_message(self.Listed())


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
