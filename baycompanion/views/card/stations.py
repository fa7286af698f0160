"""A list of stations while it is typed: one spelling, and a word where none can stand."""

from dataclasses import replace

from baycompanion.trade.stations import off_grid, same_station, tidy_station
from baycompanion.views.card.card import ListEntry, Piece


def of_stations(entry: ListEntry, region: str) -> ListEntry:
    """Return `entry` for stations, held against the grid of `region` where the shop names one."""

    def says(text: str) -> Piece | None:
        wrong = off_grid(text, region)
        return Piece("bad", f"! {wrong}") if wrong else None

    return replace(
        entry,
        label="One at a time, like FM 94.7; on an empty line Enter saves, Backspace takes back",
        tidy=tidy_station,
        says=says,
        same=same_station,
    )
