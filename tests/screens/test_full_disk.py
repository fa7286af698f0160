"""A real disk that is full: the program in a terminal of its own, on a file system of 1 MB."""

import errno
import json
import os
import subprocess
import sys
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import lamp
import pytest
from bay import keys_in

from baycompanion.job.actions import Accept, Answer, TickLine
from baycompanion.job.deciding.draft import Refused
from baycompanion.job.events.carried import Vehicle
from baycompanion.procedure.load import load_procedure
from baycompanion.store.job.folder import make_job
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.trouble import StoreTrouble
from baycompanion.working.only_reading import OnlyReading

pytest.importorskip("pty", reason="only where there are pseudo-terminals")

from real_terminal import RealTerminal, bay

from baycompanion.screens.typed.marked_paste import BEGINS, ENDS


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """Mount an empty file system of 1 MB, where this user may."""
    if sys.platform != "linux" or os.geteuid() != 0:
        pytest.skip("only root on Linux may mount a file system of 1 MB")
    disk = tmp_path / "disk"
    disk.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=1m", "tmpfs", str(disk)]
    if subprocess.run(mount, capture_output=True, check=False).returncode != 0:
        pytest.skip("nothing may be mounted here")
    yield disk
    subprocess.run(["umount", "--lazy", str(disk)], check=True)


def fill(disk: Path) -> Path:
    """Write until the disk is full; return the file that fills it."""
    filler = disk / "filler"
    with filler.open("wb", buffering=0) as file:
        try:
            while True:
                file.write(b"\0" * 4096)
        except OSError as error:
            assert error.errno == errno.ENOSPC
    return filler


def events(folder: Path) -> list[dict[str, Any]]:
    return [json.loads(line) for line in (folder / "journal.jsonl").read_bytes().splitlines()]


ENTER = "\r"
F2 = "\x1bOQ"
LEAVE = "\x11"
WORDS = "the owner says that the lamp flickers on bumpy roads; " * 76


def test_on_a_full_disk_the_entry_stays_and_is_saved_once_there_is_room(small_disk: Path) -> None:
    """The note is longer than a page of the disk, so no room that is left over takes it."""
    shop = lamp.make_shop(small_disk / "shop")
    loaded, who = load_procedure(lamp.PROCEDURE, "lamp.yaml"), shop.staff["T1"]
    now = datetime.now(UTC)
    folder = make_job(
        shop.jobs, loaded, keys_in(vehicle=Vehicle(description="yellow van"), who=who, when=now)
    )
    job = OpenJob(folder, shop.lists, who, now)
    meter: dict[str, Any] = {"tick": "tools-staged", "item": "meter", "outcome": "here"}
    meter |= {"instrument": "M-3", "due": "2099-06-30"}
    for action in (
        Accept(accept="hazards"),
        TickLine.model_validate(meter),
        Answer(answer="tools-staged"),
    ):
        assert not isinstance(job.act(action, who, now), Refused)
    job.leave()
    before = events(folder)
    resume = bay("resume", folder.name, "--shop", str(small_disk / "shop"))
    with RealTerminal(resume) as terminal:
        terminal.see("Reading in V")
        terminal.send(F2)
        terminal.see("Write it down")
        filler = fill(small_disk)
        terminal.send(BEGINS + WORDS + ENDS)
        terminal.settle()
        terminal.send(ENTER)
        terminal.see("This could not be saved: no space left on device.")
        assert events(folder) == before
        filler.unlink()
        terminal.send(ENTER)
        terminal.see_go("Write it down")
        assert [each["kind"] for each in events(folder)[len(before) :]] == ["noted"]
        assert events(folder)[-1]["data"]["words"] == WORDS.strip()
        terminal.send(LEAVE)
        assert terminal.wait() == 0

    filler = fill(small_disk)
    with RealTerminal(resume) as terminal:
        terminal.see("ONLY TO READ")
        terminal.see("holder.json cannot be written: no space left on device.")
        filler.unlink()
        terminal.send("o")
        terminal.see_go("ONLY TO READ")
        terminal.see("Reading in V")
        terminal.send("12.60")
        terminal.see("12.60")
        terminal.send(ENTER)
        terminal.see_go("Reading in V")
        terminal.send(LEAVE)
        assert terminal.wait() == 0
    [answered] = [each for each in events(folder) if each["data"].get("step") == "volts"][-1:]
    assert answered["kind"] == "answered"
    assert "12.60" in json.dumps(answered["data"])


def test_a_job_on_a_disk_that_was_made_read_only_is_read(small_disk: Path) -> None:
    shop = lamp.make_shop(small_disk / "shop")
    loaded, who = load_procedure(lamp.PROCEDURE, "lamp.yaml"), shop.staff["T1"]
    now = datetime.now(UTC)
    folder = make_job(
        shop.jobs, loaded, keys_in(vehicle=Vehicle(description="yellow van"), who=who, when=now)
    )
    subprocess.run(["mount", "-o", "remount,ro", str(small_disk)], check=True)
    with pytest.raises(StoreTrouble, match="read-only file system") as trouble:
        OpenJob(folder, shop.lists, who, now)
    reading = OnlyReading(shop, folder, trouble.value, lambda: now)
    assert reading.why.endswith("read-only file system. Here it can only be read.")
    assert (reading.card.kind, reading.card.keys) == ("hazards", ())
