"""What the README shows can be done as it stands there."""

import re
import subprocess
from pathlib import Path

import pytest
from click.testing import CliRunner

from baycompanion.audit.tables.columns import TABLES, Table
from baycompanion.cli import cli
from baycompanion.store.shop import open_shop
from baycompanion.store.shop_place import VARIABLE
from baycompanion.trade.catalogue import SUMS
from baycompanion.trade.kind import SumKind
from baycompanion.wiring.connector import read_connector

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def blocks(language: str) -> list[str]:
    """Return the code blocks in one language."""
    return re.findall(rf"^```{language}\n(.*?)^```$", README, flags=re.MULTILINE | re.DOTALL)


def test_the_page_on_procedures_names_every_sum() -> None:
    page = (ROOT / "procedures" / "README.md").read_text(encoding="utf-8")
    table = page.split("### The sums")[1].split("\n\n")[2]
    rows = table.splitlines()[2:]
    assert rows == [sum_row(kind) for kind in SUMS.values()]


def test_the_page_on_procedures_shows_a_connector_that_can_be_read() -> None:
    page = (ROOT / "procedures" / "README.md").read_text(encoding="utf-8")
    section = page.split("### Connectors and the splice plan\n")[1].split("\n## ")[0]
    shown = "".join(re.findall(r"^    (.*\n)", section, flags=re.MULTILINE))
    assert [lead.function for lead in read_connector(shown, "step-light.yaml").leads] == [
        "switched-feed",
        "ground",
    ]


def test_every_table_that_is_exported_is_listed_with_its_columns() -> None:
    rows = README.split("| table | a row is | columns |")[1].split("\n\n")[0].splitlines()[2:]
    assert rows == [table_row(table) for table in TABLES]


def table_row(table: Table) -> str:
    """Return the line of the README that tells what is in a table."""
    columns = ", ".join(f"`{each.name}` {each.kind}" for each in table.columns)
    return f"| `{table.name}` | {table.row} | {columns} |"


def sum_row(kind: SumKind) -> str:
    """Return the line of the table that tells what a sum answers and what it takes."""
    inputs = ", ".join(f"`{each.name}`{'' if each.required else '?'}" for each in kind.inputs)
    return f"| `{kind.name}` | {kind.title} | {inputs} |"


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a new shop folder with the README's procedure in it."""
    folder = tmp_path / "shop"
    monkeypatch.setenv(VARIABLE, str(folder))
    monkeypatch.chdir(tmp_path)
    procedures = open_shop(folder).procedures
    (procedures / "usb-port.yaml").write_text(blocks("yaml")[0], encoding="utf-8")
    return folder


def test_the_procedure_has_neither_problems_nor_warnings(shop: Path) -> None:
    result = CliRunner().invoke(cli, ["check", "usb-port"])
    assert (result.exit_code, result.stdout) == (0, ""), result.stdout


def test_the_script_plays_that_procedure_to_its_end(shop: Path, tmp_path: Path) -> None:
    (tmp_path / "job.yaml").write_text(blocks("yaml")[1], encoding="utf-8")
    result = CliRunner().invoke(cli, ["play", "job.yaml"])
    assert result.exit_code == 0, result.stderr
    assert "clean" in result.stdout


def test_the_job_is_started_as_it_says(shop: Path) -> None:
    [line] = [block for block in blocks("sh") if block.startswith("baycompanion start")]
    words = re.findall(r'"[^"]*"|\S+', line)[1:]
    result = CliRunner().invoke(cli, [word.strip('"') for word in words])
    assert result.exit_code == 0, result.stderr


def test_the_shop_folder_holds_what_it_says(shop: Path) -> None:
    told = blocks("text")[-1]
    for path in shop.iterdir():
        assert path.name in told


def test_the_named_procedures_ship() -> None:
    for path in (ROOT / "procedures").glob("*.yaml"):
        assert f"`{path.stem}`" in README


def test_the_links_lead_somewhere() -> None:
    for target in re.findall(r"\]\(([^)#]+)\)", README):
        assert target.startswith("https://") or (ROOT / target).exists(), target


def test_the_checks_run_the_test_command_that_stands_here(tmp_path: Path) -> None:
    """What .ci/run takes out of the README is the one command below its heading."""
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    [expression] = re.findall(r"tests=\$\(sed -n '([^']+)' README\.md\)", script)
    done = subprocess.run(
        ["sed", "-n", expression, str(ROOT / "README.md")],
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=True,
    )
    [command] = [block for block in blocks("sh") if "pytest" in block]
    assert done.stdout == command


def test_its_pictures_are_the_screens_of_today() -> None:
    """A picture is a golden screen without its empty rows."""
    golden = ROOT / "tests" / "screens" / "__snapshots__" / "test_pictures"
    screens = {
        "\n".join(line for line in path.read_text(encoding="utf-8").splitlines() if line.strip())
        for path in golden.glob("*80x24*.txt")
    }
    shown = README.split("## The screens")[1].split("## Commands")[0]
    pictures = re.findall(r"^```text\n(.*?)\n```$", shown, flags=re.MULTILINE | re.DOTALL)
    assert len(pictures) == 3
    assert all(picture in screens for picture in pictures)
