"""The lines of a job as they keep its lock: each line typed, in a form too, says who is there."""

from baycompanion.plain.terminal import Lines
from baycompanion.working.seat import Seat


class SeatLines:
    """Lines in and out before one job; one that is typed too late finds the job locked."""

    def __init__(self, lines: Lines, seat: Seat) -> None:
        """Talk through `lines`, and tell `seat` of whoever types."""
        self._lines = lines
        self._seat = seat

    def say(self, text: str) -> None:
        """Add one line."""
        self._lines.say(text)

    def ask(self, prompt: str) -> str:
        """Put a question, and return the line typed.

        Raises:
            EOFError: There is no more input.
        """
        return self._typed(self._lines.ask(prompt))

    def ask_secret(self, prompt: str) -> str:
        """Put a question, and return what is typed, which a terminal does not show.

        Raises:
            EOFError: There is no more input.
        """
        return self._typed(self._lines.ask_secret(prompt))

    def _typed(self, line: str) -> str:
        self._seat.lock_if_idle()
        self._seat.touch()
        return line
