"""The paper form in a real browser: what stands together stays on one sheet of paper.

Skipped where there is no headless Chromium, or no `pdftotext` of poppler to read the pages.
"""

import shutil
import subprocess
from collections import Counter
from pathlib import Path

import pytest
from paper import read
from printed import WHEN, shipped

from baycompanion.procedure.load import hash_of
from baycompanion.sheets.page import draw
from baycompanion.sheets.paper import form_of_procedure

BROWSER = next(filter(None, map(shutil.which, ("chromium", "chromium-browser"))), None)
PDFTOTEXT = shutil.which("pdftotext")

pytestmark = pytest.mark.skipif(
    BROWSER is None or PDFTOTEXT is None, reason="there is no headless Chromium, or no pdftotext"
)


def page_texts(html: str, folder: Path) -> list[str]:
    """Print a page, and return what stands on each sheet of paper, without white space."""
    assert BROWSER is not None
    assert PDFTOTEXT is not None
    page, pdf = folder / "form.html", folder / "form.pdf"
    page.write_text(html, encoding="utf-8")
    options = ("--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage")
    options += ("--no-pdf-header-footer",)
    more = (f"--user-data-dir={folder / 'browser'}", f"--print-to-pdf={pdf}", page.as_uri())
    subprocess.run([BROWSER, *options, *more], capture_output=True, timeout=120, check=True)
    told = subprocess.run(
        [PDFTOTEXT, "-raw", pdf, "-"], capture_output=True, text=True, timeout=60, check=True
    )
    return ["".join(each.split()) for each in told.stdout.split("\f")]


def test_no_line_of_a_list_is_torn_between_two_pages(tmp_path: Path) -> None:
    """Half of a line would have no boxes, and its other half no name."""
    loaded = shipped("receiver-swap")
    html = draw(form_of_procedure(loaded.procedure, hash_of(loaded.pinned_text), WHEN))
    printed = page_texts(html, tmp_path)
    rows = [row for table in read(html).all("table", "lines") for row in table.all("tr")]
    cells = [row.all("td")[0] for row in rows if row.all("td")]
    names = Counter("".join(cell.text.split()) for cell in cells if not cell.all("", "field"))
    assert len(names) > 50
    whole = {name: sum(page.count(name) for page in printed) for name in names}
    assert [name for name, number in names.items() if whole[name] < number] == []
