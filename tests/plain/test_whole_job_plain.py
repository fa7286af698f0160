"""Whole jobs by ear: every card heard, every answer typed, from keys in to a clean close."""

import json
from pathlib import Path

import pytest
from bay import keys_in, load_small
from jsonschema import Draft202012Validator
from listener import Clock, Listener, values_of

from baycompanion.job.record.whole import JobRecord
from baycompanion.plain.job import walk_job
from baycompanion.procedure.load import Loaded
from baycompanion.store.job.folder import make_job, read_job
from baycompanion.store.shelf import find_procedure, read_procedure
from baycompanion.store.shop import Shop


def loaded(shop: Shop, procedure: str) -> Loaded:
    if procedure == "small-receiver":
        return load_small()
    return read_procedure(find_procedure(procedure, shop.procedures))


@pytest.mark.parametrize(
    "procedure",
    [
        "small-receiver",
        "receiver-swap",
        "dash-camera-hardwire",
        "key-off-draw-hunt",
        "amplifier-and-subwoofer",
        "door-speakers",
        "rear-camera",
    ],
)
def test_a_whole_job_is_heard_and_typed_to_a_clean_close(
    shop: Shop, clock: Clock, photo: Path, monkeypatch: pytest.MonkeyPatch, procedure: str
) -> None:
    chosen = loaded(shop, procedure)
    folder = make_job(shop.jobs, chosen, keys_in(who=shop.person("T1"), when=clock()))
    listener = Listener(clock, values_of(chosen.procedure), str(photo))
    monkeypatch.setattr("baycompanion.plain.waiting.sleep", listener.sleep)
    assert walk_job(shop, folder, None, listener, clock) == "quit"
    record = json.loads((folder / "record.json").read_text(encoding="utf-8"))
    Draft202012Validator(JobRecord.model_json_schema()).validate(record)
    assert (record["status"], record["clean"]) == ("closed", True)
    assert record["overrides"] == []
    assert all(gate["came_to"] != "held" for gate in record["gates"])
    assert listener.waits > 0
    assert read_job(folder).state.pauses == ()
    assert "Closed clean." in listener.heard
