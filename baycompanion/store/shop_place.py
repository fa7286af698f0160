"""Where the shop folder lies, known before anything in it is read, and which folder is none."""

import os
from pathlib import Path

VARIABLE = "BAYCOMPANION_SHOP"
"""The environment variable that names the shop folder."""


def where_is_shop(chosen: str | None) -> Path:
    """Return the shop folder: `chosen`, else by the environment, else the platform's own place.

    Raises:
        RuntimeError: It begins with the home folder of somebody unknown.
    """
    if chosen or os.environ.get(VARIABLE):
        return Path(chosen or os.environ[VARIABLE]).expanduser()
    from platformdirs import user_data_path  # 4 ms, and only where no folder was named

    return user_data_path("baycompanion", appauthor=False) / "shop"


def why_no_shop(folder: Path) -> str:
    """Return in words that `folder`, which has no jobs, is no shop, and which shops lie in it."""
    told = f"{folder} is no shop folder: it has no jobs."
    try:
        shops = sorted(each for each in folder.iterdir() if (each / "jobs").is_dir())
    except OSError:  # there is no such folder, or nobody may look into it
        return told
    if not shops:
        return told
    if len(shops) == 1:
        return f"{told} One lies in it: name {shops[0]}."
    return f"{told} {len(shops)} of them lie in it: name each, like {shops[0]}."
