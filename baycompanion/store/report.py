"""The report of an unforeseen fault of the program: a file without the values it worked on."""

import platform
import tempfile
import traceback
from datetime import datetime
from pathlib import Path

from baycompanion import __version__

REPORTS = "reports"


def write_report(error: BaseException, shop: Path | None, when: datetime) -> Path | None:
    """Write what led to `error` below the folder `shop`, or else for temporary files.

    Only the lines of the program are kept, no values of its variables: a report can be passed on.
    Returns the file, or None where no place takes it.
    """
    text = "\n".join(
        [
            f"baycompanion {__version__}, Python {platform.python_version()}, "
            f"{platform.system()} {platform.release()}",
            f"{when:%Y-%m-%d %H:%M:%S} UTC",
            "",
            *traceback.format_exception(error),
        ]
    )
    name = f"baycompanion-{when:%Y%m%dT%H%M%S%f}.txt"
    folders = [shop / REPORTS] if shop is not None and shop.is_dir() else []
    for folder in (*folders, Path(tempfile.gettempdir())):
        try:
            folder.mkdir(exist_ok=True)
            (folder / name).write_text(text, encoding="utf-8", errors="backslashreplace")
        except OSError:
            continue
        return folder / name
    return None
