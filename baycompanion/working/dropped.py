"""The path in what a terminal types when a file is dropped on it."""

import re
from pathlib import Path
from urllib.parse import unquote, urlsplit
from urllib.request import url2pathname

from baycompanion.store.trouble import StoreTrouble
from baycompanion.store.typed_path import typed_path
from baycompanion.text.problem import quoted

_ESCAPED = re.compile(r"\\(.)")


def dropped_path(typed: str) -> Path:
    """Return the path that `typed` names: as it stands, quoted, with escapes, or as a file: URL.

    A backslash escapes the sign after it only where the path without it is there, since on one
    system it separates folders.

    Raises:
        StoreTrouble: It begins with the home folder of somebody unknown, is longer than any file
            name, or is no whole URL.
    """
    bare = typed.strip()
    if bare[:1] in ("'", '"') and bare[-1:] == bare[:1]:
        bare = bare[1:-1]
    if bare.casefold().startswith("file:"):
        bare = _path_of_url(bare)
    path = typed_path(bare)
    if "\\" in bare and not _is_there(path):
        unescaped = typed_path(_ESCAPED.sub(r"\1", bare))
        return unescaped if _is_there(unescaped) else path
    return path


def _path_of_url(url: str) -> str:
    try:
        return url2pathname(unquote(urlsplit(url).path, errors="replace"))
    except (OSError, ValueError):
        raise StoreTrouble(f"{quoted(url)} leads to no file. Type the path.") from None


def _is_there(path: Path) -> bool:
    try:
        return path.exists()
    except (OSError, ValueError):
        return False
