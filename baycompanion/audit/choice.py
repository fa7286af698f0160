"""Which jobs an audit looks at: since a day, with events of a person, by a procedure."""

from dataclasses import dataclass

from baycompanion.audit.one_job.facts import Heading
from baycompanion.job.record.past_job import PastJob
from baycompanion.store.ledger.entry import Entry, JobEntry


@dataclass(frozen=True, slots=True)
class Choice:
    """What narrows an audit; nothing narrows it where a field is empty."""

    since: str = ""
    """A day, like 2026-03-02, in UTC: jobs of which the newest event is of that day or later."""
    by: str = ""
    """A staff id: jobs with an event by that person."""
    procedure: str = ""
    """The id of a procedure: jobs that follow it."""

    @property
    def words(self) -> str:
        """To what the audit was narrowed, in a sentence; empty where nothing narrows it."""
        return f"Only jobs: {self._narrowed}." if self._narrowed else ""

    @property
    def fits_none(self) -> str:
        """That no job is what the audit was narrowed to, in a sentence; empty as above."""
        return (
            f"No job fits what the audit was narrowed to: {self._narrowed}."
            if self._narrowed
            else ""
        )

    @property
    def _narrowed(self) -> str:
        narrowed = {"since": self.since, "by": self.by, "procedure": self.procedure}
        return ", ".join(f"{name} {value}" for name, value in narrowed.items() if value)

    def takes(self, job: Heading) -> bool:
        """Return whether a job is looked at."""
        return (
            job.last_at[:10] >= self.since
            and (not self.by or any(map(self._is_by, job.people)))
            and self.procedure in ("", job.procedure)
        )

    def takes_entry(self, entry: Entry) -> bool:
        """Return whether a job is looked at of which there is only this entry."""
        assert isinstance(entry.data, JobEntry)
        return (
            entry.at[:10] >= self.since
            and (not self.by or self._is_by(entry.by))
            and self.procedure in ("", entry.data.procedure)
        )

    def _is_by(self, staff: str) -> bool:
        """Return whether `staff` is the person looked for, whatever the case of the letters."""
        return staff.casefold() == self.by.casefold()

    def takes_past(self, past: PastJob) -> bool:
        """Return whether a closed job is looked at of which the head of its record is known."""
        return (
            (past.ended_at or "")[:10] >= self.since
            and (not self.by or any(map(self._is_by, past.people)))
            and self.procedure in ("", past.procedure.id)
        )
