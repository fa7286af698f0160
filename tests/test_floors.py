"""The floors: who may import whom, and that the pure ones open no file and read no clock."""

import ast
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

import baycompanion

PACKAGE = Path(baycompanion.__file__).parent
ROOT = PACKAGE.parent
PURE = ("text", "trade", "spread", "wiring", "procedure", "job", "views", "sheets")

IMPURE_NAMES = {"open", "input", "print", "exec", "eval"}
IMPURE_METHODS = {
    *("read_text", "write_text", "read_bytes", "write_bytes", "unlink", "mkdir", "iterdir", "stat"),
    *("now", "utcnow", "today", "monotonic", "perf_counter", "time_ns", "getenv"),
}
IMPURE_MODULES = {
    "os",
    "io",
    "time",
    "random",
    "secrets",
    "uuid",
    "subprocess",
    "socket",
    "tempfile",
}


def lint(root: Path) -> subprocess.CompletedProcess[str]:
    """Keep the contracts of pyproject.toml in the checkout at `root`."""
    code = (
        "import sys; sys.path.insert(0, '.');"
        "from importlinter.cli import lint_imports;"
        "sys.exit(lint_imports(no_cache=True))"
    )
    return subprocess.run(
        [sys.executable, "-c", code],
        cwd=root,
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=120,
        check=False,
    )


def test_every_import_keeps_its_floor() -> None:
    done = lint(ROOT)
    assert done.returncode == 0, done.stdout


@pytest.mark.parametrize(
    ("module", "line"),
    [
        ("trade/wire.py", "import baycompanion.text.clean"),
        ("spread/control.py", "import baycompanion.text.duration"),
        ("spread/ready_by.py", "def late():\n    import scipy"),
        ("procedure/model.py", "import baycompanion.job.events.kinds"),
        ("views/card/signs.py", "import baycompanion.store.shop"),
        ("job/state/state.py", "import textual"),
        ("play/run.py", "import click"),
        ("commands/jobs.py", "def late():\n    import rich"),
        ("new_floor.py", "pass"),
    ],
)
def test_an_import_upwards_is_noticed(tmp_path: Path, module: str, line: str) -> None:
    """The contracts are no good unless they break; a late import is an import too."""
    ignored = shutil.ignore_patterns("__pycache__")
    shutil.copytree(PACKAGE, tmp_path / "baycompanion", ignore=ignored)
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    with (tmp_path / "baycompanion" / module).open("a", encoding="utf-8") as file:
        file.write(f"\n\n{line}\n")
    done = lint(tmp_path)
    assert done.returncode == 1, done.stdout
    assert "BROKEN" in done.stdout or "new_floor" in done.stdout


def impurities(path: Path) -> list[str]:
    """Return what in a module could reach the world outside, with its line."""
    found = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call):
            name = getattr(node.func, "id", None) if isinstance(node.func, ast.Name) else None
            method = node.func.attr if isinstance(node.func, ast.Attribute) else None
            if name in IMPURE_NAMES or method in IMPURE_METHODS:
                found.append(f"{path}:{node.lineno}: {name or method}()")
        elif isinstance(node, ast.Import):
            names = {alias.name.split(".")[0] for alias in node.names}
            found += [f"{path}:{node.lineno}: import {name}" for name in names & IMPURE_MODULES]
        elif (
            isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[0] in IMPURE_MODULES
        ):
            found.append(f"{path}:{node.lineno}: from {node.module}")
    return found


@pytest.mark.parametrize("floor", PURE)
def test_a_pure_floor_opens_no_file_and_reads_no_clock(floor: str) -> None:
    modules = sorted((PACKAGE / floor).rglob("*.py"))
    assert modules
    assert [line for module in modules for line in impurities(module)] == []


def test_the_search_for_impurities_finds_them(tmp_path: Path) -> None:
    module = tmp_path / "impure.py"
    module.write_text("import os\nfrom time import sleep\nopen('x')\ndatetime.now()\n")
    assert len(impurities(module)) == 4


def test_every_module_says_in_its_first_line_what_it_is_for() -> None:
    for module in PACKAGE.rglob("*.py"):
        first = module.read_text(encoding="utf-8").split("\n")[0]
        assert first.startswith('"""'), module
