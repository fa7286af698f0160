"""The drawn outline on the screen: a panel is chosen by arrow keys, by its name, or by touch."""

from collections.abc import Sequence

from textual.binding import Binding
from textual.content import Content
from textual.events import Click, Key
from textual.message import Message
from textual.widgets import Static

from baycompanion.procedure.panels import Panel
from baycompanion.screens import shown
from baycompanion.views.card.card import Row
from baycompanion.views.card.outline import (
    BODY,
    HEIGHT,
    WIDTH,
    Drawing,
    Way,
    draw,
    move,
    named,
    sheet_of,
)

LEAST_BESIDE = 24
"""Columns beside the drawing in which a line can be read. Own choice."""
HINT = "Arrows or a letter: a panel. Tab: the list."


class Outline(Static, can_focus=True):
    """Draws the panels of a list of marks, with the one in hand, and says what was chosen."""

    BINDINGS = [
        *(Binding(way, f"move('{way}')", show=False) for way in ("up", "down", "left", "right")),
        Binding("enter", "enter", show=False),
    ]

    class Chosen(Message):
        """A panel was chosen."""

        def __init__(self, panel: Panel) -> None:
            """Say that `panel` is in hand now."""
            super().__init__()
            self.panel = panel

    class LineTouched(Message):
        """A line beside the drawing was touched; it may be of no panel that is drawn."""

        def __init__(self, row: Row) -> None:
            """Say that `row` is in hand now."""
            super().__init__()
            self.row = row

    class Entered(Message):
        """Enter was pressed on the panel in hand."""

    def __init__(self) -> None:
        """Make a drawing without panels."""
        super().__init__("", id="outline", markup=False)
        self._names: dict[Panel, str] = {}
        self._in_hand: Panel | None = None
        self._drawing: Drawing = draw(BODY, {})
        self._typed = ""
        self._listed: Sequence[Row] = ()
        """The lines of the list that stand beside the drawing, from its top."""

    def show(self, rows: Sequence[Row], in_hand: Row, room: int) -> None:
        """Draw the panels of `rows`, with that of `in_hand` and its line below.

        In a `room` of enough columns the lines around it stand beside the drawing.
        """
        self._names = {row.panel: row.text for row in rows if row.panel is not None}
        self._in_hand = in_hand.panel
        signs = {row.panel: row.drawn for row in rows if row.panel is not None}
        sheet = sheet_of(in_hand.panel) if in_hand.panel is not None else BODY
        self._drawing = draw(sheet, signs, in_hand.panel)
        drawn = self._lines(signs)
        self._listed = ()
        if room >= WIDTH + LEAST_BESIDE:
            place = rows.index(in_hand)
            first = max(0, min(place - HEIGHT // 2, len(rows) - HEIGHT))
            self._listed = tuple(rows[first : first + HEIGHT])
            drawn = _beside(drawn, self._listed, in_hand, room - WIDTH - 1)
        lines = Content("\n").join([*drawn, shown.row(in_hand)])
        self.update(Content("\n").join([lines, Content.styled(HINT, shown.STYLES["quiet"])]))

    def _lines(self, signs: dict[Panel, str]) -> list[Content]:
        """Return the lines of the drawing, the panel in hand reversed."""
        lines = [Content(line) for line in self._drawing.lines]
        for region in self._drawing.regions:
            style = shown.SIGN_STYLES.get(signs[region.panel], "$danger")
            if region.panel == self._in_hand:
                style = f"{style} bold reverse".strip()
            for row in range(region.row, region.row + region.height if style else region.row):
                lines[row] = lines[row].stylize(style, region.column, region.column + region.width)
        return lines

    def action_move(self, way: Way) -> None:
        """Go to the panel that lies there."""
        self._typed = ""
        if self._in_hand is not None:
            self._choose(move(self._names, self._in_hand, way))

    def action_enter(self) -> None:
        """Say that Enter was pressed on the panel in hand."""
        self.post_message(self.Entered())

    def on_key(self, event: Key) -> None:
        """Go to the next panel whose name begins with the letters typed."""
        letter = event.character or ""
        if not letter.isalpha() or self._in_hand is None:
            self._typed = ""
            return
        event.stop()
        for typed in (self._typed + letter, letter):
            found = named(self._names, typed, self._in_hand)
            if found is not None:
                self._typed = typed
                self._choose(found)
                return
        self._typed = ""

    def on_click(self, event: Click) -> None:
        """Take what was touched, a panel that is drawn or a line beside the drawing."""
        at = event.get_content_offset(self)
        if at is None:
            return
        if at.x >= WIDTH:
            for row in self._listed[at.y : at.y + 1]:
                self.post_message(self.LineTouched(row))
        elif (panel := self._drawing.at(at.y, at.x)) is not None:
            self._choose(panel)

    def _choose(self, panel: Panel) -> None:
        self._in_hand = panel
        self.post_message(self.Chosen(panel))


def _beside(drawn: list[Content], listed: Sequence[Row], in_hand: Row, width: int) -> list[Content]:
    """Return the lines of the drawing with those of the list beside them, the one in hand told."""
    beside = [
        Content.assemble("▸" if row is in_hand else " ", shown.row(row)).truncate(
            width, ellipsis=True
        )
        for row in listed
    ]
    beside += [Content("")] * (len(drawn) - len(beside))
    return [Content.assemble(line, " ", said) for line, said in zip(drawn, beside, strict=True)]
