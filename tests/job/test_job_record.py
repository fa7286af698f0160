"""The record: self-contained, the same bytes for the same events, everything in it."""

import json

import pytest
from bay import BAD, GOOD, PHOTO, S1, SMALL, Bay
from jsonschema import Draft202012Validator, ValidationError

from baycompanion.job.actions import (
    Abandon,
    Answer,
    ClearFault,
    Close,
    Note,
    Override,
    RaiseFault,
    Settle,
)
from baycompanion.job.events.chain import fingerprint
from baycompanion.job.hands_actions import PauseWork, Resume
from baycompanion.job.record.making import make_record
from baycompanion.job.record.whole import JobRecord
from baycompanion.store.job.folder import record_bytes

SCHEMA = JobRecord.model_json_schema(mode="serialization")


def eventful() -> Bay:
    """Return a job in which nearly everything happened, just closed."""
    bay = Bay().walk("join", ask_camera=[Answer(answer="ask-camera", value="none")])
    bay.do(Note(note="bolt is rusty"), PHOTO)
    bay.do(PauseWork(pause="lunch", loose="receiver", first="tug"), Resume(resume=""))
    bay.do(RaiseFault(fault="trim cracked", cause="work"), ClearFault(clear=1, words="replaced"))
    sound = [*BAD["sound"], *BAD["sound"], Settle(settle="sound", cause="vehicle", words="torn")]
    bay.held(sound=sound)
    bay.do(Override(override="sound-before-refit", reason="r", words="w", instead="i"), who=S1)
    bay.walk().do(Close(close="keys back"))
    return bay


def test_a_record_says_who_what_when_and_how_it_ended() -> None:
    """R42."""
    bay = eventful()
    record = bay.record()
    assert (record.status, record.clean, record.technician) == ("closed", False, "T1")
    assert (record.job, record.work_order, record.vehicle.description) == (
        "job-1",
        "WO 7",
        "Blue van",
    )
    procedure = record.procedure
    assert (procedure.id, procedure.revision, procedure.sha256) == ("small-receiver", 3, "ab" * 32)
    assert record.opened_at == bay.events[0].at
    assert record.ended_at == bay.events[-1].at
    assert record.choices == {"amplifier": "yes", "camera": "none"}
    assert record.people == {
        name: sum(event.by == name for event in bay.events) for name in ("S1", "T1")
    }


def test_every_step_stands_in_it_once_in_order_with_its_state() -> None:
    record = eventful().record()
    assert [step.id for step in record.steps] == list(SMALL.steps)
    assert [step.number for step in record.steps] == list(range(1, len(SMALL.steps) + 1))
    states = {step.id: step.state for step in record.steps}
    assert (states["sound"], states["picture"]) == ("overridden", "not applicable")
    assert record.totals == {
        state: list(states.values()).count(state) for state in set(states.values())
    }


def test_attempts_point_to_their_events() -> None:
    bay = eventful()
    for step in bay.record().steps:
        for attempt in step.attempts:
            event = bay.events[attempt.event - 1]
            assert (event.kind, event.at, event.by) == ("answered", attempt.at, attempt.by)
            assert event.data.step == step.id  # type: ignore[attr-defined]


def test_lines_faults_notes_pauses_and_photos_are_in_it() -> None:
    record = eventful().record()
    out = next(step for step in record.steps if step.id == "out")
    assert [(line.name, line.count) for line in out.lines] == [("Screw", 6), ("Clip", 4)]
    assert [(fault.cause, fault.open) for fault in record.faults] == [
        ("work", False),
        ("vehicle", True),
    ]
    assert next(step for step in record.steps if step.id == "sound").fault == 2
    assert [(note.words, note.step) for note in record.notes] == [("bolt is rusty", "join")]
    assert [pause.reason for pause in record.pauses] == ["lunch"]
    assert record.photos[0].sha256 == PHOTO.sha256
    assert len(record.photos) == 2


def test_it_carries_its_events_and_the_fingerprint_of_the_last() -> None:
    bay = eventful()
    record = bay.record()
    assert [event.model_dump() for event in record.events] == [e.as_dict() for e in bay.events]
    assert record.last_hash == bay.events[-1].hash
    assert record.fingerprint == fingerprint(bay.events[-1].hash)
    groups = record.fingerprint.split("-")
    assert ([len(group) for group in groups], "".join(groups)) == (
        [4, 4, 4, 4],
        bay.events[-1].hash[:16],
    )


@pytest.mark.parametrize("name", [*(name for name in GOOD if name != "picture"), None])
def test_the_same_events_give_the_same_bytes_and_fit_the_schema(name: str | None) -> None:
    """Invariant 5; checked with jsonschema, an independent validator of draft 2020-12."""
    bay, again = Bay().walk(name), Bay().walk(name)
    content = record_bytes(bay.record())
    assert content == record_bytes(make_record(SMALL, again.state, again.events))
    Draft202012Validator(SCHEMA).validate(json.loads(content))
    assert bay.record().status == "provisional"


def test_a_job_under_way_gives_a_provisional_record() -> None:
    record = Bay().walk("join").record()
    assert (record.status, record.clean, record.ended_at) == ("provisional", None, None)


def test_a_job_that_was_given_up_says_why() -> None:
    bay = Bay().walk("join")
    bay.do(Abandon(abandon="owner took the van back"))
    record = bay.record()
    assert (record.status, record.ended_words) == ("abandoned", "owner took the van back")
    assert record.clean is None
    assert "in progress" not in record.totals


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("status",), "finished"),
        (("steps", 0, "state"), "skipped"),
        (("gates", 0, "came_to"), "opened"),
        (("faults", 0, "cause"), "weather"),
        (("clean",), "yes"),
        (("surprise",), 1),
    ],
)
def test_the_schema_refuses_words_outside_the_closed_sets(
    path: tuple[str | int, ...], value: object
) -> None:
    record = json.loads(record_bytes(eventful().record()))
    part = record
    for name in path[:-1]:
        part = part[name]
    part[path[-1]] = value
    with pytest.raises(ValidationError):
        Draft202012Validator(SCHEMA).validate(record)


@pytest.mark.parametrize("member", sorted(JobRecord.model_fields))
def test_the_schema_demands_every_member(member: str) -> None:
    record = json.loads(record_bytes(eventful().record()))
    del record[member]
    with pytest.raises(ValidationError):
        Draft202012Validator(SCHEMA).validate(record)


CLEAN = [
    # what was done otherwise than well, and whether the job still closes clean
    ({}, True),
    ({"picture": []}, True),
    ({"joins_hold": [Answer(answer="joins-hold", outcome="not fitted")]}, False),
    ({"route": [Answer(answer="route", outcome="not done", words="w")]}, False),
    ({"parts": [Answer(answer="parts", outcome="not done", words="w"), *GOOD["parts"][:2]]}, True),
]


@pytest.mark.parametrize(("instead", "clean"), CLEAN)
def test_a_job_closes_clean_only_without_any_deviation(
    instead: dict[str, list[object]], clean: bool
) -> None:
    """R25."""
    bay = Bay().walk(**instead)  # type: ignore[arg-type]
    bay.do(Close(close="keys back"))
    assert bay.record().clean is clean


def test_an_open_fault_of_the_work_is_not_clean_and_one_of_the_vehicle_is() -> None:
    for cause, clean in (("work", False), ("vehicle", True)):
        bay = Bay().walk()
        bay.do(RaiseFault(fault="f", cause=cause), Close(close="keys back"))
        assert bay.state.clean is clean
