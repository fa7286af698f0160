"""The photos of a job: a list, and the one chosen, as large as there is room."""

from datetime import datetime
from pathlib import Path

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widget import Widget
from textual.widgets import OptionList, Static

from baycompanion.job.state.state import State
from baycompanion.procedure.model import Procedure
from baycompanion.screens.job.pictures import picture, ready_for_pictures
from baycompanion.screens.key_strip import KeyStrip
from baycompanion.screens.listing import Listing, by_digit
from baycompanion.views.photos import photo_line, photos_of


class PhotoList(ModalScreen[None]):
    """Lists the photos of a job; Enter looks at one."""

    CSS_PATH = "photos.tcss"
    BINDINGS = [
        Binding("escape", "back", "Back", id="photos.back"),
        *(
            Binding(str(digit), f"choose({digit})", "Look", show=False, id=f"photos.{digit}")
            for digit in range(10)
        ),
    ]

    def __init__(self, procedure: Procedure, state: State, folder: Path, now: datetime) -> None:
        """List the photos of `state`, which lie in `folder`, with their times as told `now`."""
        super().__init__()
        self._folder = folder
        self._photos = photos_of(state)
        self._lines = [photo_line(procedure, photo, now) for photo in self._photos]

    def compose(self) -> ComposeResult:
        """Lay the list out."""
        with Vertical(id="photos"):
            yield Static(
                "Photos of this job   (Enter looks at one)", id="photos-head", markup=False
            )
            yield Listing(*by_digit(self._lines), compact=True)
            yield KeyStrip()

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        index = event.option_index
        ready_for_pictures(self.app)
        shown = picture(self._folder, self._photos[index].data)
        self.app.push_screen(PhotoPage(self._lines[index], shown))

    def action_choose(self, number: int) -> None:
        """Look at a photo by its number; 0 stands for 10."""
        listing = self.query_one(Listing)
        if (number or 10) <= listing.option_count:
            listing.highlighted = (number or 10) - 1
            listing.action_select()

    def action_back(self) -> None:
        """Go back to the work."""
        self.dismiss(None)


class PhotoPage(ModalScreen[None]):
    """One photo."""

    CSS_PATH = "photos.tcss"
    BINDINGS = [Binding("escape,enter", "back", "Back", id="photo.back")]

    def __init__(self, line: str, shown: Widget) -> None:
        """Show a photo, which `line` tells of, as `shown`."""
        super().__init__()
        self._line, self._shown = line, shown

    def compose(self) -> ComposeResult:
        """Lay the photo out below its line."""
        with Vertical(id="photo"):
            yield Static(self._line, markup=False)
            yield self._shown
            yield KeyStrip()

    def action_back(self) -> None:
        """Go back to the list."""
        self.dismiss(None)
