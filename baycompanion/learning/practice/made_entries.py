"""What is written down of a made-up vehicle: words, lists, and stations on the grid."""

from baycompanion.learning.drawing_lots import lot
from baycompanion.learning.practice.made_up import MadeUpVehicle
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.steps import Record, Step
from baycompanion.trade.radio import GRIDS, UNIT


def entry_of(made: MadeUpVehicle, procedure: Procedure, step: Record, region: str) -> list[str]:
    """Return what is to be written down at `step`, line by line; one line for words.

    Stations lie on the grid of `region`, one of those of `trade.radio`, or of the US without one.
    A date is none of these: it depends on the day of the practice.
    """
    step = first_entry(procedure, step)
    chance = lot(made.seed, "entry", step.id)
    if step.id in made.readings:
        return [made.readings[step.id]]
    if step.takes == "stations":
        return _stations(made.seed, step, region or "us")
    if step.takes == "list":
        least = 0 if step.may_be_empty else 1
        told = next((pool for word, pool in _LISTS.items() if word in step.text), _ANYTHING)
        return chance.sample(told, chance.randint(least, min(3, len(told))))
    if step.serial_of:
        return [f"PRACTICE-{chance.randint(100_000, 999_999)}"]
    said = next((words for word, words in _WORDS.items() if word in step.text), _SOMETHING)
    return [said.format(number=chance.randint(11, 59))]


_WORDS = {
    "took the key": "The owner, at {number} 501 km",
    "odometer": "{number} 482 km, half full",
    "serial": "PRACTICE-{number}",
    "torque": "{number} N m, page {number} of the made-up manual",
    "instructions stand": "Page {number} of the made-up manual",
    "old parts": "In a box on the rear seat, no. {number}",
    "who agreed": "The owner, at 9:{number}",
    "who refused": "The owner, at 9:{number}: nothing drilled",
    "was told": "By phone, at 9:{number}",
}
"""What is written down, by a word of the step that asks for it; invented."""

_SOMETHING = "Made up for practice, no. {number}"

_LISTS = {
    "fault code": ("made-up code 114", "made-up code 207", "made-up code 381"),
    "wants": ("A new sound", "Nothing drilled", "Ready by five", "The old part back"),
    "lies in the vehicle": ("A coat on the rear seat", "Coins in the tray", "A card in the slot"),
    "settings": ("Clock 9:41", "Bass 2 up", "Fader 1 to the rear", "Driver's seat on 1"),
    "drop across": ("F12, 15 A, 4.1 mV", "F7, 10 A, 1.6 mV", "F30, 20 A, 0.8 mV"),
    "sockets": ("F4, 10 A, 12 V outlet", "F9, 15 A, rear wiper"),
    "lead": ("Plug A, brown: speed", "Plug B, pink: unknown"),
}
"""The lines that a list is drawn from, by a word of the step that asks for it; invented."""

_ANYTHING = ("Made-up line 1", "Made-up line 2", "Made-up line 3")


def first_entry(procedure: Procedure, step: Record) -> Record:
    """Return the record that `step` repeats, however often that repeats another."""
    seen = {step.id}
    while step.repeats and step.repeats not in seen:
        before: Step | None = procedure.steps.get(step.repeats)
        if not isinstance(before, Record):
            break
        step = before
        seen.add(step.id)
    return step


def _stations(seed: int, step: Record, region: str) -> list[str]:
    """Return some stations that stand on the grid of `region`, FM before AM."""
    found = []
    for band, most in (("fm", 5), ("am", 2)):
        grid = GRIDS[band, region]
        chance = lot(seed, "stations", step.id, band, region)
        channels = range((grid.last - grid.first) // grid.step + 1)
        picked = chance.sample(channels, chance.randint(1, most))
        for khz in sorted(grid.first + grid.step * each for each in picked):
            shown = f"{khz / 1000:g}" if UNIT[band].symbol == "MHz" else str(khz)
            found.append(f"{band.upper()} {shown}")
    return found
