"""The shelf of procedures: the shop's own first, then those that ship with the program."""

from dataclasses import dataclass
from pathlib import Path, PurePosixPath

import baycompanion
from baycompanion.procedure.load import Fetch, Loaded, load_procedure
from baycompanion.store.reading import files_in, read_text
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
    """Return every procedure on the shelf by its id; `own` is the shop's folder of procedures.

    Raises:
        StoreTrouble: There is such a folder, and it cannot be looked into.
    """
    found: dict[str, Path] = {}
    for folder in (shipped("procedures"), own):
        for path in files_in(folder, ".yaml"):
            found[path.stem] = path
    return dict(sorted(found.items()))


def find_procedure(name: str, own: Path) -> Path:
    """Return the file of the procedure called `name`, or the file that `name` is the path of.

    Raises:
        StoreTrouble: There is none, or the shop's folder cannot be looked into.
    """
    shelf = list_procedures(own)
    if name in shelf:
        return shelf[name]
    if name.endswith((".yaml", ".yml")):
        return Path(name)
    said = quoted(clean_line(name))
    raise StoreTrouble(f"There is no procedure {said}. {nearest(name, shelf)}")


@dataclass(frozen=True, slots=True)
class _Read:
    """A procedure that was read, with every text that it came from."""

    text: str
    includes: dict[str, tuple[str, str] | None]
    """For each path that was included the name and the text of its file."""
    loaded: Loaded


_READ: dict[Path, _Read] = {}
_MOST_KEPT = 64
"""More than a shelf has: where each pushed out the next, all would be read at every look."""


def read_procedure(path: Path) -> Loaded:
    """Return the procedure in the file at `path`, its includes fetched from below its folder.

    Its files are read each time; what they say is worked out anew only where one of them differs.

    Raises:
        StoreTrouble: The file cannot be read.
        BadFile: It does not say what it should.
    """
    text = read_text(path)
    fetch = _fetch_below(path.parent)
    before = _READ.pop(path, None)
    if before is None or before.text != text or not _same(before.includes, fetch):
        before = _load(path, text, fetch)
    _READ[path] = before
    for old in list(_READ)[:-_MOST_KEPT]:
        _READ.pop(old, None)  # another thread may read, too
    return before.loaded


def _load(path: Path, text: str, fetch: Fetch) -> _Read:
    includes: dict[str, tuple[str, str] | None] = {}

    def noted(name: str) -> tuple[str, str] | None:
        includes[name] = fetch(name)
        return includes[name]

    return _Read(text, includes, load_procedure(text, str(path), noted))


def _same(includes: dict[str, tuple[str, str] | None], fetch: Fetch) -> bool:
    return all(fetch(name) == before for name, before in includes.items())


def _fetch_below(folder: Path) -> Fetch:
    """Return what fetches an include from below `folder`, else from the shipped procedures."""

    def fetch(name: str) -> tuple[str, str] | None:
        for root in (folder, shipped("procedures")):
            path = root / PurePosixPath(name)
            if leads_to_file(path) and path.resolve().is_relative_to(root.resolve()):
                return str(path), read_text(path)
        return None

    return fetch
