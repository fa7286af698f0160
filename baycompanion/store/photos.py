"""Photos: copied into the job with their hash, never moved."""

import hashlib
import shutil
from pathlib import Path

from baycompanion.job.actions import AddPhoto
from baycompanion.store.durable import flush, flush_folder
from baycompanion.store.trouble import StoreTrouble, because

LARGEST_PHOTO = 50_000_000
"""Bytes of the largest picture that is taken."""
SUFFIXES = (".jpg", ".jpeg", ".png", ".webp", ".heic", ".heif", ".tif", ".tiff", ".gif", ".bmp")


def copy_photo(source: Path, folder: Path) -> AddPhoto:
    """Copy the picture at `source` into `folder`, and return the action that says so.

    Raises:
        StoreTrouble: It is missing, no picture, too large, or cannot be copied.
    """
    if source.suffix.lower() not in SUFFIXES:
        raise StoreTrouble(f"{source} is no picture. Give a file ending in {', '.join(SUFFIXES)}.")
    try:
        size = source.stat().st_size
        if not source.is_file() or size == 0:
            raise StoreTrouble(f"{source} is empty or no file. Choose a picture.")
        if size > LARGEST_PHOTO:
            raise StoreTrouble(f"{source} is larger than {LARGEST_PHOTO // 1_000_000} MB.")
        folder.mkdir(exist_ok=True)
        with source.open("rb") as file:
            digest = hashlib.file_digest(file, "sha256").hexdigest()
        target = folder / f"{digest[:16]}{source.suffix.lower()}"
        with source.open("rb") as file, target.open("wb") as copy:
            shutil.copyfileobj(file, copy)
            copy.flush()
            flush(copy.fileno())
        flush_folder(folder)
    except FileNotFoundError:
        raise StoreTrouble(f"There is no file {source}. Check the path.") from None
    except OSError as error:
        raise StoreTrouble(f"{source} cannot be copied: {because(error)}.") from None
    return AddPhoto(photo=target.name, sha256=digest, size=size, original=source.name)


def newest_picture(folder: Path) -> Path:
    """Return the newest picture in `folder`.

    Raises:
        StoreTrouble: The folder cannot be read or holds no picture.
    """
    try:
        pictures = [
            path
            for path in folder.iterdir()
            if path.suffix.lower() in SUFFIXES and path.is_file()
        ]
        if not pictures:
            raise StoreTrouble(f"There is no picture in {folder}.")
        return max(pictures, key=lambda path: path.stat().st_mtime_ns)
    except OSError as error:
        raise StoreTrouble(f"{folder} cannot be read: {because(error)}.") from None
