"""Photos: copied into the job with their hash, never moved, and refused in one sentence."""

import errno
import hashlib
import os
from pathlib import Path

import pytest
from on_disk import act, open_up, walk

from baycompanion.store.job import photos
from baycompanion.store.job.photos import SUFFIXES, copy_photo, newest_picture
from baycompanion.store.trouble import StoreTrouble

CONTENT = bytes(range(256)) * 40
"""What a picture holds is never looked at, so any bytes do."""


@pytest.fixture
def picture(tmp_path: Path) -> Path:
    path = tmp_path / "IMG 0001.JPG"
    path.write_bytes(CONTENT)
    return path


def refused(source: Path, folder: Path) -> str:
    with pytest.raises(StoreTrouble) as trouble:
        copy_photo(source, folder)
    assert not folder.exists() or list(folder.iterdir()) == []
    return str(trouble.value)


def test_a_photo_is_copied_whole_with_its_hash_and_the_original_stays(
    picture: Path, tmp_path: Path
) -> None:
    folder = tmp_path / "photos"
    action = copy_photo(picture, folder)
    digest = hashlib.sha256(CONTENT).hexdigest()
    assert (action.sha256, action.size, action.original) == (digest, len(CONTENT), "IMG 0001.JPG")
    assert action.photo == f"{digest[:16]}.jpg"
    assert (folder / action.photo).read_bytes() == CONTENT
    assert picture.read_bytes() == CONTENT
    assert [path.name for path in folder.iterdir()] == [action.photo]


def test_a_photo_goes_from_the_folder_into_journal_and_record(folder: Path, picture: Path) -> None:
    job = walk(open_up(folder), "join")
    act(job, copy_photo(picture, job.photos))
    job.leave()
    [photo] = job.state.photos
    assert (photo.data.step, photo.data.size) == ("join", len(CONTENT))
    assert (folder / "photos" / photo.data.file).read_bytes() == CONTENT


def test_the_same_photo_twice_is_kept_once_and_its_copy_is_never_spoilt(
    picture: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "photos"
    first = copy_photo(picture, folder)

    def full(_: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(StoreTrouble, match="cannot be written: no space left on device"):
        copy_photo(picture, folder)
    assert (folder / first.photo).read_bytes() == CONTENT
    monkeypatch.undo()
    assert copy_photo(picture, folder) == first
    assert len(list(folder.iterdir())) == 1


def test_a_photo_that_lies_in_the_folder_already_can_be_added(
    picture: Path, tmp_path: Path
) -> None:
    folder = tmp_path / "photos"
    first = copy_photo(picture, folder)
    again = copy_photo(folder / first.photo, folder)
    assert again.sha256 == first.sha256
    assert (folder / again.photo).read_bytes() == CONTENT


@pytest.mark.parametrize("suffix", [*SUFFIXES, ".JPG", ".Png"])
def test_pictures_of_every_usual_kind_are_taken(tmp_path: Path, suffix: str) -> None:
    source = tmp_path / f"p{suffix}"
    source.write_bytes(b"x")
    assert copy_photo(source, tmp_path / "photos").photo.endswith(suffix.lower())


@pytest.mark.parametrize("name", ["list.txt", "photo", "photo.jpg.exe", ".jpg", "clip.mp4"])
def test_what_is_no_picture_is_refused(tmp_path: Path, name: str) -> None:
    source = tmp_path / name
    source.write_bytes(b"x")
    said = refused(source, tmp_path / "photos")
    assert said == f"{source} is no picture. Give a file ending in {', '.join(SUFFIXES)}."


def test_a_photo_that_is_not_there_is_named(tmp_path: Path) -> None:
    said = refused(tmp_path / "gone.jpg", tmp_path / "photos")
    assert said == f"There is no file {tmp_path / 'gone.jpg'}. Check the path."


def test_a_folder_is_no_picture(tmp_path: Path) -> None:
    (tmp_path / "folder.jpg").mkdir()
    said = refused(tmp_path / "folder.jpg", tmp_path / "photos")
    assert said == f"{tmp_path / 'folder.jpg'} is no file. Choose a picture."


def test_an_empty_file_is_no_picture(tmp_path: Path) -> None:
    (tmp_path / "empty.jpg").touch()
    said = refused(tmp_path / "empty.jpg", tmp_path / "photos")
    assert said == f"{tmp_path / 'empty.jpg'} is empty. Choose another picture."


@pytest.mark.parametrize(("limit", "taken"), [(len(CONTENT), True), (len(CONTENT) - 1, False)])
def test_a_picture_too_large_is_refused(
    picture: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, limit: int, taken: bool
) -> None:
    monkeypatch.setattr(photos, "LARGEST_PHOTO", limit)
    if taken:
        copy_photo(picture, tmp_path / "photos")
    else:
        assert "is larger than 0 MB. Make it smaller." in refused(picture, tmp_path / "photos")


def test_a_name_that_no_system_takes_is_refused(tmp_path: Path) -> None:
    assert "That is no file name." in refused(Path("a\x00b.jpg"), tmp_path / "photos")
    assert "cannot be read: " in refused(tmp_path / ("x" * 5000 + ".jpg"), tmp_path / "photos")


def test_a_hostile_name_is_cleaned_before_it_is_kept(tmp_path: Path) -> None:
    """Invariant 6."""
    source = tmp_path / "\u202egpj\x1b[2J.jpg"
    source.write_bytes(b"x")
    action = copy_photo(source, tmp_path / "photos")
    assert action.original.isprintable()
    assert action.photo == f"{action.sha256[:16]}.jpg"


def test_a_folder_of_photos_that_cannot_be_made_is_named(picture: Path, tmp_path: Path) -> None:
    (tmp_path / "photos").write_bytes(b"a file in its place")
    with pytest.raises(StoreTrouble, match="photos cannot be made: file exists"):
        copy_photo(picture, tmp_path / "photos")


def test_the_newest_picture_of_a_folder_is_the_one_written_last(tmp_path: Path) -> None:
    for age, name in enumerate(["new.png", "old.jpg", "older.jpg"]):
        (tmp_path / name).write_bytes(b"x")
        os.utime(tmp_path / name, (1_000_000 - age, 1_000_000 - age))
    (tmp_path / "newest.txt").write_bytes(b"x")
    (tmp_path / "newest.jpg").mkdir()
    assert newest_picture(tmp_path) == tmp_path / "new.png"


def test_what_lies_hidden_beside_a_picture_is_no_picture(tmp_path: Path) -> None:
    """Some systems lay a hidden file of their own beside each picture, named after it."""
    (tmp_path / "IMG_1.jpg").write_bytes(b"x")
    (tmp_path / "._IMG_1.jpg").write_bytes(b"y")
    os.utime(tmp_path / "IMG_1.jpg", (1_000_000, 1_000_000))
    assert newest_picture(tmp_path) == tmp_path / "IMG_1.jpg"


def test_a_link_in_the_watched_folder_leads_nowhere(tmp_path: Path) -> None:
    """Whoever can lay a link there could have any file of the shop copied into a job."""
    (tmp_path / "secret.txt").write_bytes(b"x")
    watched = tmp_path / "watched"
    watched.mkdir()
    try:
        (watched / "newest.jpg").symlink_to(tmp_path / "secret.txt")
    except OSError:
        pytest.skip("this system makes no links")
    with pytest.raises(StoreTrouble, match=r"There is no picture in .*\."):
        newest_picture(watched)


def test_a_watched_folder_without_pictures_or_without_itself_says_so(tmp_path: Path) -> None:
    with pytest.raises(StoreTrouble, match=r"There is no picture in .*\."):
        newest_picture(tmp_path)
    with pytest.raises(StoreTrouble, match=r"gone cannot be read: no such file or directory\."):
        newest_picture(tmp_path / "gone")
