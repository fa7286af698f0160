"""A real disk that is full: the program in a terminal of its own, on a file system of 1 MB."""

import errno
import json
import os
import re
import subprocess
import sys
import time
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import lamp
import pytest

from baycompanion.job.actions import Accept, Answer, TickLine
from baycompanion.job.carried import Vehicle
from baycompanion.job.draft import Refused
from baycompanion.procedure.load import load_procedure
from baycompanion.store.job_folder import make_job
from baycompanion.store.open_job import OpenJob
from baycompanion.store.trouble import StoreTrouble
from baycompanion.working.only_reading import OnlyReading

ESCAPES = re.compile(rb"\x1b\[[0-?]*[ -/]*[@-~]|\x1b[PX^_\]].*?(?:\x1b\\|\x07)|\x1b.", re.DOTALL)
PATIENCE = 60
"""Seconds for which words are waited for."""


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


class Terminal:
    """The program in a terminal of 80 columns and 24 lines, and what it has written there."""

    def __init__(self, *words: str) -> None:
        import fcntl
        import pty
        import struct
        import termios

        self._ours, theirs = pty.openpty()
        fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        self.process = subprocess.Popen(
            [sys.executable, "-m", "baycompanion", *words],
            stdin=theirs,
            stdout=theirs,
            stderr=theirs,
            env={**os.environ, "TERM": "xterm-256color", "PYTHONIOENCODING": "utf-8"},
            start_new_session=True,
        )
        os.close(theirs)
        os.set_blocking(self._ours, False)
        self._seen = b""

    def type(self, *keys: str) -> None:
        """Type `keys`, with the pause of a person after each; forget what was written before."""
        for key in keys:
            self._read()
            self._seen = b""
            os.write(self._ours, key.encode())
            time.sleep(0.5)  # Enter held down answers nothing, and the program goes by its clock

    def wait_for(self, words: str) -> None:
        """Wait until `words` were written since the last key."""
        end = time.monotonic() + PATIENCE
        while words not in " ".join(self._told().split()):  # a narrow screen breaks its lines
            assert time.monotonic() < end, f"{words!r} was never written: {self._told()[-3000:]}"
            time.sleep(0.05)
            self._read()

    def _told(self) -> str:
        return ESCAPES.sub(b"", self._seen).decode(errors="replace")

    def _read(self) -> None:
        try:
            self._seen += os.read(self._ours, 1_000_000)
        except OSError:  # nothing there now, or the program has ended
            return

    def leave(self) -> int:
        """Leave the program; return its exit code."""
        self.type("\x11")
        code = self.process.wait(PATIENCE)
        os.close(self._ours)
        return code


def events(folder: Path) -> list[dict[str, Any]]:
    return [json.loads(line) for line in (folder / "journal.jsonl").read_bytes().splitlines()]


ENTER = "\r"
F2 = "\x1bOQ"
WORDS = "the owner says that the lamp flickers on bumpy roads; " * 76


def test_on_a_full_disk_the_entry_stays_and_is_saved_once_there_is_room(small_disk: Path) -> None:
    """The note is longer than a page of the disk, so no room that is left over takes it."""
    shop = lamp.make_shop(small_disk / "shop")
    loaded, who = load_procedure(lamp.PROCEDURE, "lamp.yaml"), shop.staff["T1"]
    now = datetime.now(UTC)
    folder = make_job(shop.jobs, loaded, "WO 7", Vehicle(description="yellow van"), who, now)
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
    terminal = Terminal("resume", folder.name, "--shop", str(small_disk / "shop"))
    try:
        terminal.wait_for("Reading in V")  # the board names the step, too
        terminal.type(F2)
        terminal.wait_for("Write it down")
        filler = fill(small_disk)
        terminal.type(WORDS)
        terminal.type(ENTER)
        terminal.wait_for("This could not be saved: no space left on device.")
        assert events(folder) == before
        filler.unlink()
        terminal.type(ENTER)
        terminal.wait_for("Next gate")
        assert [each["kind"] for each in events(folder)[len(before) :]] == ["noted"]
        assert events(folder)[-1]["data"]["words"] == WORDS.strip()
        assert terminal.leave() == 0

        filler = fill(small_disk)
        terminal = Terminal("resume", folder.name, "--shop", str(small_disk / "shop"))
        terminal.wait_for("ONLY TO READ")
        terminal.wait_for("holder.json cannot be written: no space left on device.")
        filler.unlink()
        terminal.type("o")
        terminal.wait_for("Reading in V")
        terminal.type("12.60")
        terminal.type(ENTER)
        terminal.wait_for("Clip the lamp in.")
        assert terminal.leave() == 0
    finally:
        terminal.process.kill()
    [answered] = [each for each in events(folder) if each["data"].get("step") == "volts"][-1:]
    assert answered["kind"] == "answered"
    assert "12.60" in json.dumps(answered["data"])


def test_a_job_on_a_disk_that_was_made_read_only_is_read(small_disk: Path) -> None:
    shop = lamp.make_shop(small_disk / "shop")
    loaded, who = load_procedure(lamp.PROCEDURE, "lamp.yaml"), shop.staff["T1"]
    now = datetime.now(UTC)
    folder = make_job(shop.jobs, loaded, "WO 7", Vehicle(description="yellow van"), who, now)
    subprocess.run(["mount", "-o", "remount,ro", str(small_disk)], check=True)
    with pytest.raises(StoreTrouble, match="read-only file system") as trouble:
        OpenJob(folder, shop.lists, who, now)
    reading = OnlyReading(shop, folder, str(trouble.value), lambda: now)
    assert reading.why.endswith("read-only file system. Here it can only be read.")
    assert (reading.card.kind, reading.card.keys) == ("hazards", ())
