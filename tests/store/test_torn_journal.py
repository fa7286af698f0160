"""A journal cut off at any byte opens at its last whole event, and nothing is dropped."""

from pathlib import Path

import pytest
from bay import LISTS, START, T1
from on_disk import act, kinds, open_up, walked_on_disk

from baycompanion.job.actions import Note
from baycompanion.store.job.folder import read_job
from baycompanion.store.job.journal import NAME, TORN, read_journal
from baycompanion.store.job.open_job import OpenJob
from baycompanion.store.trouble import StoreTrouble


def last_two_lines(content: bytes) -> int:
    """Return where the last two lines of `content` begin."""
    return len(content) - sum(map(len, content.splitlines(keepends=True)[-2:]))


def test_a_journal_torn_at_any_byte_of_its_last_two_lines_is_read_to_its_last_whole_line(
    folder: Path,
) -> None:
    """Invariant 2, R53."""
    content = walked_on_disk(folder, "stations-back")
    whole = read_journal(folder / NAME).events
    for cut in range(last_two_lines(content), len(content)):
        (folder / NAME).write_bytes(content[:cut])
        held = read_journal(folder / NAME)
        assert held.events == whole[: content[:cut].count(b"\n")]
        assert held.torn == content[:cut].rpartition(b"\n")[2]
        assert held.size + len(held.torn) == cut
        assert (folder / NAME).read_bytes() == content[:cut], "reading changes nothing"


def test_a_job_torn_at_any_byte_of_its_last_two_lines_is_opened_and_carried_on(
    folder: Path,
) -> None:
    """Invariant 2: what is torn is set aside and reported, never silently dropped.

    Where only the beginning of the next step was lost, it follows by itself.
    """
    content = walked_on_disk(folder, "tools")
    for cut in range(last_two_lines(content), len(content) + 1):
        (folder / NAME).write_bytes(content[:cut])
        (folder / TORN).unlink(missing_ok=True)
        torn = content[:cut].rpartition(b"\n")[2]
        job = open_up(folder)
        assert job.torn == torn
        assert (folder / TORN).exists() is (torn != b"")
        if torn:
            assert (folder / TORN).read_bytes() == torn + b"\n"
        act(job, Note(note="carried on"))
        job.leave()
        answered = content[:cut].count(b"\n") >= content.count(b"\n") - 1
        assert job.state.current == ("tools" if answered else "ask-camera")
        assert kinds(folder)[-1] == "noted"
        assert (folder / NAME).read_bytes().startswith(content[:cut].rpartition(b"\n")[0])


def test_a_line_that_lacks_only_its_end_is_torn_too(folder: Path) -> None:
    """It was never said to be on the disk, so it is asked for again."""
    content = walked_on_disk(folder, "tools")
    (folder / NAME).write_bytes(content[:-1])
    job = open_up(folder)
    assert job.torn == content.splitlines()[-1]
    job.leave()


def test_torn_lines_are_set_aside_one_after_the_other(folder: Path) -> None:
    for torn in (b"first", b"second\x00\xff"):
        with (folder / NAME).open("ab") as journal:
            journal.write(torn)
        open_up(folder).leave()
    assert (folder / TORN).read_bytes() == b"first\nsecond\x00\xff\n"


def test_a_torn_line_that_cannot_be_set_aside_stays_where_it_is(folder: Path) -> None:
    with (folder / NAME).open("ab") as journal:
        journal.write(b'{"torn')
    content = (folder / NAME).read_bytes()
    (folder / TORN).mkdir()  # so that no file can be written there
    with pytest.raises(StoreTrouble, match=r"journal.jsonl cannot be written: "):
        open_up(folder)
    assert (folder / NAME).read_bytes() == content
    (folder / TORN).rmdir()
    open_up(folder).leave()


@pytest.mark.parametrize("content", [b"", b"\n", b'{"seq":1', b"   \n"])
def test_a_journal_without_a_whole_event_is_no_job(folder: Path, content: bytes) -> None:
    (folder / NAME).write_bytes(content)
    with pytest.raises(StoreTrouble):
        read_job(folder)
    with pytest.raises(StoreTrouble):
        OpenJob(folder, LISTS, T1, START)
    assert (folder / NAME).read_bytes() == content
