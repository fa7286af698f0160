"""A procedure file while it is being written: read anew when it, or what it includes, is saved."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from baycompanion.procedure.check import check
from baycompanion.procedure.checks.language import check_language
from baycompanion.procedure.load import Loaded
from baycompanion.store.shelf import read_procedure
from baycompanion.store.trouble import StoreTrouble
from baycompanion.text.problem import BadFile
from baycompanion.text.yaml_nodes import Node
from baycompanion.trade.catalogue import SUMS

Stamps = tuple[tuple[str, int, int], ...]
"""For each file its size and the time at which it was saved, as far as it is there."""


@dataclass
class DraftFile:
    """One file under somebody's hands; what was good last stays until there is something better."""

    path: Path
    good: Loaded | None = None
    """The procedure as it was when it last had no error."""
    problems: tuple[str, ...] = ()
    """What is wrong with it now, errors first, each with its file and line."""
    broken: bool = False
    """Whether `good` is older than what is in the file now."""
    _files: set[Path] = field(default_factory=set)
    _seen: Stamps | None = None

    def look(self) -> bool:
        """Read the file if it was saved since the last look; return whether it was."""
        now = self._stamps()
        if now == self._seen:
            return False
        self._seen = now
        self._read()
        self._seen = self._stamps()  # of the includes, too, which are known only now
        return True

    def _read(self) -> None:
        try:
            loaded = read_procedure(self.path)
        except StoreTrouble as trouble:
            self.problems, self.broken = (str(trouble),), True
            return
        except BadFile as bad:
            self._files |= {Path(each.place.file) for each in bad.problems}
            self.problems, self.broken = tuple(map(str, bad.problems)), True
            return
        self._files = {Path(file) for file in _files_of(loaded.node)}
        found = check(loaded, SUMS)
        errors = [each for each in found if each.weight == "error"]
        warnings = sorted({*found, *check_language(loaded)} - {*errors})
        self.problems = tuple(map(str, (*errors, *warnings)))
        self.broken = bool(errors)
        if not errors:
            self.good = loaded

    def _stamps(self) -> Stamps:
        return tuple(sorted(_stamp(path) for path in {self.path, *self._files}))


def _stamp(path: Path) -> tuple[str, int, int]:
    try:
        found = path.stat()
    except OSError:
        return str(path), -1, -1
    return str(path), found.st_size, found.st_mtime_ns


def _files_of(node: Node) -> Iterator[str]:
    """Yield the file of `node` and of everything in it."""
    waiting = [node]
    while waiting:
        here = waiting.pop()
        yield here.place.file
        if isinstance(here.value, dict):
            waiting += here.value.values()
        elif isinstance(here.value, list):
            waiting += here.value
