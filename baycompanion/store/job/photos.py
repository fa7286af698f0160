"""Photos: copied into the job with their hash, never moved."""

import hashlib
import stat
from pathlib import Path

from baycompanion.job.actions import AddPhoto
from baycompanion.store.durable import write_whole
from baycompanion.store.trouble import StoreTrouble, because

LARGEST_PHOTO = 50_000_000
"""Bytes of the largest picture that is taken."""
SUFFIXES = (".jpg", ".jpeg", ".png", ".webp", ".heic", ".heif", ".tif", ".tiff", ".gif", ".bmp")


def photo_at(source: Path) -> AddPhoto:
    """Return the action that adds the picture at `source`, of which nothing is copied yet.

    Raises:
        StoreTrouble: It is missing, no picture, too large, or cannot be read.
    """
    return _added(source, _read_picture(source))


def copy_photo(source: Path, folder: Path) -> AddPhoto:
    """Copy the picture at `source` into `folder`, and return the action that says so.

    Raises:
        StoreTrouble: It is missing, no picture, too large, or cannot be copied.
    """
    content = _read_picture(source)
    photo = _added(source, content)
    try:
        folder.mkdir(exist_ok=True)
    except OSError as error:
        raise StoreTrouble(f"{folder} cannot be made: {because(error)}.") from None
    write_whole(folder / photo.photo, content)
    return photo


def _added(source: Path, content: bytes) -> AddPhoto:
    digest = hashlib.sha256(content).hexdigest()
    name = f"{digest[:16]}{source.suffix.lower()}"
    return AddPhoto(photo=name, sha256=digest, size=len(content), original=source.name)


def _read_picture(source: Path) -> bytes:
    """Return the bytes of the picture at `source`; what is hashed is what is copied."""
    if source.suffix.lower() not in SUFFIXES:
        raise StoreTrouble(f"{source} is no picture. Give a file ending in {', '.join(SUFFIXES)}.")
    try:
        if not source.is_file() and source.exists():
            raise StoreTrouble(f"{source} is no file. Choose a picture.")
        size = source.stat().st_size
        if size > LARGEST_PHOTO:
            raise StoreTrouble(
                f"{source} is larger than {LARGEST_PHOTO // 1_000_000} MB. Make it smaller."
            )
        content = source.read_bytes()
    except FileNotFoundError:
        raise StoreTrouble(f"There is no file {source}. Check the path.") from None
    except OSError as error:
        raise StoreTrouble(f"{source} cannot be read: {because(error)}.") from None
    except ValueError:  # a NUL in the name
        raise StoreTrouble("That is no file name. Type the path of a picture.") from None
    if not content:
        raise StoreTrouble(f"{source} is empty. Choose another picture.")
    return content


def newest_picture(folder: Path) -> Path:
    """Return the newest picture in `folder`, which may be open to others: no link is followed.

    Raises:
        StoreTrouble: The folder cannot be read or holds no picture.
    """
    try:
        pictures = [path for path in folder.iterdir() if _is_picture(path)]
        if not pictures:
            raise StoreTrouble(f"There is no picture in {folder}.")
        return max(pictures, key=lambda path: path.stat().st_mtime_ns)
    except OSError as error:
        raise StoreTrouble(f"{folder} cannot be read: {because(error)}.") from None


def _is_picture(path: Path) -> bool:
    """Return whether a file of the watched folder is a picture that somebody laid there."""
    shown = path.suffix.lower() in SUFFIXES and not path.name.startswith(".")
    return shown and not path.is_symlink() and path.is_file()


def read_photo(folder: Path, file: str, sha256: str) -> bytes | str:
    """Return the bytes of a photo of a job, or why they are not those that were copied in.

    It never raises: a sheet without a picture is worth more than no sheet. The owner reads it, so
    it says nothing of where the shop's files lie.
    """
    if Path(file).name != file:  # a forged journal could name any file of the disk
        return "its name leads out of the job"
    path = folder / file
    try:
        kept = path.stat()
        was_taken = stat.S_ISREG(kept.st_mode) and kept.st_size <= LARGEST_PHOTO
        content = path.read_bytes() if was_taken else b""
    except FileNotFoundError:
        return "the file is missing"
    except OSError as error:
        return f"the file cannot be read: {because(error)}"
    except ValueError:  # a NUL in the name
        return "its name is no file name"
    if hashlib.sha256(content).hexdigest() != sha256:
        return "the file was changed after it was copied into the job"
    return content
