"""A job of the small receiver in which a speaker stays silent, and a supervisor lets it pass."""

from baycompanion.job.actions import Answer, Override, Settle
from baycompanion.job.deciding.draft import Person

FAILED = [
    Answer(answer="sound", outcome="failed"),
    Settle(settle="sound", cause="work", words="rear left is silent"),
]
OVERRIDE = Override(
    override="sound-before-refit", reason="part on order", words="owner waits", instead="a tag"
)
V2 = Person("V2", "supervisor")
