"""What every check starts from: a loaded procedure, and problems made at their place."""

from collections.abc import Mapping
from dataclasses import dataclass

from baycompanion.procedure.load import Loaded
from baycompanion.procedure.model import Procedure
from baycompanion.procedure.paths import Paths
from baycompanion.procedure.walk import Path, numbers
from baycompanion.text.problem import Place, Problem
from baycompanion.text.to_model import place_of, place_of_key


@dataclass(frozen=True, slots=True)
class Findings:
    """One loaded procedure under check."""

    loaded: Loaded
    procedure: Procedure
    number: Mapping[str, int]
    """The place of every step in the whole order, counted from 1."""
    paths: Paths

    @classmethod
    def on(cls, loaded: Loaded) -> "Findings":
        """Return the start of a check on `loaded`."""
        procedure = loaded.procedure
        return cls(loaded, procedure, numbers(procedure), Paths.of(procedure))

    def place(self, path: Path) -> Place:
        """Return where the value at `path` stands."""
        return place_of(self.loaded.node, path)

    def error(self, path: Path, what: str, instead: str) -> Problem:
        """Return an error about the value at `path`."""
        return Problem(self.place(path), what, instead)

    def error_at_key(self, path: Path, what: str, instead: str) -> Problem:
        """Return an error about the key at the end of `path` itself."""
        return Problem(place_of_key(self.loaded.node, list(path)), what, instead)

    def warning(self, path: Path, what: str, instead: str) -> Problem:
        """Return a warning about the value at `path`."""
        return Problem(self.place(path), what, instead, "warning")
