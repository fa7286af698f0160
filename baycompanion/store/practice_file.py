"""The file that says what came of a practice: practice.json, which no job has."""

from pathlib import Path

from baycompanion.learning.practice.summary import PracticeSummary
from baycompanion.store.durable import write_whole

NAME = "practice.json"


def write_summary(folder: Path, summary: PracticeSummary) -> Path:
    """Write `summary` into the folder of its practice, and return where.

    Raises:
        StoreTrouble: It cannot be written.
    """
    path = folder / NAME
    write_whole(path, summary.model_dump_json(indent=1).encode() + b"\n")
    return path
