"""An audit as a page to print: gates first, room for answers, and every text shown as text."""

import re
from datetime import UTC, datetime

from asked import closed, played
from bay import S1, Bay

from baycompanion.audit.choice import Choice
from baycompanion.audit.findings import Finding, Rule
from baycompanion.audit.page import AuditTold, audit_page
from baycompanion.audit.rules.questions import Questions, ask
from baycompanion.audit.shop import ShopSeen
from baycompanion.job.actions import Answer, Override

NOW = datetime(2026, 11, 26, 9, 30, tzinfo=UTC)
OVERRIDE = Override(
    override="sound-before-refit", reason="measured another way", words="w", instead="i"
)
HOSTILE = "<script>alert(1)</script>"


def page(*findings: Finding, choice: Choice | None = None) -> str:
    """Return the page of one shop with two jobs, one of which had a gate overridden."""
    questions = Questions()
    overridden = Bay().held(sound=[Answer(answer="sound", outcome="not fitted")])
    overridden.do(OVERRIDE, who=S1)
    for job in (played(closed(), "job-1"), played(overridden, "job-2")):
        list(questions.take(ask(job)))
    seen = ShopSeen(shop="north", jobs=2, gates=questions.gates, seal="")
    told = AuditTold([seen], findings, [], f"{len(findings)} findings.")
    return audit_page(told, choice or Choice("", "", ""), NOW)


def test_the_page_begins_with_the_gates_and_ends_with_room_for_answers() -> None:
    found = Finding(Rule("gate-overridden", "serious"), "Does it fit?", "job-2", events=(7,))
    text = page(found, choice=Choice("2026-03-02", "", ""))
    words = re.sub(r"<[^>]+>", " ", text.partition("</style>")[2])
    order = [
        "Only jobs: since 2026-03-02.",
        "The gates first",
        "sound-before-refit",
        "Does it fit?",
    ]
    assert sorted(order, key=words.index) == order
    assert "overridden: measured another way (1)" in words
    assert "gate-overridden · job-2 · event 7" in words
    assert words.count("Looked at by, when, and what it was:") == 1


def test_every_text_is_shown_as_text_and_nothing_may_run() -> None:
    text = page(Finding(Rule("r", "grave"), f"Was it {HOSTILE}?", HOSTILE))
    assert HOSTILE not in text
    assert text.count("&lt;script&gt;") == 2
    assert "default-src 'none'" in text


def test_a_page_without_findings_says_so() -> None:
    assert "No findings." in page()
