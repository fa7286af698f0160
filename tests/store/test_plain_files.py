"""Text files read whole: what is no plain file, or too large to be one of ours, is refused."""

import builtins
import os
from pathlib import Path

import pytest

from baycompanion.store.job.parts_orders import order_in
from baycompanion.store.reading import LARGEST, read_text
from baycompanion.store.shelf import read_procedure
from baycompanion.store.trouble import StoreTrouble

NO_PLAIN_FILE = r"is no plain file\. Give a file that holds text\.$"


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="not every system has this device")
@pytest.mark.parametrize("read", [read_text, order_in, read_procedure])
def test_a_device_without_end_is_refused_before_it_is_read(
    read: object, monkeypatch: pytest.MonkeyPatch
) -> None:
    def never(path: Path, *_: object, **__: object) -> None:
        raise AssertionError(f"{path} was opened")

    monkeypatch.setattr(builtins, "open", never)
    with pytest.raises(StoreTrouble, match=NO_PLAIN_FILE):
        read(Path("/dev/zero"))  # type: ignore[operator]


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="not every system has named pipes")
def test_a_pipe_that_nobody_writes_to_is_not_waited_for(tmp_path: Path) -> None:
    pipe = tmp_path / "order.yaml"
    os.mkfifo(pipe)
    with pytest.raises(StoreTrouble, match=NO_PLAIN_FILE):
        read_text(pipe)


def test_a_folder_is_no_plain_file(tmp_path: Path) -> None:
    with pytest.raises(StoreTrouble, match=NO_PLAIN_FILE):
        read_text(tmp_path)


def test_a_file_above_the_largest_size_is_refused_with_that_size(tmp_path: Path) -> None:
    large = tmp_path / "order.yaml"
    with large.open("wb") as file:
        file.truncate(LARGEST + 1)
    with pytest.raises(StoreTrouble, match=r"order.yaml is larger than 50 MB and is not read\.$"):
        read_text(large)


def test_a_link_to_a_plain_file_is_read(tmp_path: Path) -> None:
    (tmp_path / "order.yaml").write_text("order: O-1", encoding="utf-8")
    link = tmp_path / "link.yaml"
    try:
        link.symlink_to(tmp_path / "order.yaml")
    except OSError:
        pytest.skip("links may not be made here")
    assert read_text(link) == "order: O-1"
