"""A ledger beside the folders of its jobs, in a passing database: memory stays flat."""

import sqlite3
from collections.abc import Iterable, Iterator

from baycompanion.job.events.chain import canonical, parsed
from baycompanion.store.ledger.entry import Entry, JobEntry, read_entry


class LedgerJoin:
    """The entries of one ledger and the folders of its jobs, by the name of the job.

    The database has no name: the system keeps it in memory while it is small, else in a passing
    file, and nothing is left of it.
    """

    def __init__(self) -> None:
        """Begin an empty one."""
        self._base = sqlite3.connect("")
        self._base.executescript(
            "CREATE TABLE entry (seq INTEGER, job TEXT, line BLOB);"
            "CREATE TABLE folder (job TEXT PRIMARY KEY) WITHOUT ROWID;"
        )

    def close(self) -> None:
        """Close it; nothing is left of it."""
        self._base.close()

    def add_entries(self, entries: Iterable[Entry]) -> None:
        """Take `entries` in; those that are of no job are passed over."""
        self._base.executemany(
            "INSERT INTO entry VALUES (?, ?, ?)",
            (
                (entry.seq, entry.data.job, canonical(entry.as_dict()))
                for entry in entries
                if isinstance(entry.data, JobEntry)
            ),
        )
        self._base.execute("CREATE INDEX entry_by_job ON entry (job, seq)")

    def add_folders(self, names: Iterable[str]) -> None:
        """Take the names of folders in."""
        self._base.executemany("INSERT INTO folder VALUES (?)", ((name,) for name in names))

    def folders(self) -> Iterator[str]:
        """Yield the names of the folders, in order."""
        for (name,) in self._base.execute("SELECT job FROM folder ORDER BY job"):
            yield name

    def lines_of(self, job: str) -> tuple[bytes, ...]:
        """Return the lines of the entries of the job called `job`, the oldest first."""
        rows = self._base.execute("SELECT line FROM entry WHERE job = ? ORDER BY seq", (job,))
        return tuple(line for (line,) in rows)

    def entries_of(self, job: str) -> list[Entry]:
        """Return the entries of the job called `job`, the oldest first."""
        return [read_entry(parsed(line)) for line in self.lines_of(job)]

    def without_folder(self) -> Iterator[str]:
        """Yield the names of jobs that were entered and have no folder, in order."""
        rows = self._base.execute(
            "SELECT DISTINCT job FROM entry WHERE job NOT IN (SELECT job FROM folder) ORDER BY job"
        )
        for (name,) in rows:
            yield name
