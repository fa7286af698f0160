"""The procedures that are at hand: those that ship, and two for tests."""

from pathlib import Path

from baycompanion.store.shelf import shipped

RECEIVER = shipped("procedures") / "receiver-swap.yaml"
FILES = [
    RECEIVER,
    shipped("procedures") / "dash-camera-hardwire.yaml",
    shipped("procedures") / "key-off-draw-hunt.yaml",
    Path(__file__).parents[1] / "small-receiver.yaml",
    Path(__file__).parents[1] / "second-person.yaml",
]
