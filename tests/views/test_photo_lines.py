"""The photos of a job in a list: each with its time, and with its day where that is not today."""

from datetime import timedelta

from bay import PHOTO, START, Bay

from baycompanion.views.photos import photo_line


def test_a_photo_of_another_day_is_told_with_its_day() -> None:
    """Of a job that took two days, 08:45 may be either; other moments of a job say which."""
    bay = Bay().walk("join")
    bay.do(PHOTO)
    [photo] = bay.state.photos
    told = photo_line(bay.procedure, photo, START)
    next_day = photo_line(bay.procedure, photo, START + timedelta(days=1))
    assert told[:2] == f"{START:%H}"
    assert next_day == f"{START:%Y-%m-%d} {told}"
