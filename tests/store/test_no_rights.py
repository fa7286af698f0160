"""A file or folder that is closed to us: told by its name, and taken for nothing else."""

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from bay import keys_in, load_small

from baycompanion.audit.choice import Choice
from baycompanion.audit.shop import audit_shop
from baycompanion.store.connectors import list_connectors
from baycompanion.store.job.folder import JobListed, list_jobs, make_job
from baycompanion.store.job.journal import NAME
from baycompanion.store.job.photos import read_photo
from baycompanion.store.ledger.seals import find_own_key, known_keys
from baycompanion.store.shelf import find_procedure, list_procedures
from baycompanion.store.shop import Shop
from baycompanion.store.trouble import StoreTrouble

Close = Callable[[Path], None]


@pytest.fixture
def close(monkeypatch: pytest.MonkeyPatch) -> Close:
    """Return what closes a folder, as the system does for all but root; tests may run as root."""

    def close(folder: Path) -> None:
        for name in ("stat", "lstat", "scandir", "listdir", "open"):
            monkeypatch.setattr(os, name, refusing(getattr(os, name), folder))
        monkeypatch.setattr("builtins.open", refusing(open, folder))
        monkeypatch.setattr("io.open", refusing(open, folder))

    def refusing(call: Callable[..., Any], folder: Path) -> Callable[..., Any]:
        looks_into = getattr(call, "__name__", "") in ("scandir", "listdir")

        def refuse(path: Any = ".", *more: Any, **named: Any) -> Any:
            asked = Path(path) if isinstance(path, str | os.PathLike) else None
            if asked is not None and (folder in asked.parents or (looks_into and asked == folder)):
                raise PermissionError(13, os.strerror(13), str(path))
            return call(path, *more, **named)

        return refuse

    return close


def test_procedures_that_cannot_be_looked_through_are_not_taken_for_none(
    tmp_path: Path, close: Close
) -> None:
    """Else a job would follow the procedure that ships, in place of the shop's own."""
    own = tmp_path / "procedures"
    own.mkdir()
    (own / "receiver-swap.yaml").write_text("procedure: receiver-swap\n")
    assert list_procedures(own)["receiver-swap"].parent == own
    close(own)
    with pytest.raises(StoreTrouble, match=r"procedures cannot be read: permission denied\.$"):
        find_procedure("receiver-swap", own)
    with pytest.raises(StoreTrouble, match="cannot be read: permission denied"):
        list_connectors(own)


def test_no_folder_is_none_and_not_closed(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    for own in (tmp_path / "missing", tmp_path / "file", tmp_path / "file" / "below"):
        assert "receiver-swap" in list_procedures(own)
        assert list_connectors(own) == {}


def test_one_job_that_is_closed_hides_no_other(shop: Shop, folder: Path, close: Close) -> None:
    closed = make_job(shop.jobs, load_small(), keys_in())
    close(closed)
    trouble, listed = list_jobs(shop.jobs)
    assert str(trouble) == f"{closed / NAME} cannot be read: permission denied."
    assert isinstance(listed, JobListed)
    assert listed.folder == folder


def test_an_audit_names_the_folder_of_the_job_that_is_closed(
    shop: Shop, folder: Path, close: Close
) -> None:
    close(folder)
    told = [each for each in audit_shop(shop.folder, Choice()) if isinstance(each, StoreTrouble)]
    assert [str(each) for each in told] == [f"{folder / NAME} cannot be read: permission denied."]


def test_a_photo_that_is_closed_is_not_called_missing(tmp_path: Path, close: Close) -> None:
    (tmp_path / "photos").mkdir()
    assert read_photo(tmp_path / "photos", "a.png", "00") == "the file is missing"
    close(tmp_path / "photos")
    told = read_photo(tmp_path / "photos", "a.png", "00")
    assert told == "the file cannot be read: permission denied"


def test_keys_that_cannot_be_looked_through_are_not_called_unknown(
    tmp_path: Path, close: Close
) -> None:
    (tmp_path / "seals").mkdir()
    close(tmp_path / "seals")
    for look in (lambda: list(known_keys(tmp_path)), lambda: find_own_key(tmp_path)):
        with pytest.raises(StoreTrouble, match="seals cannot be read: permission denied"):
            look()
