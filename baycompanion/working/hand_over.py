"""The hand-over sheet of a job, made from its folder and written into it."""

from datetime import datetime
from pathlib import Path

from baycompanion.job.record.work import PhotoRecord
from baycompanion.job.state.second_looks import hidden_now
from baycompanion.sheets.handover.page import draw_hand_over
from baycompanion.sheets.handover.pictures import Small
from baycompanion.sheets.handover.source import Source
from baycompanion.sheets.handover.whole import hand_over
from baycompanion.store.durable import write_whole
from baycompanion.store.job.folder import PHOTOS, JobRead, read_job, record_of
from baycompanion.store.job.photos import read_photo
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.problem import BadFile
from baycompanion.working.small_photo import make_small

SHEET = "handover.html"


def hand_over_page(shop: Shop, job: JobRead, when: datetime) -> bytes:
    """Return the hand-over sheet of `job`; `when` carries the zone in which times are written."""
    record = record_of(job)
    hidden = hidden_now(job.procedure, job.state)
    source = Source(
        record=record,
        procedure=job.procedure,
        shop=shop.name,
        warranty=shop.warranty,
        when=when,
        hidden=hidden,
        pictures={photo.file: _small(job.folder, photo) for photo in record.photos},
    )
    return draw_hand_over(hand_over(source)).encode()


def _small(folder: Path, photo: PhotoRecord) -> Small | str:
    content = read_photo(folder / PHOTOS, photo.file, photo.sha256)
    return content if isinstance(content, str) else make_small(content)


def leave_hand_over(shop: Shop, folder: Path, when: datetime) -> str:
    """Write the hand-over sheet of a job that has just ended; return why it is not there, or "".

    It never raises: the job is closed on the disk already, and nothing about its sheet undoes
    that. The command `handover` writes it again, and says in full what is wrong.
    """
    try:
        write_hand_over(shop, folder, when)
    except (StoreTrouble, BadFile) as trouble:
        why = str(trouble).splitlines()[0].rstrip(".")
    except Exception:  # whatever it is, the job has ended; what it says may hold private entries
        why = "an error in the program"
    else:
        return ""
    again = f"baycompanion handover {folder.name}"
    return f"The job has ended; its hand-over sheet is not written: {why}. Write it with: {again}"


def write_hand_over(shop: Shop, folder: Path, when: datetime) -> Path:
    """Write the hand-over sheet of the job in `folder` beside its record, and return where.

    Raises:
        StoreTrouble: The job cannot be read, or the sheet cannot be written.
        BadFile: The pinned procedure cannot be read any more.
    """
    path = folder / SHEET
    write_whole(path, hand_over_page(shop, read_job(folder), when))
    return path
