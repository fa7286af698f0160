"""A hand-over sheet drawn as one HTML page for print, which needs nothing but itself."""

from baycompanion.sheets.handover.form import HandOver
from baycompanion.sheets.page import fill


def draw_hand_over(sheet: HandOver) -> str:
    """Return `sheet` as HTML: no script, nothing fetched; every text in it is shown as text."""
    return fill("handover/page.html", sheet, sheet.running)
