"""Where the shop folder lies; known before anything in it is read."""

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
