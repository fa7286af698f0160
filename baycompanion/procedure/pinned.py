"""The procedure that a job has pinned: most jobs of a shop follow one of a few."""

from functools import lru_cache

from baycompanion.procedure.load import load_procedure
from baycompanion.procedure.model import Procedure
from baycompanion.text.problem import BadFile


def pinned_procedure(text: str, file: str) -> Procedure:
    """Return the procedure in `text`, which `file` names in problems; the same text is read once.

    Raises:
        BadFile: It cannot be read any more by this program.
    """
    try:
        return _loaded(text)
    except BadFile:
        return load_procedure(text, file).procedure  # which says in which file


@lru_cache(maxsize=32)
def _loaded(text: str) -> Procedure:
    return load_procedure(text, "").procedure
