"""`map`: from the command line, in lines and into files."""

from collections.abc import Callable
from pathlib import Path

from click.testing import Result

from baycompanion.exits import Exit

Run = Callable[..., Result]


def test_without_an_option_it_is_drawn_in_lines(run: Run) -> None:
    done = run("map", "lamp")
    assert done.exit_code == Exit.DONE
    assert done.stdout.startswith("Fit a reading lamp (lamp, revision 2)\n")
    assert "  =   GATE lamp-proved holds phase Give the keys back\n" in done.stdout
    assert "\n  |     opens: lamp-proved\n" in done.stdout


def test_it_is_written_where_one_says(run: Run, tmp_path: Path) -> None:
    page, drawing = tmp_path / "map.html", tmp_path / "map.svg"
    done = run("map", "lamp", "--html", str(page), "--svg", str(drawing))
    assert done.stdout.splitlines() == [str(page), str(drawing)]
    assert page.read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
    assert drawing.read_text(encoding="utf-8").startswith("<svg ")


def test_page_and_drawing_do_not_go_into_one_file(run: Run, tmp_path: Path) -> None:
    """The drawing took the place of the page, and both were told as written."""
    told = run("map", "lamp", "--html", "map", "--svg", str(tmp_path / "map"))
    assert told.exit_code == Exit.UNUSABLE
    assert told.stderr.startswith("--html and --svg name one file. Give each its own.")
    assert not (tmp_path / "map").exists()


def test_a_file_with_errors_is_refused_with_its_line(run: Run, tmp_path: Path) -> None:
    (tmp_path / "half.yaml").write_text("procedure: half\ntitle: [", encoding="utf-8")
    done = run("map", "half.yaml")
    assert done.exit_code == Exit.UNUSABLE
    assert "half.yaml:" in done.stderr
    assert "Traceback" not in done.stderr
