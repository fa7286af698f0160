"""A path as somebody typed it; a name that no disk takes is refused before anything is tried."""

import errno
from pathlib import Path

from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.clean import clean_line
from baycompanion.text.problem import quoted


def typed_path(text: str) -> Path:
    """Return the path that `text` spells, the home folder that it begins with written out.

    Raises:
        StoreTrouble: There is no such home folder, or nothing can have that name.
    """
    said = quoted(clean_line(text))
    try:
        path = Path(text).expanduser()
        path.lstat()
    except RuntimeError:  # of expanduser
        raise StoreTrouble(f"There is no home folder for {said}. Type the whole path.") from None
    except ValueError:  # a NUL, or half a character
        raise StoreTrouble(f"{said} is no file name. Check it.") from None
    except OSError as error:
        if error.errno == errno.ENAMETOOLONG:
            raise StoreTrouble(f"{said} is longer than any file name. Check it.") from None
    return path


def leads_to_folder(path: Path) -> bool:
    """Return whether there is a folder at `path`; a name that no disk takes leads to none."""
    try:
        return path.is_dir()
    except (OSError, ValueError):
        return False


def leads_to_file(path: Path) -> bool:
    """Return whether there is a plain file at `path`; a name that no disk takes leads to none."""
    try:
        return path.is_file()
    except (OSError, ValueError):
        return False
