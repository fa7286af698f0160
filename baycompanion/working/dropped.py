"""The path in what a terminal types when a file is dropped on it."""

import re
from pathlib import Path
from urllib.parse import unquote, urlsplit
from urllib.request import url2pathname

_ESCAPED = re.compile(r"\\(.)")


def dropped_path(typed: str) -> Path:
    """Return the path that `typed` names: as it stands, quoted, with escapes, or as a file: URL.

    A backslash escapes the sign after it only where the path without it is there, since on one
    system it separates folders.

    Raises:
        ValueError: It begins with the home folder of somebody unknown, or is no whole URL; one
            sentence.
    """
    bare = typed.strip()
    if bare[:1] in ("'", '"') and bare[-1:] == bare[:1]:
        bare = bare[1:-1]
    if bare.casefold().startswith("file:"):
        bare = _path_of_url(bare)
    try:
        path = Path(bare).expanduser()
        if "\\" in bare and not _is_there(path):
            unescaped = Path(_ESCAPED.sub(r"\1", bare)).expanduser()
            return unescaped if _is_there(unescaped) else path
    except RuntimeError:  # of expanduser
        raise ValueError(f"There is no home folder for {bare[:60]}. Type the whole path.") from None
    return path


def _path_of_url(url: str) -> str:
    try:
        return url2pathname(unquote(urlsplit(url).path, errors="replace"))
    except (OSError, ValueError):
        raise ValueError(f"{url[:60]} leads to no file. Type the path.") from None


def _is_there(path: Path) -> bool:
    try:
        return path.exists()
    except (OSError, ValueError):
        return False
