"""The photos of the job, small, each with what it shows; those that cannot be shown by name."""

from collections.abc import Iterator

from baycompanion.job.record.work import PhotoRecord
from baycompanion.sheets.handover.form import Section, Shown
from baycompanion.sheets.handover.pictures import Small
from baycompanion.sheets.handover.source import Source, number

MOST_SHOWN = 12
"""Pictures on one sheet; more would push it over two pages. Own choice."""


def photos(source: Source) -> Section | None:
    """Return the first photos, and the names of the others with why they are not shown."""
    taken = [photo for photo in source.record.photos if not _withheld(source, photo)]
    if not source.record.photos:
        return None
    shown = tuple(_shown(source, taken))
    points = [
        f"{photo.original} ({photo.sha256[:12]}): not shown, because {why}."
        for photo in taken
        if isinstance(why := source.pictures.get(photo.file, "it was not read"), str)
    ]
    withheld = len(source.record.photos) - len(taken)
    if withheld:
        points.append(f"{number(withheld, 'photo')} of something private: kept in the shop.")
    if len(shown) > MOST_SHOWN:
        points.append(f"{len(shown) - MOST_SHOWN} more lie with the record.")
    return Section("Photos", points=tuple(points), pictures=shown[:MOST_SHOWN], wide=True)


def _withheld(source: Source, photo: PhotoRecord) -> bool:
    return source.is_private(photo.step) or photo.step in source.hidden


def _shown(source: Source, taken: list[PhotoRecord]) -> Iterator[Shown]:
    for photo in taken:
        small = source.pictures.get(photo.file)
        if isinstance(small, Small):
            step = source.procedure.steps.get(photo.step or "")
            text = step.text if step is not None else photo.original
            yield Shown(small.uri, f"{text} ({photo.by}, {source.moment(photo.at)})")
