"""The wheel: it carries procedures, demo and styles, and needs nothing of the checkout."""

import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

import baycompanion

ROOT = Path(baycompanion.__file__).parents[1]


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Build the wheel and return it."""
    folder = tmp_path_factory.mktemp("wheel")
    words = ["-m", "build", "--no-isolation", "--wheel", "--outdir", str(folder), str(ROOT)]
    done = subprocess.run(
        [sys.executable, *words], capture_output=True, text=True, timeout=300, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    [built] = folder.glob("*.whl")
    return built


def inside(folder: str, *endings: str) -> set[str]:
    """Return the files below a folder of the checkout, by their path from the root."""
    return {
        str(path.relative_to(ROOT).as_posix())
        for path in (ROOT / folder).rglob("*")
        if path.is_file() and path.suffix in endings
    }


def test_the_wheel_carries_all_that_the_program_reads(wheel: Path) -> None:
    names = set(zipfile.ZipFile(wheel).namelist())
    assert inside("baycompanion", ".py", ".tcss", ".html", ".css", ".sql") <= names
    for folder, endings in (("procedures", (".yaml",)), ("demo", (".yaml", ".png"))):
        wanted = inside(folder, *endings)
        assert wanted
        assert {f"baycompanion/shipped/{name}" for name in wanted} <= names


def test_the_wheel_carries_no_tests_and_no_leftovers(wheel: Path) -> None:
    for name in zipfile.ZipFile(wheel).namelist():
        assert name.startswith(("baycompanion/", "baycompanion-")), name
        assert "__pycache__" not in name


def said_by(code: str, wheel: Path, tmp_path: Path) -> str:
    """Return what `code` prints in an empty folder, beside which the wheel lies unpacked."""
    zipfile.ZipFile(wheel).extractall(tmp_path / "unpacked")
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=120,
        check=False,
        env={"PATH": "", "PYTHONIOENCODING": "utf-8"},
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_the_program_runs_from_the_wheel_in_an_empty_folder(wheel: Path, tmp_path: Path) -> None:
    """Its own code comes from the wheel, what it depends on from here."""
    code = (
        f"import sys; sys.path.insert(0, {str(tmp_path / 'unpacked')!r})\n"
        "import baycompanion\n"
        "assert 'unpacked' in baycompanion.__file__, baycompanion.__file__\n"
        "sys.argv = ['baycompanion', 'demo', '--headless', '--folder', 'shop']\n"
        "from baycompanion.__main__ import main\n"
        "main()\n"
    )
    said = said_by(code, wheel, tmp_path)
    assert "keys back, clean" in said
    [record] = tmp_path.glob("shop/jobs/*/record.json")
    assert record.stat().st_size > 0


def test_a_chain_is_made_from_the_wheel_without_the_screens(wheel: Path, tmp_path: Path) -> None:
    code = (
        f"import sys; sys.path.insert(0, {str(tmp_path / 'unpacked')!r})\n"
        "sys.modules['textual'] = None\n"
        "sys.argv = 'baycompanion demo --chain 1 --jobs 2 --folder chain'.split()\n"
        "from baycompanion.__main__ import main\n"
        "main()\n"
    )
    said = said_by(code, wheel, tmp_path)
    assert said == "baycompanion audit chain/*/\n"
    assert (tmp_path / "chain" / "planted.json").exists()
