"""The shelf of procedures: the shop's own first, then those that ship with the program."""

from pathlib import Path, PurePosixPath

import baycompanion
from baycompanion.procedure.load import Fetch, Loaded, load_procedure
from baycompanion.store.reading import read_text
from baycompanion.store.trouble import StoreTrouble
from baycompanion.store.typed_path import leads_to_file
from baycompanion.text.clean import clean_line
from baycompanion.text.problem import nearest, quoted

_PACKAGE = Path(baycompanion.__file__).parent


def shipped(what: str) -> Path:
    """Return the folder `what` that ships with the program, `procedures` or `demo`.

    In a wheel it lies inside the package, in a checkout beside it.
    """
    inside = _PACKAGE / "shipped" / what
    return inside if inside.is_dir() else _PACKAGE.parent / what


def list_procedures(own: Path) -> dict[str, Path]:
    """Return every procedure on the shelf by its id; `own` is the shop's folder of procedures."""
    found: dict[str, Path] = {}
    for folder in (shipped("procedures"), own):
        for path in sorted(folder.glob("*.yaml")):
            found[path.stem] = path
    return dict(sorted(found.items()))


def find_procedure(name: str, own: Path) -> Path:
    """Return the file of the procedure called `name`, or the file that `name` is the path of.

    Raises:
        StoreTrouble: There is none.
    """
    shelf = list_procedures(own)
    if name in shelf:
        return shelf[name]
    if name.endswith((".yaml", ".yml")):
        return Path(name)
    said = quoted(clean_line(name))
    raise StoreTrouble(f"There is no procedure {said}. {nearest(name, shelf)}")


def read_procedure(path: Path) -> Loaded:
    """Return the procedure in the file at `path`, its includes fetched from below its folder.

    Raises:
        StoreTrouble: The file cannot be read.
        BadFile: It does not say what it should.
    """
    return load_procedure(read_text(path), str(path), _fetch_below(path.parent))


def _fetch_below(folder: Path) -> Fetch:
    """Return what fetches an include from below `folder`, else from the shipped procedures."""

    def fetch(name: str) -> tuple[str, str] | None:
        for root in (folder, shipped("procedures")):
            path = root / PurePosixPath(name)
            if leads_to_file(path) and path.resolve().is_relative_to(root.resolve()):
                return str(path), read_text(path)
        return None

    return fetch
