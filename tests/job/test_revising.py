"""A newer revision under a job: what is done again, what shuts again, and what is never lost."""

from dataclasses import dataclass
from datetime import UTC
from functools import cache

import pytest
from bay import BAD, GOOD, S1, SMALL, SMALL_TEXT, T1, T2, Bay
from hypothesis import given
from hypothesis import strategies as st

from baycompanion.job.actions import (
    Answer,
    Close,
    Override,
    Reopen,
    Settle,
)
from baycompanion.job.deciding.decide import Decided, catch_up
from baycompanion.job.deciding.draft import Person, Refused
from baycompanion.job.deciding.revising import revise
from baycompanion.job.hands_actions import FindGap, PauseWork
from baycompanion.job.state.fold import fold_all
from baycompanion.job.state.gates import gates_holding
from baycompanion.job.timeline.marks import make_timeline
from baycompanion.procedure.comparing.changes import changes
from baycompanion.procedure.load import load_procedure
from baycompanion.procedure.model import Procedure
from baycompanion.views.timeline.lines import told_lines

NEW_HASH = "cd" * 32


@cache
def newer(*replaced: tuple[str, str], revision: int = 4) -> Procedure:
    """Return the small procedure with some of its text replaced, and a higher revision."""
    text = SMALL_TEXT.replace("revision: 3\n", f"revision: {revision}\n")
    for old, new in replaced:
        assert text.count(old) == 1, f"{old!r} stands {text.count(old)} times"
        text = text.replace(old, new)
    return load_procedure(text, "newer.yaml").procedure


def move(bay: Bay, new: Procedure, who: Person = T1, words: str = "new bulletin") -> list[str]:
    """Move the job to `new`, and return the kinds of what followed."""
    decided = revise(bay.procedure, new, NEW_HASH, bay.state, words, who, bay.now)
    assert isinstance(decided, Decided), decided
    bay.events.extend(decided.events)
    bay.state, bay.procedure = decided.state, new
    return [event.kind for event in decided.events]


LIMIT = ("at-most: 12.90", "at-most: 12.95")
NEW_STEP = (
    "      - do: Route the leads.\n        id: route\n",
    "      - do: Route the leads.\n        id: route\n"
    "      - do: Tie them down.\n        id: tie\n",
)
EARLY_STEP = (
    "      - record: Write the odometer down",
    "      - do: Look under the seat.\n        id: look\n      - record: Write the odometer down",
)


def test_a_job_moved_to_a_newer_revision_keeps_what_is_asked_as_before() -> None:
    """R55."""
    bay = Bay().walk("route")
    assert move(bay, newer(NEW_STEP)) == ["revised", "begun"]
    assert bay.state.current == "route"
    assert bay.step("sound") == "done"
    bay.good("route")
    assert bay.state.current == "tie"


def test_a_finished_step_that_is_asked_otherwise_is_done_again_and_both_answers_stay() -> None:
    bay = Bay().walk("route")
    assert move(bay, newer(LIMIT)) == ["reopened", "revised", "begun"]
    assert bay.state.current == "rest-voltage"
    bay.do(Answer(answer="rest-voltage", value="12.92"))
    record = next(step for step in bay.record().steps if step.id == "rest-voltage")
    assert [attempt.limits for attempt in record.attempts] == ["12.4 to 12.90 V", "12.4 to 12.95 V"]
    assert record.reopened == ["Revision 4 asks it otherwise."]
    bay.walk().do(Close(close="keys back"))


def test_gates_that_rest_on_what_changed_shut_again_and_are_named() -> None:
    """R28, R55."""
    bay = Bay().walk("show")
    kinds = move(bay, newer(("Every speaker sounds.", "Every speaker sounds clear.")))
    assert kinds == ["gate-shut-again", "reopened", "revised", "begun"]
    assert bay.state.gates["sound-before-refit"].standing == "shut again"
    bay.good("sound")
    assert bay.state.current == "show"
    assert bay.state.gates["sound-before-refit"].standing == "open"


def test_a_gate_that_is_another_shuts_and_is_decided_anew() -> None:
    bay = Bay().held(sound=[*BAD["sound"], Settle(settle="sound", cause="vehicle", words="w")])
    bay.do(Override(override="sound-before-refit", reason="r", words="w", instead="i"), who=S1)
    bay.walk("show")
    move(bay, newer(("      - passed: picture\n", "")))
    assert gates_holding(bay.procedure, bay.state) == ("sound-before-refit",)
    assert len(bay.record().overrides) == 1, "the override stays in the record"


@pytest.mark.parametrize(
    ("changed", "why"),
    [
        (
            ("      - passed: picture\n", ""),
            "A newer revision changed it, in front of: 28. Route the leads.",
        ),
        (
            ("Every speaker sounds.", "Every speaker sounds clear."),
            "It rests on a step that was reopened: 24. Every speaker sounds clear.",
        ),
    ],
)
def test_a_timeline_tells_a_gate_that_is_another_from_one_that_rests_on_a_reopened_step(
    changed: tuple[str, str], why: str
) -> None:
    """Of a gate that is another it told that the step in front of it was reopened."""
    bay = Bay().walk("show")
    move(bay, newer(changed))
    told = told_lines(bay.procedure, make_timeline(bay.procedure, bay.events), UTC)
    assert [line.strip() for line in told if "changed it" in line or "rests on" in line] == [why]


def test_a_step_that_is_gone_is_asked_no_more_and_its_answer_stays_among_the_events() -> None:
    bay = Bay().walk("promised")
    gone = SMALL_TEXT[SMALL_TEXT.index("      - record: Write the odo") :]
    gone = gone[: gone.index("      - record:", 10)]
    move(bay, newer((gone, "")))
    assert "odometer" not in {step.id for step in bay.record().steps}
    [moved] = bay.record().revisions
    assert (moved.gone, moved.was, moved.revision) == (["odometer"], 3, 4)
    assert moved.was_sha256 == "ab" * 32
    assert any(event.data.get("words") == "80123" for event in bay.record().events)
    bay.walk().do(Close(close="keys back"))


def test_an_added_step_behind_is_done_before_the_work_goes_on() -> None:
    bay = Bay().walk("route")
    move(bay, newer(EARLY_STEP))
    assert bay.state.current == "look"
    bay.do(Answer(answer="look"))
    assert bay.state.current == "route"


def test_other_hazards_are_accepted_anew() -> None:
    """R16."""
    bay = Bay().walk("route")
    move(bay, newer((SMALL.hazards[0].avoid, "Keep clear of it.")))
    assert (bay.state.accepted_at, bay.state.current) == (None, None)
    bay.refused(Answer(answer="route"))
    bay.walk("show")


def test_cautions_and_lines_of_a_step_in_hand_that_is_another_are_asked_anew() -> None:
    bay = Bay().walk("join")
    bay.do(*GOOD["join"][:3])
    assert bay.state.track("join").ticks
    move(bay, newer(("Tug each join", "Pull each join")))
    track = bay.state.track("join")
    assert (bay.state.current, track.ticks, track.acknowledged) == ("join", {}, frozenset())


def test_the_record_names_the_procedure_it_followed_at_the_end_and_those_before() -> None:
    bay = Bay().walk("route")
    move(bay, newer(NEW_STEP))
    move(bay, newer(NEW_STEP, LIMIT, revision=7))
    record = bay.record()
    assert (record.procedure.revision, record.procedure.sha256) == (7, NEW_HASH)
    assert [(moved.was, moved.revision, moved.words) for moved in record.revisions] == [
        (3, 4, "new bulletin"),
        (4, 7, "new bulletin"),
    ]
    assert [moved.was_sha256 for moved in record.revisions] == ["ab" * 32, NEW_HASH]


REFUSED = [
    ({"revision": 3}, T1, "w", "revision 3 already"),
    ({}, T2, "w", "Only T1 or a supervisor"),
    ({}, T1, "", "Say in a few words why"),
]


@pytest.mark.parametrize(("what", "who", "words", "why"), REFUSED)
def test_it_is_a_deliberate_act(what: dict[str, int], who: Person, words: str, why: str) -> None:
    bay = Bay().walk("route")
    refused = revise(SMALL, newer(LIMIT, **what), NEW_HASH, bay.state, words, who, bay.now)
    assert isinstance(refused, Refused)
    assert why in refused.why


def test_another_procedure_is_no_revision_of_this_one() -> None:
    bay = Bay().walk("route")
    other = newer(LIMIT).model_copy(update={"procedure": "another"})
    refused = revise(SMALL, other, NEW_HASH, bay.state, "w", T1, bay.now)
    assert isinstance(refused, Refused)
    assert "not another" in refused.why


@pytest.mark.parametrize(
    "stop",
    [PauseWork(pause="lunch", loose="none", first="none"), FindGap(gap="left", seconds=60)],
)
def test_nobody_moves_a_job_at_which_nobody_works(stop: PauseWork | FindGap) -> None:
    bay = Bay().walk("route")
    bay.do(stop)
    refused = revise(SMALL, newer(LIMIT), NEW_HASH, bay.state, "w", T1, bay.now)
    assert isinstance(refused, Refused)


def test_a_supervisor_may_move_the_job_of_somebody_else() -> None:
    bay = Bay().walk("route")
    move(bay, newer(LIMIT), who=S1)
    assert bay.state.technician == "T1"


@dataclass(frozen=True)
class Edit:
    """One change to the small procedure that leaves every step finishable by the good answers."""

    old: str
    new: str


EDITS = [
    Edit(*LIMIT),
    Edit(*NEW_STEP),
    Edit(*EARLY_STEP),
    Edit("Every speaker sounds.", "Every speaker sounds clear."),
    Edit("      - passed: picture\n", ""),
    Edit("Tug each join", "Pull each join"),
    Edit("name: Cap each join", "name: Cap every join"),
    Edit("lasts: 10 min", "lasts: 9 min"),
    Edit("  - gate: amplifier-checked\n", "  - gate: amplifier-plugged\n"),
    Edit("title: Keys back", "title: Keys"),
]
WALKED_TO = [step for step in SMALL.steps if step not in ("second-look", "picture")]
AGAIN = [step for step in WALKED_TO if step != "reconnect"]
NEW_GOOD = {"look": [Answer(answer="look")], "tie": [Answer(answer="tie")]}


@cache
def walked(to: str) -> Bay:
    """Return a job walked well up to the step `to`; nobody may change it."""
    return Bay().walk(to)


@given(
    to=st.sampled_from(WALKED_TO),
    edits=st.lists(st.sampled_from(EDITS), min_size=1, unique=True),
    reopened=st.none() | st.sampled_from(AGAIN),
    cut=st.integers(0, 8),
)
def test_whenever_a_job_is_moved_and_crashes_it_can_be_finished_and_nothing_is_lost(
    to: str, edits: list[Edit], reopened: str | None, cut: int
) -> None:
    bay = Bay(events=list(walked(to).events), now=walked(to).now)
    if reopened and bay.state.track(reopened).finished:
        bay.do(Reopen(reopen=reopened, reason="r"))
    before = list(bay.events)
    new = newer(*((edit.old, edit.new) for edit in edits))
    move(bay, new)
    assert bay.events[: len(before)] == before
    assert fold_all(bay.events) == bay.state
    cut_off(bay, max(len(before), len(bay.events) - cut))
    for name in changes(SMALL, new).changed if bay.procedure is new else ():
        assert not bay.state.track(name).finished, "an answer to something else is no answer"
    bay.walk(look=NEW_GOOD["look"], tie=NEW_GOOD["tie"])
    bay.do(Close(close="keys back"))


def cut_off(bay: Bay, kept: int) -> None:
    """Let `bay` crash after `kept` events, and open it again."""
    events = bay.events[:kept]
    state = fold_all(events)
    if not state.revisions:
        bay.procedure = SMALL
    caught = catch_up(bay.procedure, state, T1, bay.now)
    bay.events, bay.state = [*events, *caught.events], caught.state
