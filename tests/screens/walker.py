"""A technician who reads the card and presses the keys it shows, until the job is closed."""

from datetime import datetime, timedelta
from pathlib import Path

from at_the_vehicle import ANSWERS
from textual.pilot import Pilot
from textual.widgets import Input

from baycompanion.procedure.steps import Do, Measure, Record, Step
from baycompanion.screens.form.form import FormScreen
from baycompanion.screens.job.job import JobScreen
from baycompanion.views.card.card import Card


class Clock:
    """A clock that moves only when it is told to."""

    def __init__(self, at: datetime) -> None:
        self.at = at

    def __call__(self) -> datetime:
        return self.at

    def move(self, **by: float) -> None:
        self.at += timedelta(**by)


class Walker:
    """Walks one job through the keys of its screen."""

    def __init__(self, pilot: Pilot[int], clock: Clock, photo: Path, no: frozenset[str]) -> None:
        """Walk with `pilot`; `photo` is a picture to add; choices in `no` are answered no."""
        self.pilot = pilot
        self.clock = clock
        self.photo = photo
        self.no = no
        self.presses = 0
        self.seen: list[str] = []

    @property
    def screen(self) -> JobScreen:
        screen = self.pilot.app.screen
        assert isinstance(screen, JobScreen), screen
        return screen

    @property
    def card(self) -> Card:
        return self.screen.card

    def pass_time(self, seconds: int) -> None:
        """Let time pass as the screen sees it pass: in small steps, or the laptop has slept."""
        for _ in range(0, seconds, 40):
            self.clock.move(seconds=40)
            self.screen.tick()

    async def press(self, *keys: str) -> None:
        self.presses += len(keys)
        await self.pilot.press(*keys)

    async def type(self, text: str) -> None:
        """Put `text` in the field that has the focus, as pasting does, and press Enter."""
        field = self.pilot.app.focused
        assert isinstance(field, Input), (self.card.title, field)
        field.value = text
        await self.press("enter")

    async def walk_to(self, kind_or_step: str) -> None:
        """Answer one card after the other until one is of this kind, or about this step."""
        for _ in range(1000):
            card = self.card
            if kind_or_step in (card.kind, card.step) and card.kind != "caution":
                return
            self.seen.append(card.kind)
            self.pass_time(40)
            before = self.screen.job.state.seq
            await self.answer(card)
            assert self.screen.job.state.seq > before, f"stuck at {card.title}"
        raise AssertionError(f"never came to {kind_or_step}: {self.card.title}")

    async def answer(self, card: Card) -> None:
        """Do what `card` asks for, the good way."""
        step = self.screen.job.procedure.steps.get(card.step or "")
        if card.kind in ("hazards", "standing"):
            await self.press("1")
        elif card.kind == "caution":
            await self.press("enter")
        else:
            assert card.kind == "step", (card.kind, card.title, card.rows)
            assert step is not None
            await self._photo(step)
            await self._borrow(step)
            await getattr(self, f"_{step.verb}")(card, step)

    async def _photo(self, step: Step) -> None:
        if step.photo == "required":
            await self.press("f3")
            await self.type(str(self.photo))

    async def _borrow(self, step: Step) -> None:
        """Write the circuit down that the step taps, splices into or grounds to."""
        if isinstance(step, Do) and step.borrows:
            await self.press("8")
            bears = ("", "") if step.borrows == "ground" else ("15", "0.6")
            for text in ("12 V outlet", "", "socket 14", *bears):
                await (self.type(text) if text else self.press("enter"))

    async def _do(self, card: Card, step: Step) -> None:
        if not card.rows:
            await self.press("enter")
            return
        for _ in range(len(card.rows)):
            await self.press("1")
            if isinstance(self.pilot.app.screen, FormScreen):
                await self.type("M-3")
                await self.type("2027-01-31")
        await self.press("enter")

    async def _check(self, card: Card, step: Step) -> None:
        await self.press("1")

    async def _measure(self, card: Card, step: Measure) -> None:
        low, high = step.at_least, step.at_most
        value = low if low is not None else high if high is not None else 20
        await self.type(ANSWERS.get(step.id, str(value)))

    async def _record(self, card: Card, step: Record) -> None:
        if card.list_entry is None:
            numbers = {"number": "20", "date": "2026-11-25", "words": "as found"}
            await self.type(ANSWERS.get(step.id, numbers[step.takes]))
            return
        for entry in card.list_entry.before or ("FM 98.1", "FM 101.5"):
            await self.type(entry)
        await self.press("enter")

    async def _sum(self, card: Card, step: Step) -> None:
        await self.press("enter")

    async def _count(self, card: Card, step: Step) -> None:
        for _ in card.rows:
            await self.type("4" if getattr(step, "matches", None) else "4, M5, A1")
        await self.press("enter")

    async def _choose(self, card: Card, step: Step) -> None:
        for name in getattr(step, "settles", ()):
            await self.press("2" if name in self.no else "1")
        if card.rows:
            await self.press("enter")

    async def _wait(self, card: Card, step: Step) -> None:
        if not any(key.enter for key in card.keys):
            if getattr(step, "lasts", None) is None:
                await self.press("2")
                await self.type("3 min")
                await self.type("the vehicle maker's manual, page 12")
            self.pass_time(360)
        await self.press("enter")

    async def _inspect(self, card: Card, step: Step) -> None:
        await self.press("9", "enter")

    async def _witness(self, card: Card, step: Step) -> None:
        await self.press("1")
        await self.type("S1")
        await self.type("looked at it alone")

    async def close(self) -> None:
        """Close the job from the last card."""
        await self.press("1", "down", "enter")


def picture(folder: Path) -> Path:
    """Return a small picture made in `folder`."""
    path = folder / "bay.png"
    path.write_bytes(b"\x89PNG\r\n\x1a\n" + bytes(64))
    return path
