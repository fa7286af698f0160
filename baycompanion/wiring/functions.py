"""What a lead can be for: the closed list of functions, in the order in which joins are made."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

Side = Literal["vehicle", "receiver", "extra"]
SIDES: tuple[Side, ...] = ("vehicle", "receiver", "extra")

Kind = Literal["feed", "ground", "output", "signal", "speaker-plus", "speaker-minus", "unknown"]

UNKNOWN = "unknown"
GROUND = "ground"
LIT_DASH = "lit-dash-feed"
DIMMER = "dimmer"
ANTENNA = "antenna-feed"
TRIGGER = "amplifier-trigger"
BRAKE = "parking-brake"


@dataclass(frozen=True, slots=True)
class Function:
    """One function that a lead can have."""

    word: str
    meaning: str
    """One line: what is on the lead, and when."""
    kind: Kind
    supplied_by: Side | None = None
    """The side whose lead gives it where the file does not say otherwise; None where none does."""
    also: tuple[str, ...] = ()
    """Other words for it in the trade, to be answered with this one."""
    missing: str = ""
    """What it means where nothing on the other side has it."""


_SIGNS: tuple[tuple[str, Kind], ...] = (("plus", "speaker-plus"), ("minus", "speaker-minus"))


def _speakers() -> tuple[Function, ...]:
    """Return both leads of the four speakers, which the receiver drives."""
    found = []
    for place in ("front left", "front right", "rear left", "rear right"):
        word = place.replace(" ", "-")
        for sign, kind in _SIGNS:
            meaning = f"The {sign} of the {place} speaker."
            also = (f"{word}-positive",) if sign == "plus" else (f"{word}-negative",)
            found.append(Function(f"{word}-{sign}", meaning, kind, "receiver", also))
    return tuple(found)


_ALL = (
    Function(
        "constant-feed",
        "12 V at all times, from the battery through a fuse.",
        "feed",
        "vehicle",
        ("battery", "memory", "constant", "permanent-feed"),
        "the equipment forgets its settings without it: find one on the vehicle and measure it",
    ),
    Function(
        "switched-feed",
        "12 V while the key stands at accessory or further.",
        "feed",
        "vehicle",
        ("accessory", "acc", "ignition", "switched"),
        "the equipment does not follow the key without it: find one on the vehicle and measure it",
    ),
    Function(
        GROUND,
        "The way back to the battery's negative post.",
        "ground",
        "vehicle",
        ("earth", "gnd", "negative", "chassis"),
        "nothing works without it: find a ground on bare body metal and measure it",
    ),
    Function(
        LIT_DASH,
        "12 V while the vehicle's lamps are on.",
        "feed",
        "vehicle",
        ("illumination", "illum", "lamps", "lit-dash"),
    ),
    Function(
        DIMMER,
        "A voltage or pulses that follow the wheel that dims the dash; no ground.",
        "signal",
        "vehicle",
        ("dimming", "dash-dimmer"),
    ),
    Function(
        ANTENNA,
        "12 V from the receiver while its tuner plays: the antenna's mast or booster.",
        "output",
        "receiver",
        ("antenna", "aerial", "power-antenna"),
    ),
    Function(
        TRIGGER,
        "12 V from the receiver while it is on: wakes an amplifier, and carries little.",
        "output",
        "receiver",
        ("remote", "amplifier-turn-on", "turn-on", "trigger"),
    ),
    Function("mute", "Silences the sound, mostly while it is grounded.", "signal"),
    Function(
        "speed",
        "Pulses that follow the speed of the vehicle.",
        "signal",
        "vehicle",
        ("speed-pulse", "vss"),
    ),
    Function(
        "reverse-feed",
        "12 V while reverse is engaged.",
        "feed",
        "vehicle",
        ("reverse", "reversing-lamp"),
    ),
    Function(
        BRAKE,
        "Grounded by its switch while the parking brake is set.",
        "signal",
        "vehicle",
        ("handbrake", "brake", "park-brake"),
    ),
    Function(
        "wheel-control",
        "The vehicle's buttons on the wheel: a voltage that changes with the button.",
        "signal",
        "vehicle",
        ("wheel-buttons", "steering-wheel-control"),
    ),
    Function(
        "wired-remote",
        "Tells the receiver which button was pressed; comes from an interface.",
        "signal",
        "extra",
    ),
    Function("data-high", "The high wire of a data bus of the vehicle.", "signal", "vehicle"),
    Function("data-low", "The low wire of a data bus of the vehicle.", "signal", "vehicle"),
    *_speakers(),
    Function(
        UNKNOWN,
        "Not known: measured before it joins anything, never guessed.",
        "unknown",
        None,
        ("not-known", "none", "other"),
    ),
)

FUNCTIONS: Mapping[str, Function] = MappingProxyType({each.word: each for each in _ALL})
"""Every function by its word, in the order in which joins are listed."""

PLACES: Mapping[str, int] = MappingProxyType({word: place for place, word in enumerate(FUNCTIONS)})
"""Where each function stands in that order."""
