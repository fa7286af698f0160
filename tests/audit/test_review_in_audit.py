"""What was looked at stays in the audit and is marked; what was decided about a gate is heeded."""

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from asked import asked, closed, only, played
from bay import Bay
from test_finding_keys import damaged, found_in
from test_gates_first import overridden

from baycompanion.audit.choice import Choice
from baycompanion.audit.page import AuditTold, audit_page
from baycompanion.audit.rules.gate_overrides import FEWEST_JOBS
from baycompanion.audit.rules.played import Played
from baycompanion.job.deciding.draft import Person
from baycompanion.job.events.kinds import GateHeld, GateOpened
from baycompanion.job.events.moment import write_moment
from baycompanion.spread.rising import FEWEST
from baycompanion.store.review import NAME, Course, Decision, LookedAt, look_at

NOW = datetime(2026, 9, 1, 8, tzinfo=UTC)
S1 = Person("S1", "supervisor")
GATE = ("small-receiver", 3, "sound-before-refit")
FIRST = datetime(2026, 3, 2, 8, tzinfo=UTC)


# --- looked at ----------------------------------------------------------------------------------


def test_a_finding_that_was_looked_at_stays_and_carries_the_word(shop: Path) -> None:
    first = found_in(damaged(shop))
    marked = first[1]
    for words in ("a copy failed", "the copy is back"):
        said = LookedAt(finding=marked.key, rule=marked.rule.id, words=words)
        look_at(shop, said, S1, NOW)
    again = found_in(shop)
    assert [each.key for each in again] == [each.key for each in first]
    assert [each.looked_at is not None for each in again] == [n == 1 for n in range(len(first))]
    assert again[1].told_words[0] == "Looked at by S1 on 2026-09-01: “the copy is back”"
    word = {"by": "S1", "at": "2026-09-01T08:00:00.000Z", "words": "the copy is back"}
    word |= {"own": False}
    assert again[1].as_dict()["looked_at"] == word


def test_a_word_on_ones_own_doing_hides_no_word_of_somebody_else(shop: Path) -> None:
    marked = found_in(damaged(shop))[1]
    apart, own = Person("S3", "supervisor"), Person("S2", "supervisor")
    said = LookedAt(finding=marked.key, rule=marked.rule.id, words="asked and seen")
    look_at(shop, said, apart, NOW)
    look_at(shop, said.model_copy(update={"words": "it was late", "own": True}), own, NOW)
    again = found_in(shop)[1]
    told = (
        "Looked at by S2, whose own doing it is, on 2026-09-01: “it was late”",
        "Looked at by S3 on 2026-09-01: “asked and seen”",
    )
    assert again.told_words == told
    assert [word["by"] for word in again.as_dict()["words"]] == ["S2", "S3"]
    page = audit_page(AuditTold([], [again], [], "", []), Choice(), NOW)
    assert -1 < page.find(told[0]) < page.find(told[1])


@pytest.mark.parametrize(
    ("change", "rule", "told"),
    [
        (lambda lines: [lines[0], lines[1].replace(b"so", b"no"), lines[2]], "changed", "line 2"),
        (lambda lines: [lines[0], lines[2]], "missing", "line 2"),
        (lambda lines: [*lines, lines[2]], "extra", "line 4"),
        (lambda lines: [lines[0], lines[2], lines[1]], "reordered", "line 2"),
        (lambda lines: [*lines, b"torn"], "torn", "4 bytes"),
    ],
)
def test_the_chain_of_the_review_is_checked(shop: Path, change, rule: str, told: str) -> None:  # type: ignore[no-untyped-def]
    for key in ("a", "b"):
        look_at(shop, LookedAt(finding=key, rule="r", words="so"), S1, NOW)
    assert found_in(shop) == []
    lines = (shop / NAME).read_bytes().splitlines(keepends=True)
    (shop / NAME).write_bytes(b"".join(change(lines)))
    [finding] = found_in(shop)
    assert finding.rule.id == f"review-{rule}"
    assert told in finding.sentence
    assert (finding.job, finding.entries) == ("", ())


def test_a_line_of_a_newer_program_is_told_too(shop: Path) -> None:
    look_at(shop, LookedAt(finding="a", rule="r", words="so"), S1, NOW)
    from baycompanion.job.events.chain import canonical, hash_event

    last = json.loads((shop / NAME).read_bytes().splitlines()[-1])
    newer = {**last, "seq": 3, "prev": last["hash"], "kind": "weighed"}
    newer["hash"] = hash_event(newer)
    with (shop / NAME).open("ab") as file:
        file.write(canonical(newer) + b"\n")
    [finding] = found_in(shop)
    assert (finding.rule.id, finding.about) == ("review-changed", "line 3")


Pair = tuple[Bay, Bay]
"""A job in which a gate opened by its condition, and one in which it was overridden."""


@pytest.fixture(scope="module")
def pair() -> Pair:
    return closed(), overridden()


# --- decided ------------------------------------------------------------------------------------


def on_day(bay: Bay, day: int) -> Played:
    """Return the job of `bay` as if it had come to its gates on that day."""
    at = write_moment(FIRST + timedelta(days=day))
    events = tuple(
        event._replace(at=at) if isinstance(event.data, GateHeld | GateOpened) else event
        for event in bay.events
    )
    return replace(played(bay, f"job-{day:03}"), events=events)


def days(pattern: str, pair: Pair, first: int = 0) -> list[Played]:
    """Return a job a day, overridden where an `x` stands in `pattern`."""
    return [on_day(pair[sign == "x"], first + day) for day, sign in enumerate(pattern)]


def decision(day: int, course: Course = "train", until: str | None = None) -> Decision:
    at = write_moment(FIRST + timedelta(days=day, hours=1))
    return Decision(5, at, "S1", "two of us were new", course, until)


RISING = "." * 14 + "..x..x.xx.xxx.xxxx"


def test_a_gate_overridden_more_and_more_asks_for_a_decision(
    pair: Pair,
) -> None:
    found = asked(days(RISING, pair))
    [told] = only("gate-overridden-more-and-more", found)
    assert "in 0 of the older 16 jobs that reached it, and in 11 of the newer 16" in told.sentence
    assert "mend the gate, train, or accept it until a day" in told.sentence
    assert "Exact rank test on the order of these jobs: by chance alone in at most" in told.sentence
    assert told.about == "sound-before-refit of small-receiver, revision 3"
    assert (told.job, told.rule.people) == ("", False)


@pytest.mark.parametrize("pattern", [RISING[::-1], "x..." * 8, "x" * (FEWEST - 1), "." * 40])
def test_what_falls_or_stays_as_it_was_is_no_rise(
    pattern: str,
    pair: Pair,
) -> None:
    assert not only("gate-overridden-more-and-more", asked(days(pattern, pair)))


def both(found: list) -> list:  # type: ignore[type-arg]
    return [
        *only("gate-often-overridden", found),
        *only("gate-overridden-more-and-more", found),
    ]


def test_an_acceptance_quiets_the_gate_until_its_day_and_not_longer(
    pair: Pair,
) -> None:
    jobs = days(RISING, pair)
    assert len(both(asked(jobs))) == 2
    decisions = {GATE: [decision(26, "accept-until", "2026-09-01")]}
    assert both(asked(jobs, decisions=decisions, now=NOW)) == []
    for finding in both(asked(jobs, decisions=decisions, now=NOW + timedelta(days=1))):
        assert finding.sentence.startswith(
            "On 2026-03-28 S1 decided: accept it until 2026-09-01. “two of us were new” That day "
            "has passed. Since then the gate was overridden in 4 of 5 jobs. The gate "
        )
        assert finding.about.endswith("revision 3 · after line 5")


def test_to_mend_or_to_train_begins_the_count_anew(
    pair: Pair,
) -> None:
    before = days(RISING, pair)
    decisions = {GATE: [decision(len(RISING) - 1)]}
    assert both(asked(before, decisions=decisions, now=NOW)) == []
    few = [*before, *days("x" * (FEWEST_JOBS - 1), pair, len(before))]
    assert both(asked(few, decisions=decisions, now=NOW)) == []
    well = [*before, *days("." * 30, pair, len(before))]
    assert both(asked(well, decisions=decisions, now=NOW)) == []
    went_on = [*before, *days("x" * FEWEST_JOBS, pair, len(before))]
    [finding] = both(asked(went_on, decisions=decisions, now=NOW))
    assert finding.sentence.startswith(
        "On 2026-04-02 S1 decided: train. “two of us were new” It went on. Since then the gate "
        "was overridden in 10 of 10 jobs. The gate "
    )
    assert finding.key != both(asked(before))[0].key  # a word from before does not cover it


def test_a_decision_about_another_revision_quiets_nothing(
    pair: Pair,
) -> None:
    decisions = {("small-receiver", 2, GATE[2]): [decision(99)]}
    assert len(both(asked(days(RISING, pair), decisions=decisions))) == 2
