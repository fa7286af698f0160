"""The photos of a job in a list: what each is called, how large, when it came, at which step."""

from datetime import datetime

from baycompanion.job.state.state import Photo, State
from baycompanion.job.state.words import moment_words
from baycompanion.procedure.model import Procedure


def photos_of(state: State) -> tuple[Photo, ...]:
    """Return the photos of the job, the newest first."""
    return tuple(reversed(state.photos))


def photo_line(procedure: Procedure, photo: Photo, now: datetime) -> str:
    """Return one photo in a line; its time is that of the zone of `now`, its day named if past."""
    step = procedure.steps.get(photo.data.step or "")
    at = f"{procedure.number[step.id]}. {step.text}" if step is not None else "of no step"
    return f"{moment_words(photo.at, now)} {photo.data.original}, {_size(photo.data.size)} – {at}"


def _size(count: int) -> str:
    return f"{count / 1_000_000:.1f} MB" if count >= 100_000 else f"{-(-count // 1000)} kB"
