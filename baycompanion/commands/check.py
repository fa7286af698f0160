"""`check`: what is wrong with procedure files, and what to write instead."""

from collections import Counter
from collections.abc import Iterable
from pathlib import Path

from baycompanion.commands.opening import shop_folder
from baycompanion.exits import Exit
from baycompanion.job.state.parts_order import read_order
from baycompanion.mishaps import Chosen
from baycompanion.out import data, data_json, talk
from baycompanion.play.run import procedure_of
from baycompanion.play.script import names_that_lead_nowhere, read_script
from baycompanion.procedure.check import check
from baycompanion.procedure.checks.language import check_language
from baycompanion.procedure.checks.names import check_file_name
from baycompanion.procedure.model import Shared
from baycompanion.store.reading import read_text
from baycompanion.store.shelf import find_procedure, read_procedure
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.counted import counted
from baycompanion.text.problem import BadFile, Problem
from baycompanion.text.to_model import to_model
from baycompanion.text.yaml_nodes import read_yaml
from baycompanion.trade.catalogue import SUMS
from baycompanion.wiring.connector import read_connector


def check_files(chosen: Chosen, names: Iterable[str], as_json: bool) -> int:
    """Print every problem of the files, and return 0, 1 with problems, or 2 if one is unreadable.

    Nothing is made or written, in the shop folder or elsewhere.
    """
    own = shop_folder(chosen) / "procedures"
    found: list[Problem] = []
    read, unreadable = False, False
    for name in dict.fromkeys(names):
        try:
            found += _problems(find_procedure(name, own), own)
            read = True
        except StoreTrouble as trouble:
            unreadable = True
            talk(str(trouble))
    _tell(list(dict.fromkeys(found)), as_json, read)  # a shared file has its say once
    if unreadable:
        return Exit.UNUSABLE
    return Exit.REFUSED if any(each.weight == "error" for each in found) else Exit.DONE


def _problems(path: Path, own: Path) -> list[Problem]:
    """Return the problems of the file at `path`, by what its keys say that it is.

    Raises:
        StoreTrouble: The file cannot be read.
    """
    text = read_text(path)
    try:
        node = read_yaml(text, str(path))
        keys = node.value if isinstance(node.value, dict) else {}
        if "script" in keys:
            script = read_script(text, str(path))
            procedure = procedure_of(script, path.parent, own).procedure
            return list(names_that_lead_nowhere(script, procedure))
        if "order" in keys and "procedure" not in keys:
            read_order(text, str(path))
            return []
        if "connector" in keys and "procedure" not in keys:
            read_connector(text, str(path))
            return []
        if "shared" in keys:
            to_model(Shared, node)
            return []
        loaded = read_procedure(path)
        named = check_file_name(loaded, path.stem)
        return sorted([*check(loaded, SUMS), *check_language(loaded), *named])
    except BadFile as bad:
        return list(bad.problems)


def _tell(found: list[Problem], as_json: bool, read: bool) -> None:
    """Print the problems on stdout, and how many there are on stderr, if anything was `read`."""
    if as_json:
        data_json([_as_dict(each) for each in found])
    else:
        for each in found:
            data(str(each))
    weights = Counter(each.weight for each in found)
    if found:
        talk(f"{counted(weights['error'], 'problem')}, {counted(weights['warning'], 'warning')}.")
    elif read:
        talk("No problems.")


def _as_dict(problem: Problem) -> dict[str, str | int]:
    """Return a problem as programs read it."""
    return {
        "file": problem.place.file,
        "line": problem.place.line,
        "column": problem.place.column,
        "weight": problem.weight,
        "what": problem.what,
        "instead": problem.instead,
    }
