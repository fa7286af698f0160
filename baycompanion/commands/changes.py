"""`changes`: what a technician must know between two procedure files."""

from dataclasses import asdict
from textwrap import wrap

from baycompanion.commands.opening import shop_folder
from baycompanion.exits import Exit
from baycompanion.mishaps import Chosen
from baycompanion.out import data, data_json
from baycompanion.procedure.comparing.comparing import compare
from baycompanion.procedure.model import Procedure
from baycompanion.store.job.folder import refuse_errors
from baycompanion.store.shelf import find_procedure, read_procedure
from baycompanion.views.procedure.comparing import comparison_lines, weakening_words


def tell_changes(chosen: Chosen, old: str, new: str, as_json: bool) -> int:
    """Print what NEW says otherwise than OLD; return 1 where a gate is weaker, else 0."""
    was, now = read_faultless(chosen, old), read_faultless(chosen, new)
    found = compare(was, now)
    if as_json:
        data_json(
            {
                "old": {"procedure": was.procedure, "revision": was.revision},
                "new": {"procedure": now.procedure, "revision": now.revision},
                "shouts": [weakening_words(was, now, each) for each in found.weakened],
                **asdict(found),
            }
        )
    else:
        for line in comparison_lines(was, now, found):
            for part in _set_in(line):
                data(part)
    return Exit.REFUSED if found.weakened else Exit.DONE


def _set_in(line: str) -> list[str]:
    """Return `line` in as many of at most 80 columns as it takes, the later ones set in."""
    margin = " " * (len(line) - len(line.lstrip()) + 4)
    return wrap(line, 80, subsequent_indent=margin, break_on_hyphens=False) or [""]


def read_faultless(chosen: Chosen, name: str) -> Procedure:
    """Return the procedure of this name or in this file, without an error in it."""
    loaded = read_procedure(find_procedure(name, shop_folder(chosen) / "procedures"))
    refuse_errors(loaded)
    return loaded.procedure
